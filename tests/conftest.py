"""Fixtures that every test may use: a small invented course, to which a test adds what it is about."""

from collections.abc import Callable, Iterator

import pytest

from stickback.course import prove
from stickback.course import read as courses
from stickback.course.course import PLAN, Course


@pytest.fixture(autouse=True, scope="session")
def nobodys_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test reads or writes what the user keeps; what is run in a child process neither."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield


LESSON_PLAN = """\
---
id: tailwheel
title: Tailwheel conversion
---

## Lesson 1: Take-off {#take-off}

### Why the nose swings {#yaw-causes weight=2 must=yes}

Four effects of the propeller.

### Keeping straight {#keeping-straight}

Short pushes of the feet.

## Lesson 2: Landing {#landing}

### Three-point landing {#three-point weight=3}

Stick back and hold off.

### Wheel landing {#wheel-landing assumed=yes}

Main wheels first.
"""

SHEET = """\
---
name: {name}
callsign: {callsign}
propeller: {propeller}
brakes: {brakes}
tailwheel: steerable
speed_unit: kt
approach_speed: {approach}
---

Invented, not for flight.
"""
QUILLON = SHEET.format(name="Quillon", callsign="G-QTWB", propeller="clockwise", brakes="heel", approach=60)
MOSSBANK = SHEET.format(name="Mossbank", callsign="G-QTWC", propeller="anticlockwise", brakes="toe", approach=65)

FILES = {PLAN: LESSON_PLAN, "aircraft/quillon.md": QUILLON, "aircraft/mossbank.md": MOSSBANK}


@pytest.fixture(scope="session")
def course() -> Callable[..., Course]:
    """Builds a course: `course(deck, **{"sources.md": text})`; None takes a file of the default course away."""

    def build(deck: str | None = None, others: tuple[str, ...] = (), **files: str | bytes | None) -> Course:
        wanted = {**FILES, "deck.md": deck, **files}
        read = {name: text.encode() if isinstance(text, str) else text for name, text in wanted.items()}
        contents = [(name, raw) for name, raw in read.items() if raw is not None]
        return courses.read(contents, others, prove.MANY)

    return build


@pytest.fixture(scope="session")
def found(course: Callable[..., Course]) -> Callable[..., list[str]]:
    """Builds a course likewise and gives its problems as `file:line:column code`."""

    def problems(*args: object, **files: object) -> list[str]:
        return [f"{each.file}:{each.line}:{each.column} {each.code}" for each in course(*args, **files).problems]

    return problems
