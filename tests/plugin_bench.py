"""The option --bench: without it the tests marked `bench` are left out, since they measure speed for minutes."""

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--bench", action="store_true", help="measure speed too")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    slow = [item for item in items if item.get_closest_marker("bench")]
    if slow and not config.getoption("--bench"):
        config.hook.pytest_deselected(items=slow)
        items[:] = [item for item in items if item not in slow]
