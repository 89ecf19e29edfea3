"""What the terminal says of a database is what a school's page says of it, to the last digit, on either engine."""

import html
import json
import re
from dataclasses import replace
from datetime import date

import pytest
from starlette.testclient import TestClient

import worlds
from signing import DAY, PASSWORD, cheap
from stickback.services import folder, person, sign_in
from stickback.store import engine
from stickback.store.postgresql import PostgreSQL
from stickback.web.app import application
from stickback.web.gate import School
from worlds import Typist, squeezed

__all__ = ["cheap"]

DAYS = ("2026-05-02", "2026-05-03", "2026-05-05", "2026-05-09", "2026-05-16", "2026-05-30")
NAMES = ("me", "Bea", "Cal")
LONE = ("Cal",)  # who never answered


@pytest.fixture(scope="module")
def lines(blank, tmp_path_factory):
    """The log of a small school, as it comes from elsewhere: one with a date, one without, one who did nothing."""
    made = blank.copied(tmp_path_factory.mktemp("figures") / "first.db")
    made.does("student", "set", "me", "--sign-off", "2026-06-20")
    made.does("student", "add", "Bea", "--aircraft", "dunmere")
    made.does("student", "add", "Cal")
    for number, day in enumerate(DAYS):
        for name, many in (("me", 12), ("Bea", 3)):
            asked = ("review", "--questions", many, "--minutes", 60, "--seed", number)
            made.does(*asked, typed=Typist(), student=name, today=day)
    made.does("flown", 1, "--error", "blind")
    return made.does("log", "export")


@pytest.fixture
def place(blank, lines, kind, swept, tmp_path):
    """The school on either engine."""
    store = kind.empty(tmp_path)
    db = store.dialect.url if isinstance(store.dialect, PostgreSQL) else store.name
    made = replace(blank, db=db)
    (tmp_path / "all.jsonl").write_text(lines)
    made.does("log", "import", tmp_path / "all.jsonl")
    return made


@pytest.fixture
def page(place):
    """The page, as the school sees it."""
    store, day = engine.locate(str(place.db)), date.fromisoformat(worlds.DAY)
    invited = person.add(store, folder.load(place.course), "Otto", "school", [], DAY)
    app = application(place.course, store, lambda: day, school=School())
    browser = TestClient(app, "http://127.0.0.1", headers={"sec-fetch-site": "same-origin"})
    browser.cookies.set(School().cookie, sign_in.accept(store, invited.token, PASSWORD, shared=False))
    return browser


def text(markup):
    """What stands in a page, without its tags."""
    return squeezed(html.unescape(re.sub(r"<[^>]+>", " ", markup)))


@pytest.mark.parametrize("form", ["csv", "json"])
def test_the_export_is_the_same_file(place, page, form, tmp_path):
    file = tmp_path / f"readiness.{form}"
    place("readiness", "--out", file)
    assert len(file.read_bytes()) > 500
    assert page.get(f"/school/readiness.{form}").content == file.read_bytes()


def test_the_board_says_what_the_terminal_says_of_everyone(place, page):
    said = place.does("readiness")
    rows = re.findall(r"<tr>\s*<td class=\"who\">.*?</tr>", page.get("/school").text, re.DOTALL)
    assert len(rows) == len(NAMES)
    for row in map(text, rows):
        name = next(each for each in NAMES if row.startswith(each))
        (line,) = [each for each in said.splitlines() if each.split()[:1] == [name]]
        figures = re.findall(r"\d+", line)
        assert (figures == []) == (name in LONE), line
        assert set(figures) <= set(re.findall(r"\d+", row)), (line, row)


@pytest.mark.parametrize("name", NAMES)
def test_a_students_statement_is_the_same_page(place, page, name):
    terminal = place.does("readiness", "--topics", "--format", "html", student=name)
    assert page.get(f"/school/{name}").text == terminal


@pytest.mark.parametrize("name", ["me", "Bea"])
def test_progress_is_the_same_picture_and_the_same_table(place, page, name, tmp_path):
    said = place("progress", "--svg", tmp_path / "progress.svg", student=name).stdout
    shown = page.get(f"/s/{name}/progress").text
    assert (tmp_path / "progress.svg").read_text().strip() in shown
    cells = [text(cell) for cell in re.findall(r'<td class="number">(.*?)</td>', shown)]
    assert any("%" in cell for cell in cells)
    figures = json.loads(place.does("progress", "--json", student=name))
    assert figures["weeks"]
    assert all(cell in said for cell in cells)


def test_the_outlook_is_the_same_picture_and_the_same_sentences(place, page, tmp_path):
    said = squeezed(place.does("outlook"))
    shown = page.get("/s/me/outlook").text
    sentences = [text(each) for each in re.findall(r"<p>(.*?)</p>", shown, re.DOTALL)]
    assert re.search(r"\d", " ".join(sentences))
    assert [each for each in sentences if each not in said] == []


def test_questions_behave_alike(place, page):
    said = squeezed(place.does("questions", "--all"))
    shown = re.findall(r'<p class="small">[^<]*? · (.*?)</p>', page.get("/course/questions?all=yes").text)
    figures = [text(each).partition(" · taken: ")[0] for each in shown]
    assert len(figures) > 5
    assert [each for each in figures if each not in said] == []


def test_both_engines_say_the_same(blank, lines, files, server, tmp_path):
    """The fold of one log is one, wherever it is kept."""
    asked = (
        ("readiness", "--format", "csv", "--topics"),
        ("readiness", "--weekly", "--format", "json"),
        ("progress", "--json"),
        ("outlook", "--json"),
        ("questions", "--format", "csv"),
        ("debrief", "--json"),
    )
    (tmp_path / "all.jsonl").write_text(lines)
    away = server.sweep()
    said = []
    for store in (files.empty(tmp_path), server.empty(tmp_path)):
        made = replace(blank, db=getattr(store.dialect, "url", None) or store.name)
        made.does("log", "import", tmp_path / "all.jsonl")
        said.append([made.does(*each) for each in asked])
    engine.close()
    away()
    assert all(len(each) > 100 for each in said[0])
    assert said[0] == said[1]
