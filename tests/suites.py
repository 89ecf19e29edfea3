"""Which tests run: all but the measurements; with --fast the pure floors alone; with --bench the measurements too."""

from pathlib import Path

import pytest

# What needs a database, a terminal or a process of its own.
SHELLS = (
    "cli",
    "services",
    "store",
    "words",
    "web",
    "browser",
    "test_bad_worlds.py",
    "test_documents.py",
    "test_kill.py",
)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--fast", action="store_true", help="leave out what needs a database, a terminal or a process")
    parser.addoption("--bench", action="store_true", help="measure speed too, as ratios")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    here = Path(__file__).parent

    def left_out(item: pytest.Item) -> bool:
        if item.get_closest_marker("bench"):
            return not config.getoption("--bench")
        return bool(config.getoption("--fast")) and item.path.relative_to(here).parts[0] in SHELLS

    out = [item for item in items if left_out(item)]
    if out:
        config.hook.pytest_deselected(items=out)
        items[:] = [item for item in items if not left_out(item)]
