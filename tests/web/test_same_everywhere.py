"""The same answers to the same questions give the same entries, at a terminal, through a pipe and on the page."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from starlette.testclient import TestClient

import worlds
from sittings import MANY, NOTE, TOPIC, Saying, Sitting, entries, sayings, through_a_pipe
from stickback.cli.terminal import screen
from stickback.kinds.shown import REPEATED
from stickback.kinds.table import KINDS
from stickback.services.review import Step
from stickback.store import engine
from stickback.web.app import application


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
        many = len(step.points)
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
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("click.getchar", lambda: next(coming))
        patched.setattr("select.select", lambda *_: ([], [], []))  # a transmission is over at once
        screen.sit(sitting.begun(), sitting.place.course)


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


@settings(max_examples=5, deadline=None)
@given(said=sayings)
def test_a_sitting_leaves_the_same_entries_wherever_it_is_held(every_kind, tmp_path_factory, said):
    folder: Path = tmp_path_factory.mktemp("same")
    lines, terminal, page = (
        entries(every_kind.copied(folder / f"{sit.__name__}.db"), said, sit)
        for sit in (through_a_pipe, at_a_terminal, on_the_page)
    )
    assert lines == terminal
    assert lines == page


def test_every_kind_was_asked_and_answered_in_both_ways(every_kind, tmp_path):
    for answer in ("right", "wrong"):
        said = [Saying(("hint", REPEATED, "flag"), answer, "sure")] * (MANY + 3)
        found = entries(every_kind.copied(tmp_path / f"{answer}.db"), said, through_a_pipe)
        answers = [entry for entry in found if entry["what"] == "answer"]
        assert {entry["kind"] for entry in answers} == set(KINDS)
        assert {entry["right"] for entry in answers} == {answer == "right"}
        assert {entry["given"][:11] for entry in answers if entry["kind"] == "radio"} == {f"{REPEATED}: "}
        assert [entry["given"] for entry in found if entry["what"] == "flag"] == [NOTE] * len(answers)
