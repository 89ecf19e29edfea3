"""The pictures that open the README."""

from dataclasses import replace
from datetime import date

import views
import worlds
from stickback.services import demo, folder
from stickback.store import engine


def test_the_pictures_of_the_readme_can_be_made_anew(browser, served, place, tmp_path, monkeypatch):
    real = demo.cast
    monkeypatch.setattr(
        demo, "cast", lambda day: tuple(replace(one, days=one.days[-1:], flown=()) for one in real(day))
    )
    store = engine.locate(str(tmp_path / "demo.db"))
    demo.build(store, folder.load(folder.shipped()), date.fromisoformat(worlds.DAY))
    views.make(browser, served(type(place)(folder.shipped(), tmp_path / "demo.db")), tmp_path)
    for name in ("review.png", "board.png"):
        assert (tmp_path / name).stat().st_size > 20_000
        assert (views.HERE / name).is_file()
