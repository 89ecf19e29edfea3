import numpy as np
import pytest

from stickback.radio import aloud, alphabet
from stickback.sound import engine

LAND = "golf whiskey alfa, runway two four, cleared to land"


def test_the_extra_is_there_for_the_tests():
    assert engine.there()


@pytest.mark.parametrize("pace", [80, 100, 140, 200])
def test_a_transmission_takes_as_long_as_its_words_at_a_pace(pace):
    said = engine.speak(LAND, "uk", pace)
    assert said.size / engine.rate() == pytest.approx(len(LAND.split()) * 60 / pace, rel=0.35)


def test_slower_takes_longer():
    long = [engine.speak(LAND, "uk", pace).size for pace in (80, 100, 140, 200)]
    assert long == sorted(long, reverse=True)


def test_each_voice_has_its_own_pitch():
    lowest, usual, highest = (_pitch(engine.speak(LAND, "uk", 100, voice)) for voice in (2, 0, 1))
    assert lowest < usual < highest


def _pitch(samples):
    """The strongest pitch in the range of a voice, in hertz."""
    heard = np.abs(np.fft.rfft(samples))
    pitch = np.fft.rfftfreq(samples.size, 1 / engine.rate())
    voiced = (pitch > 60) & (pitch < 250)
    return float(np.sum(pitch[voiced] * heard[voiced]) / np.sum(heard[voiced]))


@pytest.mark.parametrize(
    ("written", "rules", "words"),
    [
        ("runway 24", "uk", "runway two four"),
        ("squawk 4309", "uk", "squawk four three zero niner"),
        ("118.1", "uk", "one one eight decimal one"),
        ("122.8", "faa", "one two two point eight"),
        ("altitude 2500 feet", "icao", "altitude two thousand five hundred feet"),
        ("QNH 1008", "uk", "Q N H one zero zero eight"),
    ],
)
def test_figures_are_said_as_the_trade_says_them(written, rules, words):
    said = engine.phonemes(aloud.aloud(written, rules), rules)
    assert _plain(said) == _plain(engine.phonemes(words, rules))
    assert said != engine.phonemes(written, rules) or written.startswith("Q")


def _plain(sounds):
    """Sounds without the stress, which hangs on the neighbours."""
    return sounds.replace(" ", "").replace("ˈ", "").replace("ˌ", "")


def test_niner_is_no_nine_and_every_figure_has_its_sound():
    assert engine.phonemes("niner", "uk") == "nˈaɪnə"
    assert len({engine.phonemes(word, "uk") for word in alphabet.COUNTED.values()}) == 10


def test_a_callsign_is_said_letter_by_letter():
    words = engine.phonemes("golf whiskey alfa", "uk")
    assert engine.phonemes(aloud.aloud("G-WA", "uk"), "uk") == words
    assert engine.phonemes("wa", "uk") not in words


def test_a_text_without_a_word_is_silence():
    assert engine.phonemes("", "uk") == ""
    assert engine.speak("", "uk", 100).size / engine.rate() < 1
