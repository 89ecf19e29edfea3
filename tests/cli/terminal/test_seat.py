import re

import pytest

from stickback.cli.terminal import show
from stickback.cli.terminal.keys import RESUMED, Keys, Left
from stickback.cli.terminal.seat import Seat


@pytest.fixture
def seat(tmp_path, monkeypatch):
    """A seat on a screen of eleven lines whose student presses keys: `seat("x q")`."""
    monkeypatch.setattr(type(show.console()), "height", 11)

    def sit(*typed, pictures=()):
        bursts = iter(typed)
        return Seat(None, Keys(lambda: next(bursts, "\x04")), tmp_path, list(pictures))

    return sit


def twenty():
    for number in range(20):
        show.console().print(f"line {number}")
    return []


def test_a_long_text_is_read_a_screen_at_a_time(seat, capsys):
    seat(" ", " ", "q").pages(twenty)
    first, second, third, end = capsys.readouterr().out.split("\r\x1b[K  > ")[0:4]
    assert ("line 7\n" in first, "line 8" in first) == (True, False)
    assert "line 15\n" in second
    assert "line 19\n" in third
    assert end.startswith("the end · q closes it")


def test_q_closes_a_text_where_it_is(seat, capsys):
    seat("q").pages(twenty)
    assert "line 8" not in capsys.readouterr().out


def test_a_key_that_means_nothing_says_so_and_the_text_stays_open(seat, capsys):
    seat("x", " ", "q").pages(twenty)
    shown = capsys.readouterr().out
    assert "“x” is no key here; ? lists them" in shown
    assert "line 15" in shown


def test_the_keys_of_a_text_are_listed_the_one_of_a_picture_too_where_there_is_one(seat, capsys, tmp_path):
    seat("?", "q").pages(twenty)
    assert "opens the picture" not in capsys.readouterr().out
    seat("?", "q").pages(lambda: [*twenty(), tmp_path / "inside.svg"])
    assert re.search(r"space +goes on\n +q +closes it\n +o +opens the picture\n", capsys.readouterr().out)


def test_a_picture_in_the_text_is_opened_and_afterwards_the_one_before_it(seat, monkeypatch, tmp_path):
    opened = []
    monkeypatch.setattr("click.launch", opened.append)
    at = seat("o", "q", pictures=[tmp_path / "before.svg"])
    at.pages(lambda: [*twenty(), tmp_path / "inside.svg"])
    assert opened == [str(tmp_path / "inside.svg")]
    at.common("o", ())
    assert opened[1:] == [str(tmp_path / "before.svg")]


def test_q_leaves_from_everywhere(seat):
    with pytest.raises(Left):
        seat().common("q", ())


def test_a_message_at_the_bottom_is_never_longer_than_its_line(seat, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "20")
    seat().common("z", ())
    assert capsys.readouterr().out == "\r\x1b[K  > “z” is no key …"


def test_after_a_stop_the_text_is_still_open(seat, capsys):
    at = seat(" ", "q")
    at.keys._coming.append("\x1a")
    at.pages(twenty)
    assert RESUMED == ""
    assert capsys.readouterr().out.count("space goes on · q closes it") == 3
