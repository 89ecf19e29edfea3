from dataclasses import replace

import numpy as np
import pytest

import standing
from stickback.readiness import rehearsal
from stickback.readiness.rehearsal import FOLLOWED, STEPS, Rehearsal
from stickback.readiness.statement import PASSES
from stickback.study.ahead import Goal
from stickback.study.days import Start
from stickback.study.student import MOST_MINUTES

TODAY, MANY = standing.DAY + 1, 40


def made(days=10, minutes=3, unseen=30, error=0.3, offset=0.0):
    """Some days to a date, with questions of four topics of which the first ones are unseen."""
    new = np.arange(MANY) < unseen
    standings = standing.students(
        np.where(new, np.nan, 6.0)[None],
        standing.oral("abcd"),
        np.arange(MANY) % 4,
        ever_wrong=np.ones((1, MANY), dtype=bool),
        offset=np.array([offset]),
        error=np.array([error]),
    )
    return Rehearsal(
        standings=standings,
        bank=standings.bank(np.full(MANY, 20.0)),
        goals=[Goal(TODAY + days, np.ones(MANY, dtype=bool))],
        start=Start(TODAY, 60.0 * minutes, list(range(MANY)), np.zeros(MANY, dtype=bool)),
        on=TODAY + days,
        minutes=minutes,
    )


def test_there_are_evenings_up_to_the_date_for_any_minutes():
    for minutes in (1, 10, 60):
        assert [one.day - TODAY for one in made(days=3).evenings(minutes)] == [0, 1, 2]


def test_now_is_an_evening_of_everyone_followed_with_nothing_done():
    at = made()
    now = at.now()
    assert now.stability.shape == (FOLLOWED, MANY)
    assert (now.asked, now.seconds, now.ever_wrong.any()) == (0, 0, False)
    np.testing.assert_array_equal(now.moved_on[0], at.bank.moved_on)


def test_who_answers_better_than_the_model_expects_is_told_to_know_more():
    known = [made(offset=offset).reached(made(offset=offset).now(), TODAY + 10).known.middle for offset in (-1, 0, 1)]
    assert known == sorted(known)
    assert known[0] < known[2]


def test_offsets_are_spread_around_the_students_own_and_more_so_the_less_is_known_of_it():
    sure, unsure = made(error=0.0, offset=0.3).offsets(400), made(error=0.5, offset=0.3).offsets(400)
    assert np.mean(sure) == pytest.approx(0.3) == np.mean(unsure)
    assert np.std(sure) == pytest.approx(rehearsal.STUDYING, rel=0.02)
    assert np.std(sure) < np.std(unsure)
    assert list(sure) == sorted(sure)


def test_more_minutes_leave_a_better_chance():
    chances = [made().pass_if_kept(minutes).middle for minutes in (1, 3, 10)]
    assert chances == sorted(chances)


def test_the_minutes_missing_are_the_fewest_steps_that_are_enough():
    at = made(days=8, minutes=1)
    short = at.short_by(at.pass_if_kept(1))
    assert short in STEPS
    assert at.pass_if_kept(1 + short).middle >= PASSES
    fewer = [step for step in STEPS if step < short]
    assert not fewer or at.pass_if_kept(1 + fewer[-1]).middle < PASSES


def test_where_the_chance_is_enough_nothing_is_missing_and_where_nothing_helps_none_is_named():
    assert rehearsal.outcome(made(days=8, minutes=60)).short_by == 0
    assert rehearsal.outcome(made(days=0)).short_by is None
    hopeless = made(days=1, minutes=MOST_MINUTES, unseen=MANY, offset=-3)
    assert rehearsal.outcome(replace(hopeless, start=replace(hopeless.start, queue=[]))).short_by is None


def test_the_way_to_the_date_begins_today_and_ends_on_it():
    found = rehearsal.outcome(made(days=30, minutes=3))
    days, known = zip(*found.way, strict=True)
    assert (days[0], days[-1], len(days)) == (TODAY, TODAY + 30, rehearsal.WAY)
    assert list(days) == sorted(set(days))
    assert all(one.low <= one.middle <= one.high for one in known)
    assert known[-1].middle > known[0].middle


def test_on_the_date_itself_the_way_is_one_day():
    assert [day for day, _ in rehearsal.outcome(made(days=0)).way] == [TODAY]
