"""The same answers to the same questions give the same entries, at a terminal, through a pipe and on the page."""

import io
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from itertools import count
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

import worlds
from stickback import clock
from stickback.cli.terminal import screen
from stickback.kinds.shown import REPEATED
from stickback.kinds.table import KINDS
from stickback.services import desk
from stickback.services import folder as folders
from stickback.services import review as service
from stickback.services.review import Done, Session, Step
from stickback.services.today import Wish
from stickback.store import engine
from stickback.web.app import application
from worlds import Place

# Of an entry: what is another in every sitting.
OWN = {"id", "device", "number", "seal", "at", "seconds"}
MANY = len(worlds.started())  # questions of the course to begin with, of every kind
TOPIC, NOTE = "nose-swings", "The wind is odd"
AHEAD = 1_780_444_800_000  # of the day of the tests, so that nothing took any time; 3 June 2026


@dataclass(frozen=True)
class Saying:
    """What a student does with one question.

    Args:
        before: what is asked for before the answer, in order: `hint`, `flag`, REPEATED.
        answer: `right`, `wrong`, `unknown` or `pass`.
    """

    before: tuple[str, ...]
    answer: str
    confidence: str

    def given(self, step: Step) -> str:
        """The answer, as a line holds it."""
        return step.question.body.simulate(step.seed, step.values, right=self.answer == "right")

    def wishes(self, step: Step) -> list[str]:
        """What is asked for before the answer, where there is something to ask for."""
        return [each for each in self.before if each != REPEATED or step.shown.heard]


sayings = st.lists(
    st.builds(
        Saying,
        before=st.lists(st.sampled_from(("hint", "flag", REPEATED)), max_size=3, unique=True).map(tuple),
        answer=st.sampled_from(("right", "right", "wrong", "unknown", "pass")),
        confidence=st.sampled_from(("guess", "think", "sure")),
    ),
    min_size=MANY,
    max_size=MANY + 3,  # what was wrong comes back
)


class Sitting:
    """A sitting whose askings have the same ids as those of another one: what is drawn follows from them."""

    def __init__(self, place: Place, said: list[Saying]) -> None:
        self.place, self.said, self.asked = place, said, service.ask
        self.step: Step | None = None
        self.number, self.within = 0, count()

    def ask(self, session: Session) -> Step | Done:
        """Asks, and remembers what."""
        self.number, self.within = self.number + 1, count()
        found = self.asked(session)
        self.step = found if isinstance(found, Step) else None
        return found

    def new_id(self) -> str:
        """The next id of this asking."""
        return clock.uuid7(AHEAD + 1000 * self.number, next(self.within))

    def steps(self) -> Iterator[tuple[Saying, Step]]:
        """What is done with each question, as soon as it is asked."""
        for each in self.said:
            if self.step is not None:
                yield each, self.step


def typed(sitting: Sitting) -> Iterator[str]:
    """What goes through a pipe, line by line."""
    for each, step in sitting.steps():
        for wish in each.wishes(step):
            yield f"flag {NOTE}" if wish == "flag" else wish
        if each.answer in {"unknown", "pass"}:
            yield {"unknown": "don't know", "pass": "pass"}[each.answer]
        elif step.shown.manner == "aloud":
            yield each.confidence
            yield each.given(step)
        else:
            yield f"{each.given(step)} {each.confidence}"
    yield "stop"


class Lines(io.BytesIO):
    """Standard input that is made as it is read."""

    def __init__(self, lines: Iterator[str]) -> None:
        super().__init__()
        self.lines = lines

    def read1(self, _: int = -1) -> bytes:
        """The next line; nothing at the end."""
        return "".join(f"{line}\n" for line in [next(self.lines, "")] if line).encode()


def through_a_pipe(sitting: Sitting) -> None:
    sitting.place.does("review", "--topic", TOPIC, typed=Lines(typed(sitting)))


def keys(sitting: Sitting) -> Iterator[str]:
    """What is pressed at a terminal."""
    for each, step in sitting.steps():
        line = step.shown.manner == "line"
        for wish in each.wishes(step):
            if wish == REPEATED:
                yield from f"{REPEATED}\r"
            else:
                yield from ("\r" * line, wish[0], f"{NOTE}\r" * (wish == "flag"), "\x7f" * line)
        if each.answer == "pass":
            yield from ("\r" * line, "p")
            continue
        yield from ("\t",) if each.answer == "unknown" else pressed(each, step)
        yield " "  # to the next question
    yield "\x04"


def pressed(each: Saying, step: Step) -> Iterator[str]:
    """The keys of an answer."""
    given = each.given(step)
    if step.shown.manner == "aloud":
        yield each.confidence[0]
        many = len(step.question.body.answer(step.seed, step.values))
        yield from ("y" if str(number) in given.split() else "n" for number in range(1, many + 1))
        return
    if step.shown.cells:
        given = cell(step, given)
    yield from f"{given}\r" if step.shown.manner == "line" else given.replace(" ", "")
    yield each.confidence[0]


