import io
import wave

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from stickback.sound import listening

RATE = 22_050
SECOND = np.arange(RATE) / RATE


def tone(pitch, strength=0.5):
    return strength * np.sin(2 * np.pi * pitch * SECOND)


def strength(samples):
    return float(np.sqrt(np.mean(samples**2)))


@pytest.mark.parametrize(("pitch", "kept"), [(60, 0), (150, 0), (1000, 1), (2500, 1), (5000, 0), (9000, 0)])
def test_a_radio_lets_through_a_narrow_band(pitch, kept):
    assert strength(listening.banded(tone(pitch), RATE)) == pytest.approx(kept * strength(tone(pitch)), abs=0.01)


def test_noise_is_heard_beside_the_voice_and_behind_it_and_is_the_same_for_the_same_seed():
    voice = tone(1000)
    light, heavy = (listening.noisy(voice, RATE, noise, 7) for noise in ("light", "heavy"))
    assert strength(voice) * 0.05 < strength(light[:RATE] - voice) < strength(heavy[:RATE] - voice) < strength(voice)
    assert light.size > voice.size
    assert np.array_equal(light, listening.noisy(voice, RATE, "light", 7))
    assert not np.array_equal(light, listening.noisy(voice, RATE, "light", 8))
    assert np.array_equal(voice, listening.noisy(voice, RATE, "none", 7))


def test_a_switch_pressed_late_takes_a_quarter_of_a_second_away():
    voice = tone(1000)
    assert np.array_equal(listening.clipped(voice, RATE), voice[round(RATE / 4) :])
    assert listening.clipped(voice[:100], RATE).size == 0


def test_a_sound_is_as_loud_as_it_may_be():
    assert float(np.max(np.abs(listening.levelled(tone(1000, 0.01))))) == pytest.approx(listening.LOUDEST)
    assert not listening.levelled(np.zeros(10)).any()


def test_a_sound_file_holds_every_sample():
    with wave.open(io.BytesIO(listening.as_file(tone(1000), 22_050))) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, 22_050)
        assert file.getnframes() == tone(1000).size


def frames(samples):
    with wave.open(io.BytesIO(listening.as_file(samples, RATE))) as file:
        return file.readframes(file.getnframes())


def test_samples_are_written_with_sixteen_bits():
    assert frames(np.array([0.0, 1.0, -1.0, 2.0])) == b"\x00\x00\xff\x7f\x01\x80\xff\x7f"


@given(arrays.arrays(np.float64, st.integers(0, 500), elements=st.floats(-1, 1)), st.sampled_from(["none", "heavy"]))
def test_any_samples_can_be_shaped(samples, noise):
    shaped = listening.levelled(listening.noisy(listening.banded(listening.clipped(samples, 100), 100), 100, noise, 1))
    assert np.isfinite(shaped).all()
    assert len(frames(shaped)) == 2 * shaped.size
