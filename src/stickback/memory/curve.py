"""The memory model FSRS-6 on arrays: first state, next state, recall; and what an answer is worth to it.

Stability is in days (until recall has fallen to 0.9), difficulty 1 to 10, elapsed in whole study days. Source of the
equations, default parameters and bounds: `fsrs` 6.3.2, which the tests hold these to step by step.
"""

from datetime import UTC, datetime, timedelta

import numpy as np
import numpy.typing as npt
from fsrs import Card, Rating, Scheduler, State
from fsrs.scheduler import (
    DEFAULT_PARAMETERS,
    MAX_DIFFICULTY,
    MIN_DIFFICULTY,
    STABILITY_MIN,
    UPPER_BOUNDS_PARAMETERS,
)

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]
Parameters = tuple[float, ...]

DEFAULTS: Parameters = tuple(DEFAULT_PARAMETERS)
DECAY = 20  # the place of the exponent of recall among the parameters
STEEPEST = float(UPPER_BOUNDS_PARAMETERS[DECAY])
NOON = datetime(2000, 1, 1, 12, tzinfo=UTC)  # any one instant of the day: only whole days between answers count
WRONG, UNSURE, RIGHT = 1, 2, 3  # the library's grades; its highest is never used
VOIDED = 0  # the grade of an answer that moves nothing but still was the first of its day


def grade(*, right: object, confidence: object, hinted: object, voided: object = False) -> Ints:
    """What an answer is worth to the memory, or many as sequences of one length: nothing a person ever sees.

    Source: the mapping of confidence was simulated; a highest grade for `sure` would promise 3 to 5 points too much.
    """
    guessed = np.asarray(confidence) == "guess"
    kept = np.where(np.asarray(hinted, dtype=np.bool_) | guessed, UNSURE, RIGHT)
    marked = np.where(np.asarray(right, dtype=np.bool_), kept, WRONG)
    return np.asarray(np.where(np.asarray(voided, dtype=np.bool_), VOIDED, marked), dtype=np.int64)


def recall(stability: Floats, elapsed: Ints | Floats, w: Parameters = DEFAULTS) -> Floats:
    """Chance of a right answer, 0 to 1, after whole days (>= 0); nan stays nan."""
    factor = 0.9 ** (-1 / w[20]) - 1
    return np.asarray(np.exp(-w[20] * np.log1p(factor * elapsed / stability)))


def steeper(chance: Floats, decay: Floats) -> Floats:
    """What a chance of recall would be if memory faded as steeply as the library allows, with the same stability.

    Args:
        chance: with decays of `decay`; more than 0.
    """
    elapsed = (chance ** (-1 / decay) - 1) / (0.9 ** (-1 / decay) - 1)  # in stabilities
    return np.asarray((1 + (0.9 ** (-1 / STEEPEST) - 1) * elapsed) ** -STEEPEST)


def steepest(w: Parameters) -> Parameters:
    """The parameters with which memory fades so."""
    return (*w[:DECAY], STEEPEST, *w[DECAY + 1 :])


def lucky(guess: Floats | float) -> Floats:
    """The share of answers that are right without being known, where guessing is right at the rate `guess`: half of it.

    Whoever does not know an answer seldom guesses blindly and often says that he guesses.
    """
    return np.asarray(np.divide(guess, 2))


def known(chance: Floats, guess: Floats | float) -> Floats:
    """Chance that it is really known: the lucky answers are taken off; nan stays nan."""
    return np.asarray(np.maximum(0.0, (chance - lucky(guess)) / (1 - lucky(guess))))


def right(known: Floats | float, guess: Floats | float) -> Floats:
    """Chance of a right answer to what is known at a rate: the lucky answers are put on again."""
    return np.asarray(known * (1 - lucky(guess)) + lucky(guess))


def first(grades: Ints, w: Parameters = DEFAULTS) -> tuple[Floats, Floats]:
    """Stability and difficulty after the first answer."""
    stability = np.maximum(np.asarray(w[:4])[grades - 1], STABILITY_MIN)
    return stability, np.asarray(np.clip(_first_difficulty(grades, w), MIN_DIFFICULTY, MAX_DIFFICULTY))


