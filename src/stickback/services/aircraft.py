"""Two aeroplanes side by side: what differs for the student, and which questions have another answer."""

from dataclasses import dataclass

from stickback.course import asking
from stickback.course.course import Course, Question, Sheet, variant
from stickback.reading import text as texts
from stickback.reading.fill import NOT_IN_VARIANT


@dataclass(frozen=True)
class Changed:
    """A question that both aeroplanes have, with what is right on each.

    Args:
        before, after: the right options or points as plain text; the same where only the question's own text differs.
    """

    question: Question
    before: str
    after: str


@dataclass(frozen=True)
class Comparison:
    """What a student who changes aeroplane meets.

    Args:
        values: (name, one, other) of the typed values that differ; `derived`, of those worked out.
        changed: questions to be learnt anew.
        gone, new: questions that only one of the two has.
    """

    values: list[tuple[str, str, str]]
    derived: list[tuple[str, str, str]]
    changed: list[Changed]
    gone: list[Question]
    new: list[Question]


def compare(course: Course, one: Sheet, other: Sheet, phraseology: str) -> Comparison:
    """From one aeroplane to another."""
    here, there = course.applicable(one, phraseology), course.applicable(other, phraseology)
    changed = [
        Changed(question, _right(question, one), _right(question, other))
        for name, question in here.items()
        if name in there and variant(question, one) != variant(question, other)
    ]
    differing = [(key, one.values.get(key, "none"), other.values.get(key, "none")) for key in _keys(one, other)]
    differing = [row for row in differing if row[1] != row[2] and row[0] not in NOT_IN_VARIANT | {"name"}]
    derived = one.derived | other.derived
    return Comparison(
        [row for row in differing if row[0] not in derived],
        [row for row in differing if row[0] in derived],
        changed,
        [question for name, question in here.items() if name not in there],
        [question for name, question in there.items() if name not in here],
    )


def _keys(one: Sheet, other: Sheet) -> list[str]:
    return list(dict.fromkeys([*one.values, *other.values]))


def _right(question: Question, sheet: Sheet) -> str:
    """What is right on an aeroplane; whatever is drawn is drawn with the same seed on both."""
    values = asking.values(question, 0, sheet)
    points = question.body.answer(0, values)
    return "; ".join(texts.line(point.text, values).rstrip(".") for point in points if not point.fails)


def readable(key: str) -> str:
    """A value's name in words: `approach_speed` is "approach speed"."""
    return key.replace("_", " ")
