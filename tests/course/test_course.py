from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

import strategies
from stickback.course import read as courses
from stickback.course.course import PHRASEOLOGIES, PLAN, applies, variant
from stickback.radio import rules
from stickback.reading.problem import CODES

SWING = "## Which way? {#swing topic=yaw-causes}\n\n- [x] To the {{ swing }}\n- [ ] To the {{ other_side }}\n"
SOUND = "## Sound? {#sound topic=yaw-causes}\n\n- [x] Yes\n- [ ] No\n"


def lines_of(raw):
    """The lines of a file as an editor counts them."""
    return raw.decode(errors="replace").replace("\r\n", "\n").replace("\r", "\n").split("\n")


def inside(problem, files):
    """Whether a problem stands in its file; a file that is missing has no lines."""
    if problem.file not in files:
        return (problem.line, problem.column) == (1, 1)
    lines = lines_of(files[problem.file])
    return 1 <= problem.line <= len(lines) and 1 <= problem.column <= len(lines[problem.line - 1]) + 1


@given(strategies.names, strategies.contents)
def test_any_content_of_any_file_is_read_and_every_problem_stands_inside_its_file(course, name, raw):
    problems = course(**{"sound.md": SOUND, name: raw}).problems
    assert [each for each in problems if each.file == name and not inside(each, {name: raw})] == []
    assert {each.code for each in problems} <= CODES.keys()


@given(st.dictionaries(strategies.names, strategies.contents))
@example({"lesson-plan.md": "\u00a0\n{#}".encode()})
def test_any_files_together_are_read_and_every_problem_stands_inside_its_file(files):
    problems = courses.read(files.items()).problems
    assert [each for each in problems if not inside(each, files)] == []


def test_the_course_of_the_tests_has_no_problem(course):
    assert course(SWING).problems == ()


def test_a_question_without_an_error_can_be_asked(course):
    assert list(course(SWING + SOUND).questions) == ["swing", "sound"]


def test_a_question_with_an_error_is_left_out_and_named_while_the_rest_of_the_course_works(course):
    read = course(SOUND + "## Broken? {#broken topic=yaw-causes}\n\n- [ ] Yes\n- [ ] No\n")
    assert (list(read.questions), read.left_out) == (["sound"], (("deck.md", "Broken? {#broken topic=yaw-causes}"),))


def test_an_error_inside_the_lines_of_a_question_leaves_it_out(course):
    assert course(SOUND + SWING.replace("swing }}", "swung }}")).left_out == (("deck.md", "Which way?"),)


def test_a_warning_leaves_nothing_out(course):
    read = course(SOUND.replace("Yes", "<b>Yes</b>"))
    assert [each.severity for each in read.problems] == ["warning"]
    assert (list(read.questions), read.left_out) == (["sound"], ())


def test_questions_come_in_the_order_of_the_plan_and_then_as_written(course):
    deck = "".join(
        f"## {name}? {{#{name} topic={topic}}}\n\n- [x] Yes\n- [ ] No\n\n"
        for name, topic in [("a", "three-point"), ("b", "yaw-causes"), ("c", "keeping-straight"), ("d", "yaw-causes")]
    )
    assert list(course(deck).questions) == ["b", "d", "c", "a"]


def test_decks_and_sheets_come_in_the_order_of_their_names_however_they_are_given(course):
    files = [("b.md", b"# B"), ("aircraft/z.md", b""), ("a.md", b"# A"), (PLAN, b"")]
    assert [each.file for each in courses.read(files).decks] == ["a.md", "b.md"]
    assert courses.read(files) == courses.read(files[::-1])
    assert list(course(SOUND).sheets) == ["mossbank", "quillon"]


def test_the_name_of_a_question_in_the_log_holds_the_id_of_the_course(course):
    read = course(SOUND)
    assert read.log_name(read.questions["sound"]) == "tailwheel/sound"


def test_a_question_for_other_brakes_is_not_asked_on_this_aeroplane(course):
    read = course(SOUND + SWING.replace("#swing", "#swing brakes=toe"))
    assert list(read.applicable(read.sheets["quillon"], "uk")) == ["tailwheel/sound"]
    assert list(read.applicable(read.sheets["mossbank"], "uk")) == ["tailwheel/sound", "tailwheel/swing"]


def test_a_question_of_another_phraseology_is_not_asked(course):
    read = course(SWING.replace("#swing", "#swing phraseology=uk"))
    assert [list(read.applicable(read.sheets["quillon"], which)) for which in ("uk", "faa")] == [
        ["tailwheel/swing"],
        [],
    ]


def test_a_question_that_uses_a_value_the_aeroplane_does_not_have_is_not_asked_on_it(course):
    read = course(SWING)
    assert not applies(read.questions["swing"], {"swing": "left"})
    assert applies(read.questions["swing"], {"swing": "left", "other_side": "right"})


def test_the_variant_differs_only_where_a_value_that_is_used_differs(course):
    read = course(SWING + SOUND)
    quillon, mossbank = read.sheets["quillon"], read.sheets["mossbank"]
    swing, sound = read.questions["swing"], read.questions["sound"]
    repainted = replace(quillon, values={**quillon.values, "callsign": "G-QTWZ", "approach_speed": "55"})
    assert variant(swing, quillon) == variant(swing, repainted) != variant(swing, mossbank)
    assert variant(sound, quillon) == variant(sound, mossbank) == ""


