"""Students × Questions made by hand, for tests of what follows from them."""

from datetime import date
from types import SimpleNamespace

import numpy as np

from stickback.memory import curve
from stickback.memory.columns import Columns
from stickback.readiness.forecast import Band
from stickback.readiness.oral import OralRules
from stickback.readiness.standings import Standings
from stickback.readiness.statement import Statement
from stickback.study.student import Student

DAY = 20_000  # of every last answer


def columns(histories, rows, parameters):
    """Answers from (student, history, day, grade, sure), in the order of their ids; histories and students by place."""
    made = np.array(rows, dtype=np.int64).reshape(-1, 5).T
    return Columns(
        histories=histories,
        student=made[0],
        history=made[1],
        day=made[2],
        grade=made[3],
        sure=made[4].astype(bool),
        parameters=tuple(parameters),
    )


def oral(topics=("one",), weight=None, questions=20, share=0.8, must=None):
    """A school's oral."""
    many = len(topics)
    weight = np.ones(many, dtype=int) if weight is None else np.array(weight)
    return OralRules(tuple(topics), weight, np.array(must or [False] * many), questions, share)


def students(stability, oral, topic, **known):
    """Students whose every seen question was last answered on `DAY`; what is not given is nothing out of the common."""
    stability = np.asarray(stability, dtype=float)
    shape, many = stability.shape, len(stability)
    seen, never = ~np.isnan(stability), np.zeros(shape, dtype=bool)
    rates = np.full((many, len(oral.topics)), 0.3), np.full((many, len(oral.topics)), 5.7)
    moved_on = np.where(seen, DAY, -1)
    usual = {
        "guess": np.zeros(shape[1]),
        "difficulty": np.where(seen, 5.0, np.nan),
        "plain": stability,
        "moved_on": moved_on,
        "known_before": np.zeros(shape),
        "ever_wrong": never,
        "counted": ~never,
        "misbelief": never,
        "wrong": never,
        "answered_on": moved_on,
        "knew": rates[0],
        "missed": rates[1],
        "offset": np.zeros(many),
        "error": np.full(many, 0.3),
        "steep": np.zeros(many, dtype=bool),
        "answers": np.full(many, 100),
        "parameters": [curve.DEFAULTS] * many,
    }
    made = {"oral": oral, "topic": np.asarray(topic), "stability": stability}
    return Standings(**made, **{**usual, **known})


def stability_of(chance, elapsed=1):
    """The stability that leaves such a chance of a right answer after so many days."""
    w = curve.DEFAULTS[20]
    with np.errstate(invalid="ignore"):
        return (0.9 ** (-1 / w) - 1) * elapsed / (np.asarray(chance, dtype=float) ** (-1 / w) - 1)


def statement(oral, known, low=None, **stated):
    """What is stated of a student whose topics are known so, with their lower ends; the upper ones are 1."""
    known, many = np.array(known), len(oral.topics)
    usual = {
        "student": Student(name="Finn Ashby"),
        "date": date(2026, 6, 8),
        "sheet": SimpleNamespace(id="pendlewick", name="Pendlewick"),
        "known": Band(0.71, 0.51, 0.76),
        "misbeliefs": np.zeros(many, dtype=int),
        "wrong": np.zeros(many, dtype=int),
        "answered_on": np.zeros(many, dtype=int),
        "answers": 100,
        "topics_by_model": np.array(known),
        "known_by_model": 0.7,
        "foretold": (np.zeros(0), np.zeros(0, dtype=bool)),
    }
    topics = np.stack([known, known if low is None else np.array(low), np.ones(many)], axis=1)
    given = {name: np.array(each) if isinstance(each, list) else each for name, each in stated.items()}
    return Statement(oral=oral, topics=topics, **{**usual, **given})
