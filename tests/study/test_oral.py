from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory.past import Row, past
from stickback.study import oral
from stickback.study.oral import Oral


def held(**more):
    return Oral(**{"id": "a", "day": 1, "by": "Ina", "questions": 2, "needed": 2, "seed": 7, **more})


def row(number, one=None, *, right=True, what="oral", voids=None, given=None):
    stored = given if given is not None else oral.note(one or held(), "1 3", "slow") if what == "oral" else None
    return Row(
        id=f"id-{number}",
        what=what,
        day=1,
        question=f"tw/q-{number}",
        variant="v",
        kind="explain",
        given=stored,
        confidence=None,
        hinted=None,
        right=right,
        seconds=None,
        voids=voids,
    )


def test_what_is_stored_of_a_question_says_to_which_oral_it_belongs():
    (found,) = oral.orals(past([row(1, held(known=0.7, chance=0.4)), row(2, held(known=0.7, chance=0.4), right=False)]))
    assert (found.by, found.known, found.chance, found.right, found.whole, found.passed) == (
        *("Ina", 0.7, 0.4, 1, True, False),
    )
    assert [(one.history, one.said, one.remark) for one in found.heard] == [
        (("tw/q-1", "v"), "1 3", "slow"),
        (("tw/q-2", "v"), "1 3", "slow"),
    ]


def test_a_mark_taken_back_is_left_out():
    (found,) = oral.orals(past([row(1), row(2), row(3, what="void", voids="id-2")]))
    assert [one.entry for one in found.heard] == ["id-1"]
    assert not found.whole


@pytest.mark.parametrize(
    "given", ["", "no", "[]", '{"oral": 1}', '{"oral": "a"}', '{"oral": "a", "questions": -1, "needed": 1, "seed": 1}']
)
def test_what_no_one_can_read_is_of_no_oral(given):
    assert oral.orals(past([row(1, given=given)])) == []


def test_topics_are_drawn_by_their_weight():
    topics = [0] * 400 + [1] * 20
    first = Counter(topics[oral.drawn(topics, [1, 3], 1, seed)[0]] for seed in range(2000))
    assert 0.71 < first[1] / 2000 < 0.79  # three in four, give or take four standard errors


@given(st.lists(st.integers(0, 5), max_size=40), st.integers(0, 50), st.integers(0, 2**53 - 1))
def test_no_question_is_put_twice_and_the_same_seed_draws_the_same(topics, many, seed):
    weights = [1, 2, 3, 1, 2, 3]
    found = oral.drawn(topics, weights, many, seed)
    assert len(set(found)) == len(found) == min(many, len(topics))
    assert found == oral.drawn(topics, weights, many, seed)
    assert found[: many // 2] == oral.drawn(topics, weights, many // 2, seed)


def test_only_whole_orals_are_held_to_the_chance_told_before():
    whole = oral.orals(past([row(1, held(chance=0.9)), row(2, held(chance=0.9))]))[0]
    failed = oral.orals(past([row(1, held(id="b", chance=0.85), right=False), row(2, held(id="b", chance=0.85))]))[0]
    begun, untold = held(id="c", chance=0.9), oral.orals(past([row(1, held(id="d")), row(2, held(id="d"))]))[0]
    (group,) = oral.against_told([whole, failed, begun, untold])
    assert (group.low, group.orals, group.passed) == (0.8, 2, 1)
    assert group.expected == pytest.approx(1.75)