def test_the_revision_follows_from_every_file(course):
    revision = course(SOUND).revision
    assert course(SOUND).revision == revision
    assert course(SOUND + " ").revision != revision
    assert course(SOUND, **{"sources.md": ""}).revision != revision


def test_footnotes_of_all_files_are_gathered_with_the_lines_that_go_on_with_them(course):
    read = course(SOUND + "\n[^b]: In the deck.\n", **{"sources.md": "[^a]: One\n  source.\n[^c]: Three.\n"})
    assert read.sources == {"a": "One source.", "b": "In the deck.", "c": "Three."}


def test_a_file_over_the_size_that_is_read_is_a_problem_and_the_rest_is_read(course):
    read = course(SOUND, **{"big.md": b"a" * 1_000_001})
    assert ([each.code for each in read.problems], list(read.questions)) == (["file-large"], ["sound"])


def test_a_file_of_exactly_the_size_that_is_read_is_read(course):
    assert [each.code for each in course(SOUND, **{"sources.md": b"a" * 1_000_000}).problems] == []


def test_a_file_that_is_not_utf8_is_a_problem_where_it_stops_being_so(found):
    assert found(SOUND, **{"other.md": "# É\r\nÀ la ".encode() + b"\xe9t\xe9"}) == ["other.md:2:6 file-encoding"]


def test_a_file_name_that_is_not_utf8_does_not_stop_the_reading(course):
    assert list(course(SOUND, **{"caf\udce9.md": "# Notes"}).questions) == ["sound"]


def test_only_files_in_the_folder_of_the_sheets_itself_are_sheets(course):
    read = course(SOUND, **{"aircraft/a/x.md": "# X", "aircraft/b/x.md": "# X"})
    assert list(read.sheets) == ["mossbank", "quillon"]
    assert {each.file for each in read.problems} == {"aircraft/a/x.md", "aircraft/b/x.md"}


@pytest.mark.parametrize("name", [PLAN, "aircraft/quillon.md", "sources.md", "deck.md"])
@pytest.mark.parametrize("raw", [b"\xff", b"a" * 1_000_001, b"\n" * 40_001])
def test_a_file_that_is_not_read_is_one_problem_and_nothing_is_missed_in_it(course, name, raw):
    deck = SOUND.replace("Yes", "{{ flap_stages }}[^afh14]").replace("#sound", "#sound brakes=hand")
    read = course(**{"other.md": deck, name: raw})
    silent = {PLAN: {"topic-unknown"}, "aircraft/quillon.md": {"value-unknown", "attribute-value"}}.get(name, set())
    follow = {"footnote-unknown", "plan-missing", "sheet-missing", *silent}
    codes = [each.code for each in read.problems]
    assert not follow.intersection(codes)
    assert sum(code.startswith("file-") for code in codes) == 1


ASKED = "## A {#q topic=yaw-causes}\n"
BEYOND = {
    "two hundred thousand items": "- a\n" * 220_000,
    "signs without end": "![" * 450_000,
    "braces": "{{" * 450_000,
}


@pytest.mark.parametrize("text", BEYOND.values(), ids=BEYOND)
def test_a_file_beyond_all_measure_is_one_problem(found, text):
    assert found(text) == ["deck.md:1:1 file-large"]


def test_what_the_rules_of_another_state_say_is_asked_only_of_those_who_ask_for_it(course):
    heads = ("a {#a rules=uk}", 'b {#b rules="icao uk"}', "c {#c rules=faa}", "d {#d}")
    deck = "---\ntopic: three-point\n---\n\n" + "".join(f"## {head}\n\n- [x] A\n- [ ] B\n\n" for head in heads)
    read = course(deck)
    assert read.problems == ()
    sheet = read.sheets["quillon"]
    names = {key: "".join(sorted(name[-1] for name in read.applicable(sheet, key))) for key in ("icao", "uk", "faa")}
    assert names == {"icao": "bd", "uk": "abd", "faa": "cd"}
    assert len(read.applicable(sheet, "uk", abroad=True)) == 4


def test_rules_of_no_state_are_a_problem(found):
    deck = '---\ntopic: three-point\n---\n\n## A {#a rules="uk mars"}\n\n- [x] A\n- [ ] B\n'
    assert found(deck) == ["deck.md:5:10 attribute-value"]


def test_the_phraseologies_are_those_that_have_rules():
    assert tuple(rules.READ_BACK) == PHRASEOLOGIES


# A changed answer


def test_the_key_of_a_question_is_that_of_its_right_answer_alone(course):
    def key(text):
        return course(text).questions["sound"].key

    assert key(SOUND) == key(SOUND.replace("Sound", "Very sound")) == key(SOUND.replace("No", "Never"))
    assert key(SOUND) != key(SOUND.replace("Yes", "Indeed"))


def test_a_question_that_asks_again_is_another_thing_to_know_until_its_answer_changes_once_more(course):
    def learnt(text):
        read = course(text)
        return variant(read.questions["sound"], read.sheets["quillon"])

    again = SOUND.replace("{#sound", "{#sound asks=again")
    assert learnt(SOUND) == ""
    assert learnt(again) == learnt(again.replace("Sound", "Very sound")) != ""
    assert learnt(again) != learnt(again.replace("Yes", "Indeed"))
