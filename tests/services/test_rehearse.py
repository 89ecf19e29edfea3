from datetime import timedelta

import numpy as np
import pytest

from stickback import clock
from stickback.services import dates, rehearse


@pytest.fixture
def rehearsal(school, hands):
    """A rehearsal three days ahead, after a first day of answers."""
    hands.finish(school.begin(0, topic="swing"))
    school.set(checkride=school.desk().day + timedelta(days=4))
    desk = school.desk(1)
    return rehearse.rehearsal(desk, dates.targets(desk)[-1])


def test_there_are_evenings_up_to_the_date_for_any_minutes(rehearsal):
    for minutes in (1, 10, 60):
        found = rehearse.evenings(rehearsal, minutes)
        assert [one.day - rehearsal.desk.number for one in found] == [0, 1, 2]


def test_now_is_an_evening_of_everyone_followed_with_nothing_done(rehearsal):
    now = rehearse.now(rehearsal)
    assert now.stability.shape == (rehearse.FOLLOWED, len(rehearsal.bank.last))
    assert (now.asked, now.seconds) == (0, 0)
    np.testing.assert_array_equal(now.last[0], rehearsal.bank.last)


def test_who_answers_better_than_the_model_expects_is_told_to_know_more(rehearsal):
    told = rehearse.told(rehearsal, rehearse.now(rehearsal), clock.day_number(rehearsal.target.day))
    middles = told.known[:, 1].tolist()
    assert middles == sorted(middles)
    assert middles[0] < middles[-1]


def test_offsets_are_spread_around_the_students_own_and_more_so_the_less_is_known_of_it():
    sure, unsure = rehearse.spread_out(0.3, 0.0), rehearse.spread_out(0.3, 0.5)
    assert np.mean(sure) == pytest.approx(0.3) == np.mean(unsure)
    assert 0.9 * rehearse.STUDYING < np.std(sure) < np.std(unsure)
    assert list(sure) == sorted(sure)


def test_a_mixture_of_one_band_is_about_that_band():
    assert rehearse.mixed(np.array([[0.2, 0.5, 0.8]])) == pytest.approx((0.65, 0.5, 0.8), abs=0.02)


def test_a_mixture_of_bands_that_differ_is_wider_than_each():
    mixed = rehearse.mixed(np.array([[0.4, 0.35, 0.45], [0.8, 0.75, 0.85]]))
    assert (mixed.middle, mixed.low < 0.4, mixed.high > 0.8) == (0.6, True, True)
