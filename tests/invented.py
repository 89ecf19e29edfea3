"""Students who do not exist: their memory follows parameters of their own, and what they answer is drawn from it."""

from datetime import date, timedelta

import numpy as np
from fsrs.scheduler import LOWER_BOUNDS_PARAMETERS, UPPER_BOUNDS_PARAMETERS

from stickback import clock
from stickback.memory import curve, fold
from stickback.memory.curve import DEFAULTS, RIGHT, UNSURE, WRONG
from stickback.memory.entry import Entry

# How far people differ: what the regulariser of fsrs-rs (6.6.2, training.rs, PARAMS_STDDEV) assumes.
SPREAD = (
    *(6.43, 9.66, 17.58, 27.85, 0.57, 0.28, 0.6, 0.12, 0.39, 0.18, 0.33),
    *(0.3, 0.09, 0.16, 0.57, 0.25, 1.03, 0.31, 0.32, 0.14, 0.27),
)
FIRST = date(2025, 1, 1)
FIRST_SIGHT, HESITANT = 0.7, 0.15  # shares of first answers that are right, and of right ones said as a guess


def person(seed, spread=1.0):
    """Parameters drawn around the defaults, within the library's bounds."""
    drawn = np.array(DEFAULTS) + spread * np.array(SPREAD) * np.random.default_rng(seed).normal(size=21)
    return tuple(np.clip(drawn, LOWER_BOUNDS_PARAMETERS, UPPER_BOUNDS_PARAMETERS).tolist())


def answers(w, many, seed=1, a_day=25):
    """History, day and grade of each answer of a student with a true memory of `w`, asked when the defaults say so."""
    random = np.random.default_rng(seed)
    real = believed = fold.nothing(many)
    found, begun, day = [], 0, clock.day_number(FIRST)
    while len(found) < many:
        day += 1
        due = np.flatnonzero(believed.moved_on + np.maximum(np.round(believed.stability), 1) <= day)[:a_day]
        asked = np.concatenate([due, np.arange(begun, begun + a_day - len(due))])
        begun += a_day - len(due)
        seen = ~np.isnan(real.stability[asked])
        chance = np.where(seen, curve.recall(real.stability[asked], day - real.moved_on[asked], w), FIRST_SIGHT)
        right, hesitant = random.random((2, a_day)) < np.array([chance, np.full(a_day, HESITANT)])
        grade = np.where(right, np.where(hesitant, UNSURE, RIGHT), WRONG)
        days = np.full(a_day, day)
        real, believed = fold.replay(asked, days, grade, real, w), fold.replay(asked, days, grade, believed)
        found += zip(asked.tolist(), days.tolist(), grade.tolist(), strict=True)
    return found[:many]


def entries(given, questions=()):
    """The same as entries of the log; the first histories are these (question, variant), the others no one's."""
    names = dict(enumerate(questions))
    for place, (history, day, grade) in enumerate(given):
        question, variant = names.get(history, (f"old/question-{history}", ""))
        at = day * 86_400_000 + 43_200_000 + place
        yield Entry(
            id=clock.uuid7(at, place),
            what="answer",
            day=clock.EPOCH + timedelta(days=day),
            at=at,
            zone="UTC",
            question=question,
            variant=variant,
            kind="choice",
            revision="of old",
            seed=1,
            given="0",
            confidence="guess" if grade == UNSURE else "think",
            score=float(grade != WRONG),
            right=grade != WRONG,
            seconds=5.0,
        )
