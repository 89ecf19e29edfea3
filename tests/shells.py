"""Fixtures for what a person sees: a course, and a database in which nothing or something was answered."""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

import worlds
from stickback.services import cache, review
from stickback.services import folder as folders
from stickback.services.review import Session
from stickback.services.today import Wish
from stickback.store import engine
from stickback.store.sqlite import SQLite
from worlds import Place


@pytest.fixture(scope="module", autouse=True)
def no_waiting() -> Iterator[None]:
    """No test here is about a power cut, or changes the program: none waits for the disk or looks at all modules."""
    program = [*cache.program()]
    with pytest.MonkeyPatch.context() as patch:
        writes = {name: (*SQLite.settings[name], "synchronous = OFF") for name in ("write", "migrate")}
        patch.setattr(SQLite, "settings", {**SQLite.settings, **writes})
        patch.setattr(cache, "program", lambda: program)
        yield


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Place:
    """What the other places are copied from; no test may change it."""
    return worlds.begun(tmp_path_factory.getbasetemp())


@pytest.fixture(scope="session")
def blank(template: Place) -> Place:
    """A database without a student, to be copied: making one takes longer than most tests."""
    made = template.db.with_name("made.db")
    engine.locate(str(made)).prepare()
    return replace(template, db=made).settled(template.db.with_name("blank.db"))


@pytest.fixture(scope="session")
def every_kind(blank: Place, tmp_path_factory: pytest.TempPathFactory) -> Place:
    """A course of every kind, all in one topic, and a student who has its radio rules; to be copied."""
    folder = tmp_path_factory.mktemp("kinds")
    folders.begin(folder / "course")
    deck = folder / "course" / "first-questions.md"
    deck.write_text(re.sub(r" topic=[a-z-]+", "", deck.read_text()))
    begun = replace(blank.copied(folder / "begun.db"), course=folder / "course")
    begun.does("student", "set", "me", "--phraseology", "uk")
    return begun.settled(folder / "kinds.db")


@pytest.fixture
def place(blank: Place, tmp_path: Path) -> Place:
    """A place where nothing was answered yet."""
    return blank.copied(tmp_path / "new.db")


@pytest.fixture
def school(template: Place, tmp_path: Path) -> Place:
    """A place where `me` has four answers and a flown lesson, and Bea two answers on the other aeroplane."""
    return template.copied(tmp_path / "school.db")


@pytest.fixture(scope="session")
def courses(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A course folder for each question of the deck on feet, which is the only one on that topic."""
    folder = tmp_path_factory.mktemp("only")
    return {name: worlds.write(folder / name, worlds.only(name)) for name in ("approach", "pushes", "steer")}


@pytest.fixture
def session(place: Place) -> Callable[..., Session]:
    """Begins a review of `me` on the day of the tests: `session(topic="eyes")`, `session(other_folder)`."""

    def begin(course: Path = place.course, **wish: object) -> Session:
        return review.start(replace(place, course=course).desk(), Wish(**wish))

    return begin