def cell(step: Step, name: str) -> str:
    """The key of a cell."""
    grid = step.shown.cells
    assert grid is not None
    return next(key for row in grid.keys for key in row if grid.name(key) == name)


def at_a_terminal(sitting: Sitting) -> None:
    coming = (burst for burst in keys(sitting) if burst)
    made = desk.open_desk(sitting.place.course, str(sitting.place.db), "me", date.fromisoformat(worlds.DAY))
    made.database.prepare()
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("click.getchar", lambda: next(coming))
        patched.setattr("select.select", lambda *_: ([], [], []))  # a transmission is over at once
        screen.sit(service.start(made, Wish(topic=TOPIC)), sitting.place.course)


def on_the_page(sitting: Sitting) -> None:
    place = sitting.place
    app = application(place.course, engine.locate(str(place.db)), lambda: date.fromisoformat(worlds.DAY))
    browser = TestClient(app, "http://127.0.0.1", headers={"sec-fetch-site": "same-origin"}, follow_redirects=False)
    for each in sitting.said:
        begun = browser.get("/s/me/review", params={"topic": TOPIC})
        if begun.status_code == 303 and sitting.step is not None:
            sent(browser, begun.headers["location"], each, sitting.step)


def sent(browser: TestClient, url: str, each: Saying, step: Step) -> None:
    """One question answered by forms alone."""
    at, page = url, browser.get(url).text
    form: dict[str, object] = {"confidence": each.confidence}
    before = ""
    for wish in each.wishes(step):
        if wish == "hint" and ">Hint</a>" in page:
            at = f"{url}&hinted=yes"
            page = browser.get(at).text
        elif wish == "flag":
            flag = url.replace("?", "/flag?")
            (name,) = re.findall(r'name="id" value="([^"]+)"', browser.get(flag).text)
            assert browser.post(flag, data={"id": name, "note": NOTE}).headers["location"] == url
        elif wish == REPEATED:
            page = browser.post(at, data={**form, "given": REPEATED}).text
            (before,) = re.findall(r"<textarea[^>]*>([^<]+)</textarea>", page)
    if each.answer in {"unknown", "pass"}:
        form = {"other": each.answer}
    else:
        form["given"] = given_by(each, step, before)
    if 'name="hinted" value="yes"' in page:
        form["hinted"] = "yes"
    assert browser.post(url, data=form).status_code == 303


def given_by(each: Saying, step: Step, before: str) -> str | list[str]:
    """The fields of an answer."""
    given = each.given(step)
    if step.shown.cells:
        return cell(step, given)
    if step.shown.manner == "aloud":
        return given.replace("none", "").split()
    return given.split() if step.shown.manner == "several" else f"{before}{given}"


@pytest.fixture(scope="module")
def all_kinds(blank: Place, tmp_path_factory: pytest.TempPathFactory) -> Place:
    """A course of every kind, all in one topic, and a student who has its radio rules."""
    folder = tmp_path_factory.mktemp("kinds")
    folders.begin(folder / "course")
    deck = folder / "course" / "first-questions.md"
    deck.write_text(re.sub(r" topic=[a-z-]+", "", deck.read_text()))
    place = replace(blank.copied(folder / "begun.db"), course=folder / "course")
    place.does("student", "set", "me", "--phraseology", "uk")
    return place.settled(folder / "kinds.db")


def entries(place: Place, said: list[Saying], sit: Callable[[Sitting], None]) -> list[dict[str, object]]:
    """What stands in the log after a sitting, without what is another in every one."""
    sitting = Sitting(place, said)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(service, "ask", sitting.ask)
        patched.setattr(clock.Clock, "new_id", lambda _: sitting.new_id())
        sit(sitting)
    lines = map(json.loads, place.does("log", "export").splitlines())
    return [{name: value for name, value in line.items() if name not in OWN} for line in lines]


@settings(max_examples=5, deadline=None)
@given(said=sayings)
def test_a_sitting_leaves_the_same_entries_wherever_it_is_held(all_kinds, tmp_path_factory, said):
    folder: Path = tmp_path_factory.mktemp("same")
    lines, terminal, page = (
        entries(all_kinds.copied(folder / f"{sit.__name__}.db"), said, sit)
        for sit in (through_a_pipe, at_a_terminal, on_the_page)
    )
    assert lines == terminal
    assert lines == page


def test_every_kind_was_asked_and_answered_in_both_ways(all_kinds, tmp_path):
    for answer in ("right", "wrong"):
        said = [Saying(("hint", REPEATED, "flag"), answer, "sure")] * (MANY + 3)
        found = entries(all_kinds.copied(tmp_path / f"{answer}.db"), said, through_a_pipe)
        answers = [entry for entry in found if entry["what"] == "answer"]
        assert {entry["kind"] for entry in answers} == set(KINDS)
        assert {entry["right"] for entry in answers} == {answer == "right"}
        assert {entry["given"][:11] for entry in answers if entry["kind"] == "radio"} == {f"{REPEATED}: "}
        assert [entry["given"] for entry in found if entry["what"] == "flag"] == [NOTE] * len(answers)
