import pytest

from small import FRONT, OPTIONS, PLAN
from stickback.reading.problem import At, Problem
from stickback.refused import Refused
from stickback.services import check, folder

BOM = b"\xef\xbb\xbf"


@pytest.fixture
def with_ids(written):
    """Writes a course, adds the missing ids and gives the deck as it stands then."""

    def add(deck, **files):
        place = written(deck, **files)
        check.write_ids(place, folder.load(place))
        return (place / "deck.md").read_bytes()

    return add


# Which folder a path belongs to


@pytest.mark.parametrize("name", ["", "deck.md", "lesson-plan.md", "aircraft", "aircraft/a.md", "new.md"])
def test_a_path_belongs_to_the_folder_that_holds_the_lesson_plan(written, name):
    place = written()
    assert check.course_of(place / name) == place


@pytest.mark.parametrize("name", [".", "a.md"])
def test_a_path_from_inside_the_folder_of_sheets_belongs_to_the_course(written, monkeypatch, name):
    place = written()
    monkeypatch.chdir(place / "aircraft")
    assert check.course_of(type(place)(name)).resolve() == place.resolve()


def test_a_path_without_any_lesson_plan_is_its_own_course(tmp_path):
    (tmp_path / "deck.md").touch()
    assert check.course_of(tmp_path / "deck.md") == tmp_path


# The line of a problem


@pytest.mark.parametrize(
    ("raw", "line", "text"),
    [
        (b"one\ntwo\n", 2, "two"),
        (b"one\r\ntwo\rthree", 3, "three"),
        (BOM + b"one\n", 1, "one"),
        (b"caf\xe9\n", 1, "caf\N{REPLACEMENT CHARACTER}"),
        (b"one\n", 9, None),
    ],
)
def test_the_line_of_a_problem_is_shown_as_an_editor_shows_it(tmp_path, raw, line, text):
    (tmp_path / "deck.md").write_bytes(raw)
    assert check.Sources(tmp_path).line(Problem(At("deck.md", line, 1), "id-missing", "", "")) == text


def test_a_file_that_is_not_there_has_no_line(tmp_path):
    assert check.Sources(tmp_path).line(Problem(At("lesson-plan.md", 1, 1), "plan-missing", "", "")) is None


# Missing ids


def test_a_missing_id_is_written_behind_its_heading_and_reported(written):
    place = written(FRONT + b"## Which way to swing?" + OPTIONS)
    written_ids = check.write_ids(place, folder.load(place))
    assert written_ids == [("deck.md", 5, "which-way-to-swing")]
    assert (place / "deck.md").read_bytes() == FRONT + b"## Which way to swing? {#which-way-to-swing}" + OPTIONS


def test_once_ids_are_written_none_is_missing_and_nothing_more_is_written(written):
    place = written(FRONT + b"## First" + OPTIONS + b"\n## Second {topic=swing}" + OPTIONS)
    check.write_ids(place, folder.load(place))
    read = folder.load(place)
    assert (len(read.questions), read.problems, check.write_ids(place, read)) == (2, (), [])


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (b"## Way {topic=swing}", b"## Way {#way topic=swing}"),
        (b'## Way { topic="swing" }', b'## Way {#way topic="swing" }'),
        (b"## Way {order=fixed brakes=heel}", b"## Way {#way order=fixed brakes=heel}"),
        (b"## Way of {{ name }}", b"## Way of {{ name }} {#way-of}"),
        (b"## Way of {{ name }} {topic=swing}", b"## Way of {{ name }} {#way-of topic=swing}"),
        ("## Böen: wohin?".encode(), "## Böen: wohin? {#b-en-wohin}".encode()),
        ("## 風".encode(), "## 風 {#question}".encode()),
    ],
)
def test_an_id_goes_into_the_braces_that_are_there_and_says_the_title_only(with_ids, before, after):
    assert with_ids(FRONT + before + OPTIONS) == FRONT + after + OPTIONS


def test_a_heading_closed_with_signs_keeps_its_title(written):
    place = written(FRONT + b"## Which way? ##" + OPTIONS)
    check.write_ids(place, folder.load(place))
    assert [each.title for each in folder.load(place).questions.values()] == ["Which way?"]


