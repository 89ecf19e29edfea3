import pytest

from stickback.course.course import Seen
from stickback.memory.past import Row, past
from stickback.study.flown import Flown, FlownError, flights, flown, last, note, still_open

ERRORS = {
    name: Seen(name, name, topics, 1, {})
    for name, topics in {"late-foot": ("swing",), "heel-drag": ("brakes", "swing")}.items()
}
BADLY = '{"seat": "wing", "wheel": true, "full_stop": -1, "standard": 5, "by": [], "note": {}, "wind": 5}'
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

    def flown(self, day, *errors, lesson="take-off", by="self", **more):
        one = Flown(lesson=lesson, day=day, by=by, errors=errors, **more)
        marked_by = "self" if one.own else "instructor"
        return self.add("flown", day, f"tw/{lesson}", given=note(one), marked_by=marked_by, aircraft="aldwick")

    def answer(self, day, question="tw/way", right=True, confidence="think", hinted=False):
        return self.add("answer", day, question, right=right, confidence=confidence, hinted=hinted)

    def undo(self):
        return self.add("void", self.rows[-1].day, voids=self.rows[-1].id)

    def open(self):
        """The errors open, and the topics of each that are due."""
        return {error.error: error.due for error in self.errors()}

    def errors(self):
        return still_open(past(self.rows), ERRORS, TOPIC_OF)


def test_an_error_seen_is_open():
    assert Log().flown(5, "late-foot").errors() == [
        FlownError(error="late-foot", lesson="take-off", day=5, topics=("swing",), due=("swing",))
    ]


# closed


def test_flying_the_lesson_again_with_the_instructor_closes_an_error():
    assert Log().flown(5, "late-foot").flown(9, by="instructor").open() == {}


@pytest.mark.parametrize(
    "again",
    [
        {"by": "self"},
        {"by": "instructor", "seat": "solo"},
        {"by": "instructor", "lesson": "landing"},
    ],
    ids=["own record", "solo", "another lesson"],
)
def test_no_other_flight_closes_it(again):
    assert "late-foot" in Log().flown(5, "late-foot").flown(9, **again).open()


def test_a_flight_of_the_same_day_closes_nothing():
    assert "late-foot" in Log().flown(5, "late-foot").flown(5, by="Ina Vesper").open()


def test_answers_never_close_an_error_however_many_are_right():
    log = Log().flown(5, "late-foot")
    for day in range(6, 30):
        log = log.answer(day)
    assert log.open() == {"late-foot": ()}


def test_a_closing_flight_that_is_taken_back_closes_nothing():
    assert "late-foot" in Log().flown(5, "late-foot").flown(9, by="instructor").undo().open()


def test_an_error_seen_again_is_open_again():
    log = Log().flown(5, "late-foot").flown(7, by="instructor").flown(8, "late-foot", lesson="landing")
    assert [(one.lesson, one.day) for one in log.errors()] == [("landing", 8)]


def test_an_error_seen_again_on_the_flight_that_would_close_it_stays_open():
    assert "late-foot" in Log().flown(5, "late-foot").flown(9, "late-foot", by="instructor").open()


def test_an_error_seen_twice_is_listed_once_with_its_latest_flight():
    assert [error.day for error in Log().flown(5, "late-foot").flown(9, "late-foot").errors()] == [9]


def test_an_error_that_the_instructor_saw_once_is_not_the_students_alone():
    assert [one.own for one in Log().flown(5, "late-foot").errors()] == [True]
    assert [one.own for one in Log().flown(5, "late-foot", by="Ina").flown(6, "late-foot").errors()] == [False]


# what the reviews ask first


def test_a_topic_is_due_until_it_was_answered_right_on_two_different_days_since():
    log = Log().flown(5, "heel-drag").answer(6)
    assert log.open() == {"heel-drag": ("brakes", "swing")}
    assert log.answer(8, "tw/foot").open() == {"heel-drag": ("brakes",)}


def test_two_right_answers_on_one_day_are_one_day():
    assert Log().flown(5, "late-foot").answer(6, "tw/way").answer(6, "tw/foot").open() == {"late-foot": ("swing",)}


@pytest.mark.parametrize("answers", [(1, 2), (4, 5), (5, 6)])
def test_answers_up_to_the_day_of_the_flight_do_not_count(answers):
    log = Log()
    for day in sorted((*answers, 5.5)):
        log = log.flown(5, "late-foot") if day == 5.5 else log.answer(day)
    assert log.open() == {"late-foot": ("swing",)}


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
def test_a_second_answer_that_is_wrong_guessed_hinted_or_of_another_topic_does_not_count(second):
    assert Log().flown(5, "late-foot").answer(6).answer(7, **second).open() == {"late-foot": ("swing",)}


def test_practice_and_answers_taken_back_do_not_count():
    log = Log().flown(5, "late-foot").answer(6)
    assert log.answer(7, right=False).answer(7).open() == {"late-foot": ("swing",)}
    assert log.answer(8).undo().open() == {"late-foot": ("swing",)}


# records


def test_a_flight_taken_back_opens_nothing():
    assert Log().flown(5, "late-foot").undo().open() == {}


def test_an_error_that_the_course_no_longer_has_is_not_open():
    assert Log().flown(5, "forgotten").open() == {}


def test_the_lessons_flown_are_listed_in_order_without_those_taken_back():
    log = Log().flown(5, lesson="take-off").flown(3, lesson="taxi").flown(7, lesson="landing").undo()
    assert [(one.lesson, one.day) for one in flights(past(log.rows))] == [("taxi", 3), ("take-off", 5)]


@pytest.mark.parametrize("by", ["self", "instructor", "Ina Vesper"])
def test_a_record_comes_back_from_the_log_as_it_was_made(by):
    made = Flown(
        lesson="take-off",
        day=5,
        by=by,
        aircraft="aldwick",
        errors=("late-foot", "heel-drag"),
        note='Böig, "links" ✈',
        seat="dual",
        standard="met",
        wind="240/12",
        full_stop=3,
        wheel=0,
    )
    row = Log().flown(
        5, *made.errors, by=by, note=made.note, seat="dual", standard="met", wind="240/12", full_stop=3, wheel=0
    )
    assert "Böig" in row.rows[0].given
    assert flown(row.rows[0]) == made


def test_the_last_landing_of_a_sort_is_that_of_the_latest_flight_with_one():
    log = Log().flown(5, full_stop=3, wheel=1).flown(9, full_stop=2, wheel=0)
    found = flights(past(log.rows))
    assert [last(found, what) for what in ("full_stop", "wheel", "go_around")] == [9, 5, None]


@pytest.mark.parametrize(
    "given",
    [None, "", "late-foot", "null", "[]", "5", '"late"', "{}", '{"errors": null}', '{"errors": 5}', "[" * 9999, BADLY],
)
def test_what_an_import_brought_in_another_form_counts_as_not_recorded(given):
    row = Log().add("flown", 1, "tw/take-off", given=given, marked_by="self").rows[0]
    assert flown(row) == Flown(lesson="take-off", day=1)
