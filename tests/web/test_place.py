"""What the server holds between pages, while others change what it was made of."""

import shutil
from datetime import date

import pytest

import worlds
from stickback import clock
from stickback.memory.curve import DEFAULTS
from stickback.store import engine, parameters
from stickback.store.sqlite import SQLite


def answered(browser):
    """An answer given on the page: the address of its mark."""
    url = browser.get("/s/me/review").headers["location"]
    assert browser.post(url, data={"other": "unknown"}).headers["location"] == url
    return url


@pytest.fixture
def twins(browse, school, tmp_path):
    """Two databases that were one, and in each an answer that is not in the other, with the address of its mark."""
    places = [school.copied(tmp_path / name) for name in ("one.db", "other.db")]
    found = [(place, answered(browse(place))) for place in places]
    return [(place.settled(tmp_path / f"settled-{place.db.name}").db, url) for place, url in found]


def restored(school, file):
    school.does("restore", file)


def put_over(school, file):
    shutil.copy(file, school.db.with_name("new"))
    for end in ("-wal", "-shm"):
        school.db.with_name(school.db.name + end).unlink(missing_ok=True)
    school.db.with_name("new").replace(school.db)


@pytest.mark.parametrize("comes", [restored, put_over])
def test_another_database_in_the_place_of_this_one_is_seen_on_the_next_page(browse, school, twins, comes):
    browser = browse(school)
    for file, own in twins:
        comes(school, file)
        for _, url in twins:
            assert ("Not right" in browser.get(url).text) == (url == own)
        before = len(school.stored())
        again = answered(browser)
        assert len(school.stored()) == before + 1
        assert "Not right" in browser.get(again).text
    assert "WRONG" not in school.does("log", "verify")


def test_a_page_takes_one_connection_and_leaves_nothing_open(browse, school, monkeypatch):
    browser, opened, connect = browse(school), [], SQLite._connect
    answered(browser)
    url = browser.get("/s/me/review").headers["location"]
    before = len(school.stored())
    engine.close()
    monkeypatch.setattr(SQLite, "_connect", lambda self: opened.append(self.path) or connect(self))
    for ask in (lambda: browser.get(url), lambda: browser.post(url, data={"other": "unknown"})):
        ask()
        assert opened == [school.db]
        assert not school.db.with_name(f"{school.db.name}-wal").exists()
        opened.clear()
    assert len(school.stored()) == before + 1


def test_adopted_parameters_are_in_force_on_the_next_page(browse, school):
    browser = browse(school)
    held = browser.app.state.place
    assert held.session("me").desk.past.own == DEFAULTS
    others = (*DEFAULTS[:-1], DEFAULTS[-1] * 1.1)
    now = clock.clock_for("UTC", date.fromisoformat(worlds.DAY))
    parameters.adopt(engine.locate(str(school.db)), "me", others, 1, now)
    assert held.session("me").desk.past.own == others


def test_nothing_is_read_again_while_nothing_changed(browse, school):
    browser = browse(school)
    held = browser.app.state.place
    first = held.session("me")
    assert held.session("me") is first
    answered(browser)
    after = held.session("me")
    assert after.taken == 1  # it is the session that went on, and no new one
    assert held.session("me") is after
