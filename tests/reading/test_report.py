import json

from stickback.reading.problem import A_LINE, BEHIND, LONGEST, At, Problem, as_json, as_text, few

WRONG = Problem(At("deck.md", 12, 3), "choice-marker", "This line is not read as an option.", "write `- [x] `")
ODD = Problem(At("deck.md", 2, 1), "html-shown", "HTML is shown.", "delete it", "warning")


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


def test_of_a_long_line_the_part_around_the_mistake_is_printed():
    problem = Problem(At("deck.md", 1, 500_000), "value-form", "Wrong.", "mend it")
    _, shown, caret, _ = as_text(problem, "a" * 499_999 + "{" + "b" * 400_000).split("\n")
    assert len(shown) < 200
    assert shown[caret.index("^")] == "{"
    assert shown.endswith("b" * (BEHIND - 1) + "…")


def test_a_message_that_holds_a_whole_file_is_cut():
    assert len(as_text(Problem(At("deck.md", 1, 1), "id-form", "a" * 100_000, "b" * 100_000), None)) < 2 * LONGEST + 100


def test_of_a_line_with_thousands_of_problems_the_first_are_told_and_that_there_are_more():
    many = [Problem(At("deck.md", 1, column), "value-form", "", "") for column in range(1, 20_001)]
    told = few([*many, ODD])
    assert [each.code for each in told] == ["value-form"] * A_LINE + ["line-crowded", "html-shown"]
