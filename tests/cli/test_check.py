import json
import os
from pathlib import Path

import pytest

import worlds

BAD = {
    **worlds.COURSE,
    "feet.md": worlds.FEET.replace("topic: feet", "topic: fete", 1),
    "landing.md": worlds.LANDING.replace("- [x] Back", "\t-[x] Back", 1),
    "swing.md": worlds.SWING + "\n## No id here\n\n<b>Bold</b>\n\n- [x] Yes\n- [ ] No\n",
}


@pytest.fixture
def bad(tmp_path):
    return worlds.write(tmp_path / "bad", BAD)


@pytest.fixture
def check(place):
    """Runs the check; gives what it shows and its exit status."""

    def run(*words, course=place.course):
        result = place("check", *words, course=course)
        assert isinstance(result.exception, SystemExit | None), result.exc_info
        return result.stdout, result.exit_code

    return run


def test_a_sound_course_says_how_each_question_was_read(check):
    shown, status = check()
    assert status == 0
    assert "feet.md\n      5  approach: choice, 3 options, 1 right\n" in shown
    assert "     19  pushes: explain, 3 points, 2 must, 1 that fail it\n" in shown
    assert "     37  steer: choice, 4 options, 2 right\n" in shown
    assert shown.endswith(f": {worlds.QUESTIONS} questions, 0 errors, 0 warnings.\n")


def test_the_last_line_names_the_course_and_its_folder(check, place):
    shown, _ = check()
    title = next(
        line.removeprefix("title: ") for line in worlds.COURSE["lesson-plan.md"].split("\n") if "title" in line
    )
    assert shown.splitlines()[-1].startswith(f"{title} ({place.course.resolve()}): ")


def test_who_stands_in_a_folder_with_a_course_and_names_none_is_told_which_was_checked(place, monkeypatch, tmp_path):
    other = worlds.write(tmp_path / "other", worlds.COURSE)
    monkeypatch.chdir(other)
    said = "The folder you are in holds a course too: `stickback check .` checks that one."
    assert said in place("check").stderr
    assert said not in place("check", ".").stderr
    assert said not in place("check", course=other).stderr


def test_a_restriction_is_part_of_how_a_question_was_read(check, tmp_path):
    files = {**worlds.COURSE, "swing.md": worlds.SWING.replace("{#way}", "{#way propeller=clockwise}")}
    assert (
        "way: choice, 2 options, 1 right, only propeller=clockwise"
        in check(course=worlds.write(tmp_path / "only", files))[0]
    )


def test_a_problem_has_its_place_its_line_a_caret_a_hint_and_a_code(check, bad):
    shown, status = check(course=bad)
    assert status == 1
    assert (
        "feet.md:2:8: error: The lesson plan has no topic 'fete'. [topic-unknown]\n"
        "     2 | topic: fete\n"
        "       |        ^\n"
        "    hint: did you mean 'feet'?\n"
    ) in shown


def test_a_caret_stands_under_its_character_behind_a_tab(check, bad):
    assert "     7 | \t-[x] Back\n       | \t^\n" in check(course=bad)[0]


def test_all_problems_come_in_one_run_with_a_sum_at_the_end(check, bad):
    shown, _ = check(course=bad)
    codes = ["topic-unknown", "choice-marker", "id-missing", "html-shown"]
    assert sorted(line.rpartition("[")[2].rstrip("]") for line in shown.splitlines() if line.endswith("]")) == sorted(
        codes
    )
    assert shown.splitlines()[-1].endswith("3 errors, 1 warning; 5 questions left out of reviews.")


def test_json_has_exactly_the_fields_of_a_problem(check, bad):
    shown, status = check("--format", "json", course=bad)
    found = json.loads(shown)
    assert status == 1
    assert {tuple(each) for each in found} == {("file", "line", "column", "severity", "code", "message", "hint")}
    assert found[0] == {
        "file": "feet.md",
        "line": 2,
        "column": 8,
        "severity": "error",
        "code": "topic-unknown",
        "message": "The lesson plan has no topic 'fete'.",
        "hint": "did you mean 'feet'?",
    }


def test_json_of_a_sound_course_is_an_empty_list(check):
    assert check("--format", "json") == ("[]\n", 0)


@pytest.fixture
def warned(tmp_path):
    """A course with a warning and no error."""
    return worlds.write(tmp_path / "warned", {**worlds.COURSE, "eyes.md": worlds.EYES + "\n<i>Note</i>\n"})


