"""Every question of the course that ships, on every aeroplane and under many seeds: right is right, wrong is wrong."""

import pytest

from stickback.course import asking
from stickback.course.course import applies, variant
from stickback.kinds import stick
from stickback.kinds.choice import Choice
from stickback.kinds.explain import Explain
from stickback.kinds.number import Number
from stickback.kinds.radio import Radio
from stickback.kinds.sequence import Sequence
from stickback.kinds.stick import Stick
from stickback.services import folder
from stickback.trade import taxi
from typed import heard

COURSE = folder.load(folder.shipped())
# Each question once for every set of values that it has: aeroplanes on which it is the same are one.
ASKED = {
    (question.id, variant(question, sheet), question.kind == Radio.NAME and sheet.id): (question, sheet)
    for question in COURSE.questions.values()
    for sheet in COURSE.sheets.values()
    if applies(question, {**sheet.values, **question.only})
}
SEEDS, NUMBER_SEEDS = 10, 60
MANY_SEEDS = 1_000  # of a campaign


def right(question, seed, values):
    """The answer that is shown as right, as it would be typed."""
    return question.body.simulate(seed, values, right=True)


def other_letters(question, seed, values):
    """One option more or less."""
    ticked = set(right(question, seed, values).split())
    return [" ".join(sorted(ticked ^ {letter})) for letter in "abcdefgh"[: len(question.body.options)]]


def neighbours_swapped(question, seed, values):
    steps = right(question, seed, values).split()
    return [" ".join([*steps[:at], steps[at + 1], steps[at], *steps[at + 2 :]]) for at in range(len(steps) - 1)]


def missed_or_failing(question, seed, values):
    """Without a point that must be said, or with one that fails the answer."""
    said = right(question, seed, values)
    for place, point in enumerate(question.body.answer(seed, values), 1):
        if point.must:
            yield " ".join(each for each in said.split() if each != str(place)) or "none"
        if point.fails:
            yield f"{said} {place}"
    yield "none"


def not_accepted(question, seed, values):
    accepted = {stick.position_of(point.text) for point in question.body.answer(seed, values)}
    return [stick.name(position) for position in taxi.POSITIONS if position not in accepted]


def nobody_speaking(question, seed, values):
    one = question.body.exchange(values)
    return ["roger"] if one.silent else [one.composed(own=""), "roger"]


def beyond(question, seed, values):
    """Figures just outside the tolerance on both sides."""
    body = question.body
    value, unit = body.figure.value(values), body.figure.unit_of(values)
    size = abs(value) if body.sided else value
    slack = body.tolerance.slack(value)
    for figure in (size + slack + 0.01, size - slack - 0.01):
        if figure >= 0 or not body.sided:
            yield f"{figure:.6f} {unit}"


WRONGS = {
    Choice.NAME: other_letters,
    Sequence.NAME: neighbours_swapped,
    Explain.NAME: missed_or_failing,
    Stick.NAME: not_accepted,
    Number.NAME: beyond,
    Radio.NAME: nobody_speaking,
}


def tried(kind, seeds):
    """Holds right answers and wrong ones of a kind; gives how many wrong ones there were."""
    tried = 0
    for question, sheet in (each for each in ASKED.values() if each[0].kind == kind):
        for seed in range(seeds):
            values = asking.values(question, seed, sheet)
            said = heard(question.body, right(question, seed, values), **values)
            assert said is not None, question.id
            assert question.body.mark(seed, said, values).right, (question.id, sheet.id, seed, said)
            for wrong in WRONGS[kind](question, seed, values):
                said = heard(question.body, wrong, **values)
                assert said is None or not question.body.mark(seed, said, values).right, (
                    question.id,
                    sheet.id,
                    seed,
                    wrong,
                )
                tried += said is not None
    return tried


@pytest.mark.parametrize("kind", WRONGS)
def test_the_answer_shown_as_right_is_right_and_a_changed_one_is_not(kind):
    assert tried(kind, NUMBER_SEEDS if kind == Number.NAME else SEEDS) > SEEDS


@pytest.mark.campaign
@pytest.mark.parametrize("kind", WRONGS)
def test_so_it_is_with_values_of_all_sorts(kind):
    assert tried(kind, MANY_SEEDS) > MANY_SEEDS


def test_every_kind_in_the_course_is_tried():
    assert {question.kind for question in COURSE.questions.values()} == set(WRONGS)
