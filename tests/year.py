"""A student who has answered for more than a year: what a measurement of one with a long log starts from."""

import random
from collections.abc import Iterator
from datetime import date, timedelta

from stickback import clock
from stickback.course.course import Course, variant
from stickback.memory.entry import Entry

ENTRIES, DAYS = 20_000, 400
TODAY = date(2026, 6, 1)


def entries(course: Course) -> Iterator[Entry]:
    """Answers to all questions of a course that the first aeroplane has, fifty a day up to yesterday."""
    sheet = next(iter(course.sheets.values()))
    questions = list(course.applicable(sheet, "uk").items())
    chance = random.Random(1)
    for n in range(ENTRIES):
        day = TODAY - timedelta(days=DAYS - n * DAYS // ENTRIES)
        at = clock.day_number(day) * 86_400_000 + 43_200_000 + n
        key, question = chance.choice(questions)
        right = chance.random() < 0.8
        yield Entry(
            id=clock.uuid7(at, n),
            what="answer",
            day=day,
            at=at,
            zone="UTC",
            question=key,
            variant=variant(question, sheet),
            kind=question.kind,
            revision=question.revision,
            aircraft=sheet.id,
            phraseology=None,
            seed=n,
            given="a",
            confidence=chance.choice(("guess", "think", "sure")),
            hinted=False,
            score=float(right),
            right=right,
            marked_by="program",
            seconds=8.0,
        )