@pytest.mark.parametrize("form", ["text", "json"])
def test_a_warning_fails_only_a_strict_check(check, warned, form):
    assert check("--format", form, course=warned)[1] == 0
    assert check("--format", form, "--strict", course=warned)[1] == 1


def test_a_path_limits_the_report_to_that_file(check, bad):
    shown, status = check(bad / "landing.md")
    assert status == 1
    assert "landing.md:7:2: error" in shown
    assert "topic-unknown" not in shown
    assert "eyes.md" not in shown
    assert check(bad / "eyes.md") == check(bad / "eyes.md", course=None)
    assert check(bad / "eyes.md")[1] == 0


def test_a_file_is_checked_against_its_whole_course(check, bad):
    found = json.loads(check("--format", "json", bad / "feet.md")[0])
    assert [each["code"] for each in found] == ["topic-unknown"]


def test_a_sheet_belongs_to_the_course_above_its_folder(check, bad):
    assert json.loads(check("--format", "json", bad / "aircraft" / "cawdale.md")[0]) == []
    (bad / "aircraft" / "cawdale.md").write_text("---\nname: Cawdale\n---\n")
    found = json.loads(check("--format", "json", bad / "aircraft" / "cawdale.md")[0])
    assert {each["file"] for each in found} == {"aircraft/cawdale.md"}


def test_several_paths_are_all_reported_on(check, bad):
    found = json.loads(check("--format", "json", bad / "landing.md", bad / "feet.md")[0])
    assert {each["file"] for each in found} == {"landing.md", "feet.md"}


def test_a_folder_beside_one_of_its_files_is_reported_on_whole(check, bad):
    for words in ((bad, bad / "eyes.md"), (bad / "eyes.md", bad)):
        assert check("--format", "json", *words) == check("--format", "json", bad)


@pytest.mark.parametrize(
    ("inside", "path"),
    [("", "feet.md"), ("", "."), ("", "aircraft/cawdale.md"), ("aircraft", "cawdale.md"), ("aircraft", ".")],
)
def test_a_path_is_found_from_wherever_the_author_stands(check, place, monkeypatch, inside, path):
    monkeypatch.chdir(place.course / inside)
    assert check("--format", "json", path, course=None) == ("[]\n", 0)


def test_a_path_that_is_not_there_is_refused(place):
    assert place.fails("check", "nowhere.md") == "There is no file or folder nowhere.md."


def test_missing_ids_are_written_and_nothing_else_changes(check, bad):
    before = (bad / "swing.md").read_bytes()
    shown, _ = check("--write-ids", course=bad)
    assert shown.splitlines()[0].startswith("swing.md:42: {#no-id-here}")
    assert (bad / "swing.md").read_bytes() == before.replace(b"## No id here\n", b"## No id here {#no-id-here}\n")
    assert "id-missing" not in check(course=bad)[0]


def test_writing_ids_leaves_json_alone_on_standard_output(place, bad):
    result = place("check", "--write-ids", "--format", "json", course=bad)
    assert "id-missing" not in {each["code"] for each in json.loads(result.stdout)}
    assert "{#no-id-here}" in result.stderr


def test_the_course_that_ships_has_no_problem(check):
    assert check("--format", "json", "--strict", course=None) == ("[]\n", 0)


def test_a_file_whose_name_is_no_text_does_not_end_the_run(check, tmp_path):
    course = worlds.write(tmp_path / "course")
    try:
        Path(os.fsdecode(os.fsencode(course) + b"/\xff.md")).write_text("## A {#a topic=eyes}\n\n- [x] Yes\n- [ ] No\n")
    except OSError:
        pytest.skip("this file system has no such names")
    assert "questions" in check(course=course)[0]


def test_a_question_whose_answer_changed_after_it_was_answered_is_named(place, tmp_path):
    place("review", "--questions", "30", typed="\n".join("b sure" for _ in range(80)))
    assert place.raw("SELECT question FROM entries WHERE what = 'answer' AND kind = 'choice'")
    files = {name: text.replace("- [x] ", "- [x] Now ") for name, text in worlds.COURSE.items()}
    changed = worlds.write(tmp_path / "changed", files)
    shown = place("check", course=changed).stdout
    assert "key-changed" in shown
    assert "1 student last answered" in shown
    assert "key-changed" not in place.does("check")


def test_without_a_database_nothing_is_said_of_answers_and_none_is_made(place, tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    assert worlds.run("check", course=place.course).exit_code == 0
    assert not list((tmp_path / "home").rglob("*.db"))


def test_a_database_that_was_named_and_cannot_be_opened_is_refused(place):
    assert "database" in place.fails("check", db="mysql://host/name")
