"""What starting the program costs over importing the libraries that it cannot do without, as ratios of the same run.

Whole processes are timed, the one and the other by turns.
"""

import os
import random
import shutil
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median

import pytest

from stickback import clock
from stickback.course.course import variant
from stickback.memory.entry import Entry
from stickback.services import folder
from stickback.store import engine, union

RUNS, MOST = 15, 1.3
HELP = "click, click._textwrap, shutil"  # the latter two when help is laid out
GLANCE = "click, numpy, fsrs, rich.console, rich.table, rich.text, platformdirs, sqlmodel, sqlalchemy.dialects.sqlite"
ENTRIES, DAYS = 20_000, 400
TODAY = date(2026, 6, 1)

pytestmark = pytest.mark.bench


@pytest.fixture(scope="module")
def stickback():
    """The command as it is installed beside the Python that runs the tests."""
    found = shutil.which("stickback", path=str(Path(sys.executable).parent))
    assert found is not None, "install the package first"
    return found


def entries(course):
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


@pytest.fixture(scope="module")
def used(tmp_path_factory):
    """A database in use for a year."""
    path = tmp_path_factory.mktemp("used") / "used.db"
    store = engine.locate(str(path))
    merged = union.merge(store, (("me", entry) for entry in entries(folder.load(folder.shipped()))))
    assert merged.new == ENTRIES
    return path


def seconds(command):
    """Of the processor, which others at work beside it hardly change."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    before = getrusage(RUSAGE_CHILDREN)
    subprocess.run(command, env=env | {"PYTHONUTF8": "1"}, capture_output=True, check=True)
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def ratio(name, command, baseline, capsys):
    """How many times as long a command takes as a baseline: the median of runs by turns, after one of each to warm."""
    seconds(command), seconds(baseline)
    pairs = [(seconds(command), seconds(baseline)) for _ in range(RUNS)]
    found = [mine / other for mine, other in pairs]
    with capsys.disabled():
        print(
            f"\n{name}: {median(found):.2f} times ({min(found):.2f} to {max(found):.2f}),"
            f" {median(mine for mine, _ in pairs) * 1000:.0f} ms to {median(other for _, other in pairs) * 1000:.0f} ms"
        )
    return median(found)


def importing(names):
    return [sys.executable, "-c", f"import {names}"]


def test_help_takes_little_more_than_what_it_imports(stickback, capsys):
    assert ratio("--help", [stickback, "--help"], importing(HELP), capsys) <= MOST


def test_today_at_a_glance_takes_little_more_than_what_it_imports(stickback, used, capsys):
    glance = [stickback, "--db", str(used), "--today", str(TODAY)]
    assert ratio("today at a glance", glance, importing(GLANCE), capsys) <= MOST
