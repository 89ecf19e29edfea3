"""What starting the program costs over importing the libraries that it cannot do without, as ratios of the same run.

Whole processes are timed, the one and the other by turns.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median

import pytest

from stickback.services import folder
from stickback.store import engine, union
from year import ENTRIES, TODAY, entries

RUNS, MOST = 15, 1.3
HELP = "click, click._textwrap, shutil"  # the latter two when help is laid out
GLANCE = "click, numpy, fsrs, rich.console, rich.table, rich.text, platformdirs, sqlmodel, sqlalchemy.dialects.sqlite"

pytestmark = pytest.mark.bench


@pytest.fixture(scope="module")
def stickback():
    """The command as it is installed beside the Python that runs the tests."""
    found = shutil.which("stickback", path=str(Path(sys.executable).parent))
    assert found is not None, "install the package first"
    return found


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
