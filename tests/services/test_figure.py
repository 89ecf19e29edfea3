import pytest

from stickback.pictures import figure
from stickback.reading.text import Figure, Picture
from stickback.services import cache as kept

TORQUE = Figure({"scene": "propeller", "propeller": "clockwise", "effect": "torque"})


@pytest.fixture(autouse=True)
def cache(tmp_path, monkeypatch):
    """A cache folder of its own, wherever this system keeps it."""
    monkeypatch.setattr("platformdirs.user_cache_path", lambda _: tmp_path / "cache")
    return tmp_path / "cache"


def test_a_figure_is_drawn_into_the_cache_folder(cache, tmp_path):
    path = kept.picture(tmp_path, TORQUE)
    assert path.is_relative_to(cache)
    assert path.read_text() == figure.draw(TORQUE.words)


def test_the_same_words_have_the_same_file_whatever_their_order_and_others_another(tmp_path):
    turned = Figure(dict(reversed(TORQUE.words.items())))
    other = Figure({**TORQUE.words, "propeller": "anticlockwise"})
    assert kept.picture(tmp_path, TORQUE) == kept.picture(tmp_path, turned) != kept.picture(tmp_path, other)


def test_what_an_older_version_drew_is_drawn_anew(tmp_path):
    path = kept.picture(tmp_path, TORQUE)
    path.write_text("old")
    assert kept.picture(tmp_path, TORQUE).read_text() == figure.draw(TORQUE.words)


def test_a_picture_of_the_course_is_its_own_file(tmp_path):
    (tmp_path / "disc.svg").write_text("<svg/>")
    assert kept.picture(tmp_path, Picture("disc.svg", "the disc")) == tmp_path / "disc.svg"
    assert kept.picture(tmp_path, Picture("gone.svg", "the disc")) is None


def test_where_nothing_can_be_written_there_is_no_file_and_no_error(cache, tmp_path):
    cache.write_text("in the way")
    assert kept.picture(tmp_path, TORQUE) is None
