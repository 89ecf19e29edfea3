from datetime import UTC, datetime, timedelta

import pytest
import sqlalchemy as sa
from hypothesis import given
from hypothesis import strategies as st

import invented
from stickback.clock import Clock
from stickback.memory.curve import DEFAULTS
from stickback.store import parameters, people
from stickback.store.parameters import Adopted, Sets

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
ONE, OTHER, THIRD = (invented.person(seed) for seed in (1, 2, 3))


def adopt(store, w, name="ann", answers=500, at=NOW):
    parameters.adopt(store, name, w, answers, Clock("UTC", source=lambda: at))


def in_force(store, name="ann"):
    return parameters.adopted(store, [name])[name]


def test_who_adopted_nothing_follows_the_defaults(store, new):
    for each in (store, new):
        assert parameters.adopted(each, ["ann", "bob"]) == {"ann": DEFAULTS, "bob": DEFAULTS}
        assert parameters.sets(each, "ann") == Sets()
    with new.reading() as connection:
        assert connection is None


def test_a_set_is_in_force_to_the_last_digit(store):
    adopt(store, ONE)
    assert in_force(store) == ONE


def test_the_newest_set_wins_whatever_the_clock_says(store):
    for days, w in ((0, ONE), (-9, OTHER), (-9, THIRD)):
        adopt(store, w, at=NOW + timedelta(days=days))
        assert in_force(store) == w


def test_every_student_has_a_set_alone_and_only_those_asked_about_are_told(store):
    adopt(store, ONE, "ann")
    adopt(store, OTHER, "bob")
    assert parameters.adopted(store, ["bob", "zoe"]) == {"bob": OTHER, "zoe": DEFAULTS}
    assert parameters.adopted(store, []) == {}


def test_what_was_adopted_is_kept_with_its_moment_and_its_number_of_answers(store):
    adopt(store, ONE, answers=600)
    adopt(store, DEFAULTS, answers=1300, at=NOW + timedelta(seconds=1))
    at = int(NOW.timestamp() * 1000)
    assert parameters.sets(store, "ann").adopted == (Adopted(ONE, 600, at), Adopted(DEFAULTS, 1300, at + 1000))
    assert parameters.sets(store, "ann").tried == 1300
    assert parameters.sets(store, "bob").tried == 0


@pytest.mark.parametrize("w", [(), DEFAULTS[:-1], (*DEFAULTS[:-1], float("nan")), (*DEFAULTS[:-1], 9.0)])
def test_what_the_library_would_not_take_cannot_be_adopted(store, w):
    with pytest.raises(ValueError):
        adopt(store, w)
    assert parameters.sets(store, "ann") == Sets()


def test_who_is_erased_leaves_no_set(store, other):
    adopt(store, ONE, "ann")
    adopt(store, OTHER, "bob")
    people.erase(store, "ann")
    assert other.exec_driver_sql("SELECT count(*) FROM parameters").fetchone() == (1,)
    assert parameters.adopted(store, ["ann", "bob"]) == {"ann": DEFAULTS, "bob": OTHER}


@pytest.mark.parametrize("text", ["", "nonsense", "{}", "null", "7", "[1]", "[" * 9999, '["a"]', "[[]]", "[1e999]"])
def test_a_set_that_cannot_be_read_is_passed_over_and_its_student_named(store, other, text):
    adopt(store, ONE)
    adopt(store, OTHER)
    newest = "(SELECT max(id) FROM parameters)"
    other.execute(sa.text(f'UPDATE parameters SET "values" = :text WHERE id = {newest}'), {"text": text})
    assert in_force(store) == ONE
    assert parameters.damaged(store) == ["ann"]


def test_no_set_of_the_programs_own_is_damaged(store):
    adopt(store, ONE)
    adopt(store, DEFAULTS)
    assert parameters.damaged(store) == []


# Going back


def before(*sets):
    return Sets(tuple(Adopted(w, 500, 0) for w in sets)).before


@pytest.mark.parametrize(
    ("adopted", "back_to"),
    [
        ((), None),
        ((DEFAULTS, DEFAULTS), None),
        ((ONE,), DEFAULTS),
        ((DEFAULTS, ONE, ONE), DEFAULTS),
        ((ONE, OTHER), ONE),
        ((ONE, OTHER, ONE), DEFAULTS),
        ((ONE, OTHER, ONE, DEFAULTS), None),
        ((ONE, DEFAULTS, OTHER), DEFAULTS),
        ((ONE, OTHER, ONE, THIRD), ONE),
    ],
)
def test_the_set_before_is_the_one_to_go_back_to(adopted, back_to):
    assert before(*adopted) == back_to


@given(st.lists(st.sampled_from((DEFAULTS, ONE, OTHER, THIRD))))
def test_going_back_ends_at_the_defaults_however_it_began(adopted):
    steps = len(adopted) + 1
    while (w := before(*adopted)) is not None:
        adopted.append(w)
        steps -= 1
        assert steps
    assert not adopted or adopted[-1] == DEFAULTS