def step(stability: Floats, difficulty: Floats, grades: Ints, elapsed: Ints, w: Parameters) -> tuple[Floats, Floats]:
    """Stability and difficulty after a further answer, `elapsed` whole days after the last one."""
    chance = recall(stability, elapsed, w)
    after = _kept(stability, difficulty, chance, grades, w)
    failed = np.flatnonzero(grades == WRONG)
    after[failed] = _lost(stability[failed], difficulty[failed], chance[failed], w)
    same_day = elapsed < 1
    if np.any(same_day):
        after = np.where(same_day, _same_day(stability, grades, w), after)
    return np.maximum(after, STABILITY_MIN), _next_difficulty(difficulty, grades, w)


def both_ways(stability: Floats, difficulty: Floats, chance: Floats, w: Parameters) -> tuple[Floats, Floats]:
    """Stability after a right and after a wrong answer at least a day after the last one, with that chance to be right.

    Both of `step` for one recall, and without the difficulty after it.
    """
    right = stability * (1 + _gain(stability, difficulty, chance, w))
    wrong = _lost(stability, difficulty, chance, w)
    return np.maximum(right, STABILITY_MIN), np.maximum(wrong, STABILITY_MIN)


def _first_difficulty(grades: Ints | int, w: Parameters) -> Floats:
    return np.asarray(w[4] - np.exp(w[5] * (grades - 1)) + 1)


def _next_difficulty(difficulty: Floats, grades: Ints, w: Parameters) -> Floats:
    damped = difficulty + (10 - difficulty) * (-w[6] * (grades - 3)) / 9
    drawn_back = w[7] * _first_difficulty(4, w) + (1 - w[7]) * damped
    return np.asarray(np.clip(drawn_back, MIN_DIFFICULTY, MAX_DIFFICULTY))


def _kept(stability: Floats, difficulty: Floats, chance: Floats, grades: Ints, w: Parameters) -> Floats:
    penalty = np.where(grades == UNSURE, w[15], np.where(grades == 4, w[16], 1.0))
    return np.asarray(stability * (1 + _gain(stability, difficulty, chance, w) * penalty))


def _gain(stability: Floats, difficulty: Floats, chance: Floats, w: Parameters) -> Floats:
    gain = np.exp(w[8] - w[9] * np.log(stability)) * (11 - difficulty) * np.expm1((1 - chance) * w[10])
    return np.asarray(gain)


def _lost(stability: Floats, difficulty: Floats, chance: Floats, w: Parameters) -> Floats:
    left = w[11] * np.exp((1 - chance) * w[14] - w[12] * np.log(difficulty)) * np.expm1(w[13] * np.log1p(stability))
    return np.asarray(np.minimum(left, stability / np.exp(w[17] * w[18])))


def _same_day(stability: Floats, grades: Ints, w: Parameters) -> Floats:
    gain = np.exp(w[17] * (grades - 3 + w[18])) * stability ** -w[19]
    return np.asarray(stability * np.where(grades >= UNSURE, np.maximum(gain, 1.0), gain))


def raised(target: float, guess: float) -> float:
    """The recall at which `known` stands at the target: what the library's interval must aim at."""
    return min(float(right(target, guess)), 0.99)


def usable(w: Parameters) -> bool:
    """Whether the memory library takes these parameters: 21 finite numbers, each within its bounds."""
    try:
        Scheduler(parameters=w)
    except ValueError:
        return False
    return True


def interval(
    before: tuple[float, float] | None,
    grades: int,
    elapsed: int,
    target: float,
    guess: float,
    w: Parameters = DEFAULTS,
) -> int:
    """Whole days, at least 1, from an answer until `known` falls to the student's target, as the library says it.

    Args:
        before: stability and difficulty before the answer, and nothing when it was the first.
        elapsed: whole days since the answer before; ignored for the first.
    """
    scheduler = Scheduler(w, raised(target, guess), learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    card = Card(card_id=1)
    if before is not None:
        last = NOON - timedelta(days=elapsed)
        card = Card(
            card_id=1, state=State.Review, stability=before[0], difficulty=before[1], due=last, last_review=last
        )
    after, _ = scheduler.review_card(card, Rating(grades), NOON)
    return max(1, (after.due - NOON).days)
