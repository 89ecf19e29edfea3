from stickback.reading.problem import At, Problem
from stickback.words import course as words

WRONG = Problem(At("feet.md", 3, 1), "some-code", "It is wrong.", "mend it")
ODD = Problem(At("feet.md", 4, 1), "some-code", "It is odd.", "mend it", "warning")


def test_what_was_read_and_what_is_wrong_is_one_line(session):
    course = session().desk.course
    assert words.summary(course, (), [WRONG, ODD, ODD]) == "22 questions, 1 error, 2 warnings."
    assert words.summary(course, {"nowhere.md"}, []) == "0 questions, 0 errors, 0 warnings."


def test_a_question_is_said_to_be_read_as_its_kind_and_for_whom(session):
    course = session().desk.course
    assert words.read_as(course.questions["steer"]) == "choice, 4 options, 2 right"