def test_a_heading_underlined_over_two_lines_gets_an_id_that_is_read(written):
    place = written(FRONT + b"Which\nway?\n---" + OPTIONS)
    check.write_ids(place, folder.load(place))
    assert folder.load(place).problems == ()


TAIL = b"\n### Why\n\nBlue  \nsky\t\n\n## Sound {#sound}\n\n* [X] Yes\n+ [ ] No\n\n\n"


@pytest.mark.parametrize("mark", [b"", BOM])
@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
@pytest.mark.parametrize("last", [b"", b"\n", b"\n\n"])
def test_nothing_else_changes_whatever_the_line_ends_and_marks(with_ids, mark, end, last):
    head, tail = b"---\ntopic: swing\n---\n\n\n## Way", OPTIONS + TAIL.rstrip() + last
    before = (mark + head + tail).replace(b"\n", end)
    assert with_ids(before) == (mark + head + b" {#way}" + tail).replace(b"\n", end)


def test_mixed_line_ends_stay_as_they_are(with_ids):
    before = FRONT + b"## Way\r\n\n- [x] Yes\r- [ ] No\r\n"
    assert with_ids(before) == before.replace(b"## Way", b"## Way {#way}")


def test_a_file_that_misses_no_id_is_not_written(written, monkeypatch):
    place = written(FRONT + b"## Way" + OPTIONS, **{"other.md": FRONT + b"## Other {#other}" + OPTIONS})
    names = []
    monkeypatch.setattr(type(place), "write_bytes", lambda path, raw: names.append(path.name))
    check.write_ids(place, folder.load(place))
    assert names == ["deck.md"]


def test_lessons_and_topics_get_their_ids_too(written):
    plan = PLAN + b"\n## Lesson 2: Landing\n\n### Three-point {weight=3}\n\nHold off.\n"
    place = written(**{"lesson-plan.md": plan})
    check.write_ids(place, folder.load(place))
    expected = plan.replace(b"Landing\n", b"Landing {#lesson-2-landing}\n").replace(b"{weight", b"{#three-point weight")
    assert ((place / "lesson-plan.md").read_bytes(), folder.load(place).problems) == (expected, ())


@pytest.mark.parametrize(
    "taken",
    [
        b"## Other {#way}" + OPTIONS,
        b"## Way" + OPTIONS,
        b"## Broken {#way}\n\n- [ ] Yes\n- [ ] No\n",
    ],
    ids=["sound", "written in the same run", "left out for a problem"],
)
def test_an_id_never_doubles_one_that_a_question_has(with_ids, taken):
    made = with_ids(FRONT + taken + b"\n## Way" + OPTIONS)
    assert made.count(b"{#way}") == 1
    assert b"{#way-2}" in made


def test_an_id_of_a_topic_never_doubles_one_of_an_error_seen(written):
    plan = PLAN + b"\n#### Errors seen\n\n- {#late-foot topics=swing} Late\n\n### Late foot\n\nText.\n"
    place = written(**{"lesson-plan.md": plan})
    check.write_ids(place, folder.load(place))
    assert folder.load(place).problems == ()


def test_a_file_that_cannot_be_written_is_refused(written, monkeypatch):
    place = written(FRONT + b"## Way" + OPTIONS)
    read = folder.load(place)

    def refuse(path, raw):
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(type(place), "write_bytes", refuse)
    with pytest.raises(Refused, match=r"deck\.md cannot be written: Permission denied\."):
        check.write_ids(place, read)


# Footnotes for other viewers


def test_footnotes_are_written_behind_the_file_that_uses_them_and_nothing_else_changes(written):
    deck = FRONT + b"## Which way? {#way}\r\n\r\n- [x] A[^b]\r\n- [ ] B[^a] C[^b]\r\n"
    place = written(deck, **{"sources.md": b"[^a]: One\n  source.\n[^b]: Two.\n[^c]: Three.\n"})
    line = deck.count(b"\n") + 2
    assert check.write_notes(place, folder.load(place)) == [("deck.md", line, "b"), ("deck.md", line + 1, "a")]
    assert (place / "deck.md").read_bytes() == deck + b"\r\n[^b]: Two.\r\n[^a]: One source.\r\n"
    assert folder.load(place).problems == ()
    assert check.write_notes(place, folder.load(place)) == []
