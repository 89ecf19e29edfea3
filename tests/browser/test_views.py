"""The pictures that open the README."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import views
import worlds
from stickback.services import demo, folder
from stickback.store import engine

ROOT = Path(__file__).parents[2]
MOST = 150_000  # bytes of a picture: a README is read on a phone too


def test_the_readme_opens_with_two_small_pictures_that_say_what_is_seen():
    opening = (ROOT / "README.md").read_text().partition("\n## ")[0]
    pictures = re.findall(r"!\[(.*)\]\((.*)\)", opening)
    assert [ROOT / path for _, path in pictures] == [views.HERE / "review.png", views.HERE / "board.png"]
    for told, path in pictures:
        assert len(told) > 60
        assert (ROOT / path).stat().st_size < MOST


def test_the_pictures_of_the_readme_can_be_made_anew(browser, served, place, tmp_path, monkeypatch):
    real = demo.cast
    monkeypatch.setattr(
        demo, "cast", lambda day: tuple(replace(one, days=one.days[-1:], flown=()) for one in real(day))
    )
    demo.build(engine.locate(str(place.db)), folder.load(folder.shipped()), date.fromisoformat(worlds.DAY))
    views.make(browser, served(replace(place, course=folder.shipped())), tmp_path)
    for name in ("review.png", "board.png"):
        assert 20_000 < (tmp_path / name).stat().st_size < MOST
