"""How often the band of the chance to pass holds the truth, for simulated students whose true memory is known.

Twelve topics of 25 open questions, six in ten of them to be introduced within forty evenings of twelve answers each;
first sight differs from topic to topic; memory differs from what the model believes by a spread of 0, 0.5 or 1.
"""

import numpy as np
import pytest

import standing
from stickback.memory import curve
from stickback.memory.columns import Columns
from stickback.readiness import forecast, offset, unseen
from stickback.readiness.folded import fold_all

TOPICS, EACH, EVENINGS, ANSWERS, STUDENTS = 12, 25, 40, 12, 300
TOPIC = np.repeat(np.arange(TOPICS), EACH)
MANY = len(TOPIC)
EXAM = standing.oral(tuple(map(str, range(TOPICS))), questions=12, share=0.75)
LEAST, MOST = 0.80, 0.97

pytestmark = pytest.mark.bench


class Learner:
    """A student with a memory and a first sight of their own."""

    def __init__(self, seed, spread):
        self.random = np.random.default_rng(seed)
        w = np.array(curve.DEFAULTS)
        w[:4] *= np.exp(self.random.normal(0, 0.6 * spread))
        w[8] += self.random.normal(0, 0.3 * spread)
        w[11] *= np.exp(self.random.normal(0, 0.3 * spread))
        self.w = tuple(w)
        able = self.random.beta(6, 3)
        self.at_sight = self.random.beta(6 * able, 6 * (1 - able), TOPICS)[TOPIC]
        self.stability, self.difficulty = np.full((2, MANY), np.nan)
        self.day = np.full(MANY, -1)
        self.rows = []

    def knows(self, day, w):
        """The chance to answer each right on a day: the true one by the student's own parameters."""
        with np.errstate(invalid="ignore"):
            recalled = curve.recall(self.stability, day - self.day, w)
        return np.where(np.isnan(self.stability), self.at_sight, recalled)

    def study(self):
        """Every evening the weakest of what was seen, and new questions for a third of the time at the least."""
        new = list(self.random.permutation(MANY)[: int(0.6 * MANY)])
        for day in range(EVENINGS):
            seen = np.flatnonzero(self.day >= 0)
            weakest = seen[np.argsort(self.knows(day, curve.DEFAULTS)[seen])]
            old = weakest[: ANSWERS * 2 // 3 if new else ANSWERS].tolist()
            self.answer(np.array(old + [new.pop() for _ in range(min(len(new), ANSWERS - len(old)))]), day)

    def answer(self, asked, day):
        """Answers some questions, each once."""
        grade = np.where(self.random.random(len(asked)) < self.knows(day, self.w)[asked], curve.RIGHT, curve.WRONG)
        self.rows += [
            (0, question, day, worth, 0) for question, worth in zip(asked.tolist(), grade.tolist(), strict=True)
        ]
        again = self.day[asked] >= 0
        for some, state in (
            (asked[~again], curve.first(grade[~again], self.w)),
            (asked[again], self.moved(asked, grade, day)),
        ):
            self.stability[some], self.difficulty[some] = state
        self.day[asked] = day

    def moved(self, asked, grade, day):
        again = self.day[asked] >= 0
        old = asked[again]
        return curve.step(self.stability[old], self.difficulty[old], grade[again], day - self.day[old], self.w)


def told(learner, on):
    """The forecast from the answers alone."""
    student, history, day, grade, sure = np.array(learner.rows).T
    histories = {(str(question), ""): question for question in range(MANY)}
    folded = fold_all(Columns(histories, student, history, day, grade, sure.astype(bool)), 1)
    knew, missed = unseen.rates(folded.first_grade, np.zeros(MANY), TOPIC, TOPICS)
    mean, error = offset.offsets(folded.told)
    known = {"moved": folded.day, "knew": knew, "missed": missed, "offset": mean, "error": error, "latest": day[-1:]}
    students = standing.students(folded.stability, EXAM, TOPIC, **known)
    return forecast.forecast(students, np.array([on])).pass_chance[0]


@pytest.mark.parametrize("spread", [0, 0.5, 1])
def test_the_band_holds_the_true_chance_of_about_nine_students_in_ten(spread):
    learners = [Learner(seed, spread) for seed in range(STUDENTS)]
    for learner in learners:
        learner.study()
    for ahead in (1, 7, 30):
        on = EVENINGS - 1 + ahead
        bands = [told(learner, on) for learner in learners]
        true = EXAM.pass_chance(np.array([learner.knows(on, learner.w).mean() for learner in learners]))
        middle, low, high = np.array(bands).T
        held, off = np.mean((low <= true) & (true <= high)), middle - true
        print(
            f"\nspread {spread}, {ahead:>2} days: holds {held:.0%}, off by {np.abs(off).mean():.3f}, {off.mean():+.3f}"
        )
        assert LEAST <= held <= MOST
