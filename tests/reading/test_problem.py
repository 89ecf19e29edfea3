import re

from stickback.reading.problem import CODES, At, Problem, errors

WRONG = Problem(At("deck.md", 12, 3), "choice-marker", "This line is not read as an option.", "write `- [x] `")
ODD = Problem(At("deck.md", 2, 1), "html-shown", "HTML is shown.", "delete it", "warning")


def test_problems_sort_by_file_line_and_column():
    problems = [Problem(At(*place), "id-form", "", "") for place in [("a.md", 2, 1), ("a.md", 10, 1), ("b.md", 1, 2)]]
    assert sorted([problems[2], problems[1], problems[0]]) == problems


def test_a_warning_is_not_among_the_errors():
    assert errors([ODD, WRONG]) == [WRONG]


def test_every_code_is_an_area_and_a_word_explained_in_one_sentence():
    assert [code for code in CODES if not re.fullmatch(r"[a-z]+(-[a-z]+)+", code)] == []
    assert [text for text in CODES.values() if not re.fullmatch(r"[A-Z][^.]*(\.md`)?[^.]*\.", text)] == []
