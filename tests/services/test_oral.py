from datetime import date

import pytest

import worlds
from shells import blank, place, template
from stickback.kinds.shown import Unclear
from stickback.refused import Refused
from stickback.services import oral as service
from stickback.services.readiness import report
from stickback.store import people
from stickback.study import oral

__all__ = ["blank", "place", "template"]


@pytest.fixture
def at(place):
    """The desk of `me`."""
    place.desk().database.prepare()
    return place.desk


def right(one):
    return service.understand(one, "all" if one.ticked else "right")


def begun(at, questions=4, seed=3, by="Ina Vesper"):
    return service.begin(at(), by, questions, seed)


def test_every_mark_is_in_the_log_when_the_next_question_is_put(at):
    exam = begun(at)
    for many in range(1, 5):
        one = service.ask(exam)
        exam = service.mark(exam, one, right(one), "well  said")
        (kept,) = oral.orals(at().past)
        assert (len(kept.heard), kept.heard[-1].remark) == (many, "well said")
    assert service.ask(exam) is None
    assert kept.passed


def test_an_oral_left_in_the_middle_goes_on_with_the_same_questions(at):
    whole = begun(at).order
    exam = begun(at)
    for _ in range(2):
        one = service.ask(exam)
        exam = service.mark(exam, one, right(one))
    again = service.begin(at(), "Ina Vesper")
    assert again.oral == exam.oral
    assert again.order == whole
    assert service.ask(again).number == 3


def test_another_examiner_number_or_seed_begins_another_oral(at):
    exam = begun(at)
    one = service.ask(exam)
    service.mark(exam, one, right(one))
    for other in (begun(at, by="Ned"), begun(at, questions=3), begun(at, seed=4)):
        assert other.oral.heard == ()


def test_a_mark_taken_back_puts_its_question_again(at):
    exam = begun(at)
    with pytest.raises(Refused):
        service.back(exam)
    first = service.ask(exam)
    exam = service.back(service.mark(exam, first, right(first)))
    assert service.ask(exam) == first
    assert service.begin(at(), "Ina Vesper", 4, 3).oral.heard == ()


def test_a_question_marked_twice_is_kept_once(at):
    exam = begun(at)
    one = service.ask(exam)
    exam = service.mark(exam, one, right(one))
    assert service.mark(exam, one, right(one)) == exam


def test_an_oral_moves_no_memory_and_is_no_answer(at):
    exam = begun(at, questions=6)
    while (one := service.ask(exam)) is not None:
        exam = service.mark(exam, one, right(one))
    past = at().past
    assert past.answers == past.graded == ()


def test_points_are_ticked_and_typed_answers_are_marked_by_the_program(at):
    exam = begun(at, questions=20)
    found = {exam.order[at_][0].rpartition("/")[2]: service.put(exam, at_) for at_ in range(len(exam.order))}
    pushes, approach = found["pushes"], found["approach"]
    assert service.understand(pushes, "1 3").mark.right is False
    assert service.understand(pushes, "all").mark.right
    assert service.understand(pushes, "all 4").mark.right is False  # a fault was said
    assert isinstance(service.understand(pushes, "right"), Unclear)
    key = approach.points[0].label
    assert service.understand(approach, key).mark.right
    assert service.understand(approach, "wrong").mark.right is False
    assert [point.text for point in service.missed(pushes, "1 4")] == ["Push briefly", "Ease off", "Hold the push"]


@pytest.mark.parametrize("by", ["", " ", "a" * 81, "a\nb"])
def test_who_examines_is_a_name(at, by):
    with pytest.raises(Refused):
        begun(at, by=by)


def test_a_remark_that_is_too_long_is_refused_and_nothing_is_kept(at):
    exam = begun(at)
    one = service.ask(exam)
    with pytest.raises(Refused):
        service.mark(exam, one, right(one), "x" * 501)
    assert at().past.rows == ()


def test_a_report_counts_orals_up_to_its_day(at):
    exam = begun(at)
    one = service.ask(exam)
    exam = service.mark(exam, one, right(one))
    day, seat = date.fromisoformat(worlds.DAY), exam.desk
    who = list(people.everyone(seat.database).values())
    today = [page.orals for page in report(seat.database, seat.course, who, today=day).pages]
    before = [page.orals for page in report(seat.database, seat.course, who, today=date(2026, 5, 31)).pages]
    assert ([len(each) for each in today], before) == ([1], [()])
    assert today[0][0] == exam.oral
