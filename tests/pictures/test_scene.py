import pytest

from stickback.pictures import figure, scene
from stickback.pictures.figure import SCENES

ATTITUDE = SCENES["attitude"]


def test_a_word_that_must_be_given_is_missed_by_its_name():
    message, hint = scene.check("wind", SCENES["wind"], {})
    assert "'runway'" in message
    assert "runway" in hint


@pytest.mark.parametrize("name", SCENES)
def test_a_word_that_a_scene_does_not_take_is_named(name):
    wrong = figure.check({"scene": name, "colour": "red"})
    assert wrong is not None


def test_a_value_that_is_still_to_be_filled_in_is_taken_as_fine():
    assert figure.check({"scene": "attitude", "attitude": "{{ attitude }}"}) is None


def test_a_value_that_does_not_fit_is_told_apart_from_one_that_does():
    assert scene.check("attitude", ATTITUDE, {"attitude": "level"}) is None
    message, hint = scene.check("attitude", ATTITUDE, {"attitude": "upside down"})
    assert "upside down" in message
    assert "three-point" in hint


def test_words_that_are_not_given_have_their_defaults():
    words = scene.filled(SCENES["wind"], {"scene": "wind", "runway": "24", "wind_from": "270", "wind": "15"})
    assert words["show"] == "components"
