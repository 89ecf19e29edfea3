"""Which tests run: all but the measurements and the campaigns.

With --fast the tests of the pure floors alone; with --bench the measurements too; with --campaigns the campaigns too,
which take many minutes: random kills, writers, files, tamperings, full disks. What each of them counted is told at the
end.
"""

import gc
import os
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings

# What needs a database, a terminal or a process of its own, or goes through all floors at once.
NO_PURE_FLOOR = (
    "campaigns",
    "reference",
    "cli",
    "services",
    "store",
    "words",
    "web",
    "browser",
    "test_bad_worlds.py",
    "test_documents.py",
    "test_kill.py",
    "test_mistakes.py",
)

MEMORY = Path("/dev/shm")  # noqa: S108 - below it each run has a folder of its own
ROOM = 1 << 30  # bytes: ten times what a run needs


def pytest_configure(config: pytest.Config) -> None:
    """Puts what the tests make into memory, where there is room: they open and close databases ten thousand times.

    What must hold for all is tried on the same examples in every run, so that a run says something of what was changed;
    with the campaigns on many new ones.
    """
    often = bool(config.getoption("--campaigns"))
    settings.register_profile("stickback", deadline=None, max_examples=600 if often else 25, derandomize=not often)
    settings.load_profile("stickback")
    if "TMPDIR" not in os.environ and MEMORY.is_dir() and shutil.disk_usage(MEMORY).free > ROOM:
        os.environ["TMPDIR"] = tempfile.tempdir = str(MEMORY)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--fast", action="store_true", help="the tests of the pure floors alone")
    parser.addoption("--bench", action="store_true", help="measure speed too, as ratios")
    parser.addoption("--bench-entries", type=int, default=100_000, help="entries of the large database of a server")
    parser.addoption("--campaigns", action="store_true", help="run the campaigns against the store too")
    parser.addoption("--campaign-seed", type=int, default=1, help="what their chance begins with")
    parser.addoption("--campaign-share", type=float, default=1.0, help="share of their full numbers")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    here = Path(__file__).parent

    def left_out(item: pytest.Item) -> bool:
        for marker, option in (("bench", "--bench"), ("campaign", "--campaigns")):
            if item.get_closest_marker(marker):
                return not config.getoption(option)
        return bool(config.getoption("--fast")) and item.path.relative_to(here).parts[0] in NO_PURE_FLOOR

    out = [item for item in items if left_out(item)]
    if out:
        config.hook.pytest_deselected(items=out)
        items[:] = [item for item in items if not left_out(item)]


def pytest_collection_finish(session: pytest.Session) -> None:
    """What all the tests are made of stays to the end: to look through it for garbage takes a tenth of their time.

    What is measured is left as Python does it for a user.
    """
    if not session.config.getoption("--bench"):
        gc.collect()
        gc.freeze()
        gc.set_threshold(50_000, 20, 100)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    reports = [each for state in ("passed", "failed") for each in terminalreporter.getreports(state)]
    told = [text for each in reports for name, text in each.user_properties if name == "campaign"]
    if told:
        terminalreporter.section("campaigns")
        for text in told:
            terminalreporter.write_line(str(text))
