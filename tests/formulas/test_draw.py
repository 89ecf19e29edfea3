import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.formulas import draw

seeds = st.integers(0, 2**53 - 1)
parts = st.lists(st.integers() | st.text(max_size=9), max_size=4)


@given(parts)
def test_a_number_is_whole_exact_in_json_and_the_same_every_time(parts):
    assert 0 <= draw.number(*parts) < 2**53
    assert draw.number(*parts) == draw.number(*parts)


@pytest.mark.parametrize("other", [("tail", 2), ("tail", "1", ""), ("tai", "l1"), (1, "tail"), ("tail1",), ()])
def test_other_parts_give_another_number(other):
    assert draw.number(*other) != draw.number("tail", 1)


@given(st.integers(0, 30), seeds)
def test_an_order_is_a_permutation(count, seed):
    assert sorted(draw.order(count, seed)) == list(range(count))


@given(st.integers(0, 30), seeds)
def test_the_same_seed_gives_the_same_order(count, seed):
    assert draw.order(count, seed) == draw.order(count, seed)


def test_each_place_is_as_likely_as_another():
    firsts = [draw.order(4, seed)[0] for seed in range(4000)]
    assert all(900 < firsts.count(index) < 1100 for index in range(4))


def test_numbers_and_orders_never_change_from_one_version_to_the_next():
    """An answer in the log is shown again from its seed, for years."""
    assert draw.number("tail", 1) == 6671950473981412
    assert draw.order(6, 1) == [3, 1, 2, 4, 0, 5]
    assert draw.order(6, 2**53 - 1) == [5, 3, 4, 1, 0, 2]
