"""What every campaign has: a course, its chance and numbers, and a place to say what it counted."""

import random
from collections.abc import Callable
from pathlib import Path

import pytest

import worlds
from engines import Engine
from stickback.store.engine import Database


@pytest.fixture(autouse=True)
def ended(swept: None) -> None:
    """What a test opened is closed after it, as at the end of a program."""


@pytest.fixture(scope="session")
def course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the small course; no test may change it."""
    return worlds.write(tmp_path_factory.mktemp("course") / "course")


@pytest.fixture
def store(kind: Engine, tmp_path: Path) -> Database:
    """An empty database of either engine."""
    return kind.empty(tmp_path)


@pytest.fixture
def seed(request: pytest.FixtureRequest) -> int:
    """What chance begins with."""
    return int(request.config.getoption("--campaign-seed"))


@pytest.fixture
def chance(seed: int) -> random.Random:
    """The same at every run with one seed."""
    return random.Random(seed)


@pytest.fixture
def many(request: pytest.FixtureRequest) -> Callable[[int], int]:
    """The share of a full number that was asked for."""
    share = float(request.config.getoption("--campaign-share"))
    return lambda whole: max(1, round(share * whole))


@pytest.fixture
def tell(
    record_property: Callable[[str, object], None], request: pytest.FixtureRequest, seed: int
) -> Callable[..., None]:
    """Says at the end of the run what was counted: `tell(kills=200, lost=0)`."""

    def say(**counted: object) -> None:
        words = ", ".join(f"{name.replace('_', ' ')} {value}" for name, value in counted.items())
        record_property("campaign", f"{request.node.name}, seed {seed}: {words}")

    return say
