"""A small course, the command run in this process, and a student who types: for tests of the command line."""

import io
import json
import re
import shutil
import sqlite3
import sys
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from pathlib import Path

from click.testing import CliRunner, Result

from stickback import services
from stickback.cli.main import cli
from stickback.cli.options import Options
from stickback.services.desk import Desk

DAY = "2026-06-01"

PLAN = """\
---
id: small
title: A small conversion
ends_with: differences
---

## Lesson 1: The ground {#ground}

Feet *and* **eyes**. Approach at {{ approach_speed }} {{ speed_unit }}.[^book]

#### Errors seen

- {#late-foot topics="feet swing"} Taxiing: the foot comes late
- {#blind topics=eyes} Taxiing: straight on without looking

### What the feet do {#feet weight=2 must=yes}

Short pushes.[^book]

### Where to look {#eyes}

Down the side.

## Lesson 2: Take-off {#take-off}

### Why the nose swings {#swing weight=3}

The propeller turns {{ propeller }}.

## Lesson 3: Landing {#landing}

### Three-point {#three-point}

Hold off.
"""

FEET = """\
---
topic: feet
---

## How fast is the approach? {#approach}

- [x] {{ approach_speed }} {{ speed_unit }}
- [ ] Forty
- [ ] Ninety

### Hint

Read the *sheet*.

### Why

The sheet says so.[^book] Nothing else does.

## What must the feet do? {#pushes}

Say it as to an examiner.

### Answer

- **Push early**
- Push briefly
- **Ease off**

### Fails if said

- Hold the push

### Why

A push held turns into a swing. So ease off before it is over.

## Which of these steer? {#steer}

| on the ground | in the air |
| - | - |
| `pedals` | pedals |

- [x] The rudder
- [x] The brakes
- [ ] The flaps
- [ ] The trim
"""

EYES = "---\ntopic: eyes\n---\n" + "".join(
    f"""
## Where do you look at bend {n}? {{#bend-{n}}}

- [x] To the side
- [ ] Up
- [ ] At the map

### Why

The nose hides bend {n}. Look past it.
"""
    for n in range(1, 9)
)

SWING = """\
---
topic: swing
---

## Which way does it swing? {#way}

- [x] To the {{ swing }}
- [ ] To the {{ other_side }}

### Why

The slipstream strikes the fin. The rest adds to it.
""" + "".join(
    f"\n## Name cause {n} {{#cause-{n}}}\n\n### Answer\n\n- **Cause {n}**\n- Its direction\n" for n in range(1, 5)
)

LANDING = "---\ntopic: three-point\n---\n" + "".join(
    f"\n## Where is the stick at step {n}? {{#stick-{n}}}\n\n- [x] Back\n- [ ] Level\n" for n in range(1, 7)
)

SHEET = """\
---
name: {name}
callsign: {callsign}
propeller: {propeller}
brakes: heel
tailwheel: steerable
speed_unit: kt
approach_speed: {approach}
---

Invented, not for flight.
"""

COURSE = {
    "lesson-plan.md": PLAN,
    "sources.md": "[^book]: A book on the subject, chapter 2.\n",
    "eyes.md": EYES,
    "feet.md": FEET,
    "landing.md": LANDING,
    "swing.md": SWING,
    "aircraft/cawdale.md": SHEET.format(name="Cawdale", callsign="G-QTWD", propeller="clockwise", approach=50),
    "aircraft/dunmere.md": SHEET.format(name="Dunmere", callsign="G-QTWE", propeller="anticlockwise", approach=55),
}
QUESTIONS = 22  # that can be asked on either aeroplane


def only(name: str) -> dict[str, str]:
    """The course with a single question in its deck on feet."""
    head, *questions = FEET.split("\n## ")
    (kept,) = [each for each in questions if f"{{#{name}}}" in each]
    return {**COURSE, "feet.md": f"{head}\n## {kept}"}


def started() -> list[str]:
    """The questions of the course to begin with, which has every kind, in the order of its deck."""
    deck = Path(services.__file__).parents[1] / "starter" / "first-questions.md"
    return re.findall(r"^## .*\{#([a-z0-9-]+)", deck.read_text(), re.MULTILINE)


def write(folder: Path, files: Mapping[str, str | bytes] = COURSE) -> Path:
    """Writes the files of a course into a folder, which is made."""
    folder.mkdir(exist_ok=True)
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def run(*args: object, typed: object = None, **env: object) -> Result:
    """Runs the command in this process; nothing of the machine's settings reaches it.

    Args:
        typed: what standard input holds.
        env: `db`, `course`, `student` and `today`, given as in `STICKBACK_DB`.
    """
    settings = {f"STICKBACK_{name}": None for name in ("DB", "COURSE", "STUDENT", "TODAY")}
    settings |= {f"STICKBACK_{name.upper()}": value if value is None else str(value) for name, value in env.items()}
    return CliRunner().invoke(cli, [str(each) for each in args], typed, settings, prog_name="stickback")


