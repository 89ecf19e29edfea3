import pytest

from stickback.memory.past import Row, past
from stickback.study.flown import FlownError, errors_of, lessons, note, still_open

TOPICS_BEHIND = {"late-foot": ("swing",), "heel-drag": ("brakes", "swing")}
TOPIC_OF = {"tw/way": "swing", "tw/foot": "swing", "tw/heels": "brakes"}


class Log:
    """A log written line by line; ids follow each other."""

    def __init__(self):
        self.rows = []

    def add(self, what, day, question=None, variant="", **more):
        values = dict.fromkeys(Row._fields) | {"variant": variant, "kind": "choice"} | more
        name = f"id{len(self.rows):03}"
        self.rows.append(Row(**values | {"id": name, "what": what, "day": day, "question": question}))
        return self

    def flown(self, day, *errors, lesson="tw/take-off"):
        return self.add("flown", day, lesson, given=note(errors, "Gusty."))

    def answer(self, day, question="tw/way", right=True, confidence="think", hinted=False):
        return self.add("answer", day, question, right=right, confidence=confidence, hinted=hinted)

    def undo(self):
        return self.add("void", self.rows[-1].day, voids=self.rows[-1].id)

    def open(self):
        """The errors open and the topics left behind each."""
        return {error.error: error.topics for error in self.errors()}

    def errors(self):
        return still_open(past(self.rows), TOPICS_BEHIND, TOPIC_OF)


def test_an_error_seen_is_open():
    assert Log().flown(5, "late-foot").errors() == [FlownError("late-foot", "tw/take-off", 5, ("swing",))]


def test_an_error_is_worked_off_by_right_answers_on_two_different_days_since():
    log = Log().flown(5, "late-foot").answer(6)
    assert (log.open(), log.answer(8).open()) == ({"late-foot": ("swing",)}, {})


def test_any_questions_of_the_topic_work_an_error_off():
    assert Log().flown(5, "late-foot").answer(6, "tw/way").answer(7, "tw/foot").open() == {}


def test_two_right_answers_on_one_day_are_one_day():
    assert "late-foot" in Log().flown(5, "late-foot").answer(6, "tw/way").answer(6, "tw/foot").open()


@pytest.mark.parametrize("answers", [(1, 2), (4, 5), (5, 6)])
def test_answers_up_to_the_day_of_the_flight_work_nothing_off(answers):
    log = Log()
    for day in sorted((*answers, 5.5)):
        log = log.flown(5, "late-foot") if day == 5.5 else log.answer(day)
    assert "late-foot" in log.open()


@pytest.mark.parametrize(
    "second",
    [
        {"right": False},
        {"confidence": "guess"},
        {"hinted": True},
        {"question": "tw/heels"},
        {"question": "tw/of-no-topic"},
    ],
)
def test_a_second_answer_that_is_wrong_guessed_hinted_or_of_another_topic_works_nothing_off(second):
    assert "late-foot" in Log().flown(5, "late-foot").answer(6).answer(7, **second).open()


def test_practice_works_nothing_off():
    log = Log().flown(5, "late-foot").answer(6).answer(7, right=False).answer(7)
    assert "late-foot" in log.open()


def test_an_answer_taken_back_works_nothing_off():
    assert "late-foot" in Log().flown(5, "late-foot").answer(6).answer(7).undo().open()


def test_a_topic_answered_enough_no_longer_stands_behind_the_error():
    log = Log().flown(5, "heel-drag").answer(6, "tw/way").answer(7, "tw/way")
    assert log.open() == {"heel-drag": ("brakes",)}


def test_an_error_seen_again_is_open_again():
    log = Log().flown(5, "late-foot").answer(6).answer(7).flown(8, "late-foot", lesson="tw/landing")
    assert log.errors() == [FlownError("late-foot", "tw/landing", 8, ("swing",))]


def test_an_error_seen_twice_is_listed_once_with_its_latest_flight():
    assert [error.day for error in Log().flown(5, "late-foot").flown(9, "late-foot").errors()] == [9]


def test_a_flight_taken_back_opens_nothing():
    assert Log().flown(5, "late-foot").undo().open() == {}


def test_an_error_that_the_course_no_longer_has_is_not_open():
    assert Log().flown(5, "forgotten").open() == {}


def test_the_lessons_flown_are_listed_in_order_without_those_taken_back():
    log = Log().flown(5, lesson="tw/take-off").flown(3, lesson="tw/taxi").flown(7, lesson="tw/landing").undo()
    assert lessons(past(log.rows)) == [("tw/taxi", 3), ("tw/take-off", 5)]


def test_what_is_noted_keeps_the_errors_and_the_words():
    text = note(("late-foot", "heel-drag"), 'Böig, "links" ✈')
    assert "Böig" in text
    assert errors_of(Log().add("flown", 1, given=text).rows[0]) == ("late-foot", "heel-drag")


@pytest.mark.parametrize(
    "given", [None, "", "late-foot", "null", "[]", "5", '"late"', "{}", '{"errors": null}', '{"errors": 5}', "[" * 9999]
)
def test_what_an_import_brought_in_another_form_names_no_error(given):
    assert errors_of(Log().add("flown", 1, given=given).rows[0]) == ()
