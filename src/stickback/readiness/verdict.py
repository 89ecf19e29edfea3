"""The verdict on a forecast, and what stands in its way; for an instructor, who decides."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stickback.amount import percent
from stickback.course.plan import Topic
from stickback.memory.curve import Flags, Floats, Ints
from stickback.readiness.forecast import Band
from stickback.readiness.score import Topics

SOUND, BORDERLINE, NOT_YET, NO_ESTIMATE = "sound", "borderline", "not yet", "no estimate"
PASSES = 0.8  # the chance to pass that is asked for
MUST_KNOW = 0.7  # what a must topic keeps at the low end
MUST_SEEN = 4  # of its questions, or all where it has fewer
ANSWERS = 50  # fewer graded ones than these tell nothing
_NAMED = 3  # topics named one by one


@dataclass(frozen=True)
class Case:
    """What the verdict on one student is given on; the arrays have the axis topics.

    Args:
        answers: graded ones.
        topics, low: as in a forecast.
        wrong: questions whose last answer was wrong, or with a wrong and sure one that is open.
    """

    plan: Sequence[Topic]
    answers: int
    passes: Band
    topics: Topics
    low: Floats
    wrong: Ints


def verdict(case: Case) -> str:
    """One of the four; see the constants."""
    if case.answers < ANSWERS or np.isnan(case.passes.middle):
        return NO_ESTIMATE
    if case.passes.low >= PASSES and not musts(case):
        return SOUND
    return BORDERLINE if case.passes.middle >= PASSES else NOT_YET


def obstacles(case: Case) -> tuple[str, ...]:
    """What keeps a student from `sound`, as sentences; none when nothing does."""
    if np.isnan(case.passes.middle):
        return ()
    if case.answers < ANSWERS:
        return (f"{case.answers} answered so far: an estimate needs {ANSWERS} answers.",)
    return (*musts(case), *(_weight(case) if case.passes.low < PASSES else ()))


def musts(case: Case) -> list[str]:
    """What is not as it must be in the must topics, one sentence for each kind of fault."""
    must = np.array([topic.must for topic in case.plan]) & (case.topics.questions > 0)
    wrong = must & (case.wrong > 0)
    few = must & (case.topics.seen < np.minimum(MUST_SEEN, case.topics.questions))
    weak = must & ~few & (case.low < MUST_KNOW)
    found = []
    if wrong.any():
        many = "a wrong answer that is" if case.wrong[wrong].sum() == 1 else "wrong answers that are"
        found.append(f"{_must(case, wrong)} {_verb(wrong, 'hold')} {many} still open.")
    if few.any():
        found.append(f"{_must(case, few)} {_verb(few, 'need')} {MUST_SEEN} questions seen, or all there are.")
    if weak.any():
        found.append(f"{_must(case, weak)} may be known to less than {percent(MUST_KNOW)} on the day.")
    return found


def _must(case: Case, which: Flags) -> str:
    titles = [f"“{case.plan[at].title}”" for at in np.flatnonzero(which).tolist()]
    if len(titles) > _NAMED:
        titles[_NAMED - 1 :] = [f"{len(titles) - _NAMED + 1} more"]
    return f"Must topic {titles[0]}" if len(titles) == 1 else f"Must topics {', '.join(titles[:-1])} and {titles[-1]}"


def _verb(which: Flags, word: str) -> str:
    return f"{word}s" if np.count_nonzero(which) == 1 else word


def _weight(case: Case) -> list[str]:
    """What takes most from the oral: unseen questions and faded ones, the heavier of the two first."""
    weight = np.array([topic.weight for topic in case.plan]) / np.maximum(case.topics.questions, 1)
    unseen = case.topics.questions - case.topics.seen
    lost = weight * case.topics.questions * (1 - np.nan_to_num(case.topics.known, nan=1.0))
    # Of what a topic lacks, unseen questions have their share by number: they are known no better than the seen ones.
    of_unseen = lost * unseen / np.maximum(case.topics.questions, 1)
    of_seen = lost - of_unseen
    said = [(of_unseen.sum(), _unseen(case, unseen, of_unseen)), (of_seen.sum(), _faded(case, of_seen))]
    return [sentence for loss, sentence in sorted(said, key=lambda each: -each[0]) if loss > 0]


def _unseen(case: Case, unseen: Ints, lost: Floats) -> str:
    many = int(unseen.sum())
    plural = many != 1
    where, all_named = _titles(case, lost)
    within = f" in {where}" if all_named else f", most of them in {where},"
    return f"{many} unseen question{'s' * plural}{within} keep{'s' * (not plural)} this from sound."


def _faded(case: Case, lost: Floats) -> str:
    where, _ = _titles(case, lost)
    return f"What was seen is not known well enough on the day, least of all in {where}."


def _titles(case: Case, lost: Floats) -> tuple[str, bool]:
    """The topics that lose most, by title, and whether these are all that lose anything."""
    order = [at for at in np.argsort(-lost, kind="stable").tolist() if lost[at] > 0]
    return ", ".join(f"“{case.plan[at].title}”" for at in order[:_NAMED]), len(order) <= _NAMED