@dataclass(frozen=True)
class Place:
    """A course folder and a database file of one test; calling it runs the command there on `DAY`."""

    course: Path
    db: Path

    def __call__(self, *args: object, typed: object = None, **env: object) -> Result:
        return run(*args, typed=typed, **{"db": self.db, "course": self.course, "today": DAY, **env})

    def does(self, *args: object, typed: object = None, **env: object) -> str:
        """What a command prints that must succeed."""
        result = self(*args, typed=typed, **env)
        assert (result.exit_code, result.stderr) == (0, ""), (args, result.exception, result.output)
        return result.stdout

    def fails(self, *args: object, status: int = 1, **env: object) -> str:
        """The one sentence of a command that must fail."""
        result = self(*args, **env)
        assert (result.exit_code, result.stdout) == (status, ""), (args, result.exception, result.output)
        return sentence(result)

    def desk(self, name: str = "me") -> Desk:
        """The desk of a student, as a command opens it."""
        return Options(str(self.db), self.course, name, date.fromisoformat(DAY)).desk()

    def raw(self, *statements: str) -> list[tuple[object, ...]]:
        """Runs SQL on the database behind the program's back; gives the rows of the last statement."""
        with closing(sqlite3.connect(self.db, isolation_level=None)) as connection:
            found = [connection.execute(each).fetchall() for each in statements]
        return found[-1]

    def copied(self, db: Path) -> "Place":
        """The same course with a copy of the database, which must be settled."""
        return replace(self, db=shutil.copy(self.db, db))

    def settled(self, db: Path) -> "Place":
        """The same course with a copy of the database in one file, whatever still lies in its write-ahead log."""
        with closing(sqlite3.connect(self.db)) as old, closing(sqlite3.connect(db)) as new:
            old.backup(new)
        return replace(self, db=db)

    def stored(self) -> list[tuple[object, ...]]:
        """Every entry on disk."""
        return self.raw("SELECT * FROM entries ORDER BY student, id")


def sentence(result: Result) -> str:
    """The one line of standard error that says what is wrong; usage may stand before it."""
    lines = result.stderr.splitlines()
    found = [line for line in lines if line.startswith("Error: ")]
    assert len(found) == 1, (result.exception, result.stderr)
    assert lines[-1] == found[0]
    assert len(lines) == 1 or result.exit_code == 2, result.stderr
    return found[0].removeprefix("Error: ")


class Typist(io.BytesIO):
    """Standard input of a student who answers whatever was asked last, in turn right, wrong and not so sure.

    Args:
        says: what to type for a `letter`, `letters`, a `confidence` and `points`, in turn, over and over.
    """

    def __init__(self, **says: tuple[str, ...]) -> None:
        super().__init__()
        self.says = {
            "letter": ("a sure", "b think so", "a g", "b t"),
            "letters": ("a b sure", "b c think"),
            "points": ("all", "1", "none", "1 2"),
            "confidence": ("think so", "sure", "g"),
            **says,
        }
        self.typed = dict.fromkeys(self.says, 0)

    def read1(self, _: int = -1) -> bytes:
        """The next line."""
        sys.stdout.flush()
        shown = sys.stdout.buffer.getvalue().decode().splitlines()
        asked = next(line for line in reversed(shown) if "ype " in line)
        signs = {"one letter": "letter", "letters from": "letters", "the numbers": "points"}
        what = next((what for sign, what in signs.items() if sign in asked), "confidence")
        line = self.says[what][self.typed[what] % len(self.says[what])]
        self.typed[what] += 1
        return f"{line}\n".encode()


@cache
def begun(base: Path) -> Place:
    """A course folder, and a database in which `me` and Bea answered a little and `me` flew a lesson.

    It is made once a run and only copied from: making it takes longer than most tests.
    """
    folder = base / "begun"
    folder.mkdir()
    place = Place(write(folder / "course"), folder / "begun.db")
    place.does("review", "--questions", 2, "--seed", 1, typed=Typist())
    place.does("review", "--questions", 2, "--seed", 1, "--topic", "swing", typed=Typist())
    place.does("flown", 1, "--error", "blind")
    place.does("student", "add", "Bea", "--aircraft", "dunmere")
    place.does("review", "--questions", 2, "--seed", 1, typed=Typist(), student="Bea")
    return place.settled(folder / "school.db")


def answer_wrong(place, confidence):
    """Answers one question about where to look with what is wrong."""
    how = ("review", "--topic", "eyes", "--questions", 1, "--seed", 1)
    wrong = re.search(r"^([abc])\) Up$", place.does(*how, typed="stop\n"), re.MULTILINE)[1]
    place.does(*how, typed=f"{wrong} {confidence}\n")


def exported(place, **settings):
    """The entries of a place, as `log export` writes them."""
    return [json.loads(line) for line in place.does("log", "export", **settings).splitlines()]


def squeezed(shown):
    """What was shown, without the line breaks of the screen."""
    return " ".join(shown.split())
