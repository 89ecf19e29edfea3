from itertools import pairwise, permutations
from math import factorial
from string import ascii_lowercase

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts import part_of
from stickback.kinds import sequence
from stickback.kinds.sequence import Sequence
from typed import heard

SEEDS = st.integers(0, 2**53 - 1)
BODIES = st.integers(sequence.LEAST, sequence.MOST).map(lambda many: Sequence(tuple(f"Step {n}" for n in range(many))))
START = Sequence(("Mixture rich", "Magnetos on", "Starter", "Oil pressure"))


def part(answer):
    """The question; what stands under `### Answer` begins on its line 5."""
    return part_of(f"## In which order? {{#order}}\n\n### Answer\n\n{answer}\n")


def faults(answer):
    body, _, problems = Sequence.parse(part(answer))
    assert body is None
    return [(problem.line, problem.code) for problem in problems]


def numbered(*steps):
    return "\n".join(f"{number}. {step}" for number, step in enumerate(steps, 1))


def letters(body, seed, order):
    """What a student types who wants the steps in this order."""
    shown = body.show(seed, {}).options
    return " ".join(ascii_lowercase[shown.index(step)] for step in order)


# reading


def test_an_ordered_list_is_the_steps_in_their_order():
    body, prompt, problems = Sequence.parse(part("1. Mixture\n2. *Magnetos*\n   on\n3. Starter"))
    assert (body, prompt, problems) == (Sequence(("Mixture", "*Magnetos* on", "Starter")), (), [])


@pytest.mark.parametrize(
    ("answer", "read"), [("1. One", True), ("1) One", True), ("- One", False), ("One", False), ("> 1. One", False)]
)
def test_an_answer_that_begins_with_an_ordered_list_is_read(answer, read):
    assert Sequence.reads(part(answer)) is read


@pytest.mark.parametrize(("many", "good"), [(2, False), (3, True), (8, True), (9, False)])
def test_a_sequence_has_three_to_eight_steps(many, good):
    steps = [f"Step {number}" for number in range(many)]
    if good:
        assert Sequence.parse(part(numbered(*steps)))[0] == Sequence(tuple(steps))
    else:
        assert faults(numbered(*steps)) == [(5, "sequence-steps")]


@pytest.mark.parametrize(
    "steps", [("Brakes", "Fuel", "Brakes"), ("Brakes", "", "Fuel"), ("Set brakes", "B", "Set  brakes")]
)
def test_steps_that_read_the_same_or_are_empty_are_refused(steps):
    assert faults(numbered(*steps)) == [(5, "sequence-same")]


@pytest.mark.parametrize(
    ("answer", "line"),
    [
        ("1. One\n2. Two\n3. Three\n\nAnd more.", 9),
        ("1. One\n2. Two\n   - of two\n3. Three", 7),
        ("1. One\n\n   Of one.\n2. Two\n3. Three", 7),
        ("1. > One\n2. Two\n3. Three", 5),
    ],
)
def test_what_is_not_a_step_is_named_at_its_line(answer, line):
    assert faults(answer) == [(line, "answer-form")]


# asking


@given(BODIES, SEEDS)
def test_the_steps_are_shown_shuffled_and_never_in_the_right_order(body, seed):
    shown = body.show(seed, {})
    assert shown.manner == "order"
    assert sorted(shown.options) == sorted(body.steps)
    assert shown.options != body.steps
    assert shown == body.show(seed, {})


def test_every_other_order_is_shown_for_some_seed():
    body = Sequence(("One", "Two", "Three"))
    shown = {body.show(seed, {}).options for seed in range(200)}
    assert shown == set(permutations(body.steps)) - {body.steps}


@pytest.mark.parametrize(
    ("said", "understood"),
    [
        ("c a b d", "c a b d"),
        ("CABD", "c a b d"),
        ("c, a; b-d", "c a b d"),
        ("c a b", None),
        ("c a b c", None),
        ("a b c d d", None),
        ("a b c e", None),
        ("1 2 3 4", None),
        ("", None),
    ],
)
def test_every_letter_once_is_an_answer(said, understood):
    assert heard(START, said) == understood


@given(BODIES, st.text(alphabet="abcdefgh ,;-ABŞ", max_size=12))
def test_an_answer_understood_is_understood_as_itself_and_can_be_marked(body, said):
    once = heard(body, said)
    if once is not None:
        assert heard(body, once) == once
        assert 0 <= body.mark(1, once, {}).score <= 1


# marking


@given(BODIES, SEEDS, st.randoms())
def test_only_the_exact_order_is_right_and_the_score_is_the_share_of_neighbours_in_order(body, seed, random):
    order = random.sample(body.steps, len(body.steps))
    pairs = set(pairwise(body.steps))
    found = sum(pair in pairs for pair in pairwise(order))
    mark = body.mark(seed, letters(body, seed, order), {})
    assert mark.score == found / (len(order) - 1)
    assert mark.right is (tuple(order) == body.steps)
    assert mark.right is (mark.score == 1)


@given(BODIES, SEEDS)
def test_the_answer_is_the_steps_in_order_and_its_letters_are_marked_right(body, seed):
    points = body.answer(seed, {})
    assert tuple(point.text for point in points) == body.steps
    mark = body.mark(seed, " ".join(point.label for point in points), {})
    assert (mark.right, mark.score, mark.remarks) == (True, 1.0, ())


def test_a_wrong_order_is_shown_by_the_right_numbers_with_what_is_in_place():
    said = letters(START, 5, ("Mixture rich", "Starter", "Magnetos on", "Oil pressure"))
    (remark,) = START.mark(5, said, {}).remarks
    assert remark == "Yours, by the right numbers: (1) 3 2 (4). In brackets what is in place."
    none = letters(START, 5, ("Starter", "Mixture rich", "Oil pressure", "Magnetos on"))
    assert START.mark(5, none, {}).remarks == ("Yours, by the right numbers: 3 1 4 2.",)


@given(BODIES)
def test_guessing_gives_one_of_all_orders(body):
    assert body.chance() == 1 / factorial(len(body.steps))


def test_a_sequence_says_how_it_was_read_and_what_it_expects():
    assert START.describe() == "4 steps"
    assert "a to d" in START.show(1, {}).expects
    assert START.texts() == START.steps


def test_the_steps_are_told_by_their_right_places_and_the_letters_they_had():
    told = START.compare(3, "a b c d", {})
    letters = [point.label for point in START.answer(3, {})]
    assert [(point.place, point.label, point.text) for point in told.points] == [
        (str(place), letter, step) for place, letter, step in zip((1, 2, 3, 4), letters, START.steps, strict=True)
    ]
    assert told.said == "a, b, c, d"
    assert told.later == "another order"


@given(st.permutations("abcd"), st.integers(0, 2**53))
def test_the_log_keeps_the_steps_of_the_file_in_the_order_given(order, seed):
    given = " ".join(order)
    kept = START.to_log(seed, given)
    assert START.from_log(seed, kept) == given
    assert START.from_log(seed, given) == given
    assert START.judge(seed, kept, {}) == START.judge(seed, given, {})
    assert START.mark(seed, given, {}).right is (START.chosen(seed, kept) == (1, 2, 3, 4))


def test_steps_that_were_reworded_since_are_no_order():
    kept = Sequence(("One", "Two", "Three")).to_log(1, "a b c")
    assert Sequence(("One", "Two", "Four")).judge(1, kept, {})[0].right is False
