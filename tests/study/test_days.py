from dataclasses import fields

import numpy as np
import pytest

from stickback.memory import curve
from stickback.study.ahead import Bank, Goal
from stickback.study.days import Start, live

TODAY = 20_600
NONE = np.zeros(8)


def bank(many=40, unseen=20, **more):
    """Questions of four topics; of the first ones nothing was seen yet."""
    new = np.arange(many) < unseen
    plain = Bank(
        topic=np.arange(many) % 4,
        stability=np.where(new, np.nan, 4.0),
        difficulty=np.where(new, np.nan, 5.0),
        moved_on=np.where(new, -1, TODAY - 6),
        guess=np.zeros(many),
        sight=np.full(many, 0.6),
        worth=np.full(many, 1 / many),
        seconds=np.full(many, 20.0),
    )
    return Bank(**{field.name: more.get(field.name, getattr(plain, field.name)) for field in fields(plain)})


def days(some, many=5, seconds=200.0, offsets=NONE, start=None, w=curve.DEFAULTS):
    everything = np.ones(len(some.moved_on), dtype=bool)
    start = start or Start(TODAY, seconds, [], ~everything)
    return list(live(some, [Goal(TODAY + many, everything)], start, TODAY + many, seconds, offsets, w))


def known(evening, on):
    return np.nan_to_num(curve.recall(evening.stability, np.maximum(on - evening.moved_on, 1))).mean(axis=1)


def test_there_is_an_evening_for_every_day_before_the_date():
    assert [one.day for one in days(bank())] == [TODAY + n for n in range(5)]
    assert days(bank(), many=0) == []


def test_no_day_takes_more_than_its_seconds():
    assert all(0 < one.seconds <= 200 for one in days(bank(), many=12))


def test_the_askings_of_a_day_take_its_seconds():
    assert all(one.seconds == pytest.approx(20 * one.asked) for one in days(bank()))


def test_more_seconds_a_day_leave_more_known_on_the_date():
    few, many = (known(days(bank(), seconds=seconds)[-1], TODAY + 5).mean() for seconds in (60.0, 400.0))
    assert few + 0.1 < many


def test_the_same_days_are_lived_twice():
    for one, other in zip(days(bank()), days(bank()), strict=True):
        np.testing.assert_array_equal(one.stability, other.stability)
        assert (one.seconds, one.asked) == (other.seconds, other.asked)


def test_who_answers_better_than_the_model_expects_remembers_more():
    offsets = np.repeat([-1.5, 1.5], 40)
    last = days(bank(unseen=0), many=20, offsets=offsets)[-1]
    below, above = np.split(known(last, TODAY + 20), 2)
    assert below.mean() + 0.05 < above.mean()


def test_the_share_of_right_answers_is_the_chance_that_was_told():
    some = bank(many=400, unseen=400, sight=np.full(400, 0.3))
    last = days(some, many=1, seconds=20.0 * 800, offsets=np.zeros(20))[0]
    assert np.mean(last.stability == curve.DEFAULTS[2]) == pytest.approx(0.3, abs=0.03)


def test_a_wrong_answer_takes_a_second_asking():
    never, always = (days(bank(sight=np.full(40, sight), unseen=40), many=1)[0] for sight in (1e-12, 1 - 1e-12))
    assert (int((never.moved_on == TODAY).sum(axis=1)[0]), never.asked) == (5, 10)
    assert (int((always.moved_on == TODAY).sum(axis=1)[0]), always.asked) == (10, 10)


def test_the_first_day_asks_todays_queue_as_planned():
    start = Start(TODAY, 120.0, [39, 38, 37], np.zeros(40, dtype=bool))
    (first,) = days(bank(), many=1, start=start)
    assert np.all(first.moved_on[:, [39, 38, 37]] == TODAY)


def test_what_was_answered_today_is_not_asked_again_on_the_first_day():
    done = np.arange(40) >= 2
    (first,) = days(bank(), many=1, seconds=9e9, start=Start(TODAY, 9e9, [], done))
    assert np.all((first.moved_on == TODAY) == ~done)


def test_a_first_day_that_is_used_up_asks_nothing_and_the_next_goes_on():
    start = Start(TODAY, 0.0, [], np.zeros(40, dtype=bool))
    first, second, *_ = days(bank(), start=start)
    assert (first.asked, second.asked > 0) == (0, True)


def test_other_parameters_lead_to_other_evenings():
    w = (*curve.DEFAULTS[:2], 20.0, *curve.DEFAULTS[3:])
    assert np.nanmax(days(bank(), w=w)[0].stability) == 20.0


def test_what_was_answered_wrong_on_any_day_is_remembered_as_missed():
    never, always = (days(bank(sight=np.full(40, sight), unseen=40), many=2) for sight in (1e-12, 1 - 1e-12))
    assert np.array_equal(never[0].ever_wrong, never[0].moved_on == TODAY)
    assert np.all(never[1].ever_wrong | ~never[0].ever_wrong)
    assert not always[0].ever_wrong.any()
