import json
import re

from stickback.reading.problem import CODES, Problem, as_json, as_text, errors

WRONG = Problem("deck.md", 12, 3, "choice-marker", "This line is not read as an option.", "write `- [x] `")
ODD = Problem("deck.md", 2, 1, "html-shown", "HTML is shown.", "delete it", "warning")


def test_problems_sort_by_file_line_and_column():
    problems = [Problem(*place, "id-form", "", "") for place in [("a.md", 2, 1), ("a.md", 10, 1), ("b.md", 1, 2)]]
    assert sorted([problems[2], problems[1], problems[0]]) == problems


def test_a_warning_is_not_among_the_errors():
    assert errors([ODD, WRONG]) == [WRONG]


def test_a_problem_is_printed_with_its_source_line_a_caret_and_what_to_type():
    assert as_text(WRONG, "  -[x] Left") == (
        "deck.md:12:3: error: This line is not read as an option. [choice-marker]\n"
        "    12 |   -[x] Left\n"
        "       |   ^\n"
        "    hint: write `- [x] `"
    )


def test_a_problem_of_a_missing_file_is_printed_without_a_source_line():
    assert as_text(ODD, None) == "deck.md:2:1: warning: HTML is shown. [html-shown]\n    hint: delete it"


def test_the_caret_stands_under_its_character_behind_tabs():
    assert as_text(WRONG, "\ta[x]").split("\n")[1:3] == ["    12 | \ta[x]", "       | \t ^"]


def test_the_caret_stands_behind_the_line_where_something_must_be_added():
    assert as_text(WRONG, "ab").split("\n")[2] == "       |   ^"


def test_a_printed_source_line_holds_no_control_character():
    assert as_text(WRONG, "a\x1b[2Jb\u202ec").split("\n")[1] == "    12 | a\ufffd[2Jb\ufffdc"


def test_json_gives_every_field_under_its_name():
    assert list(json.loads(as_json([WRONG, ODD]))[0].items()) == [
        ("file", "deck.md"),
        ("line", 12),
        ("column", 3),
        ("severity", "error"),
        ("code", "choice-marker"),
        ("message", "This line is not read as an option."),
        ("hint", "write `- [x] `"),
    ]


def test_json_of_no_problem_is_an_empty_array():
    assert json.loads(as_json([])) == []


def test_every_code_is_an_area_and_a_word_explained_in_one_sentence():
    assert [code for code in CODES if not re.fullmatch(r"[a-z]+(-[a-z]+)+", code)] == []
    assert [text for text in CODES.values() if not re.fullmatch(r"[A-Z][^.]*(\.md`)?[^.]*\.", text)] == []
