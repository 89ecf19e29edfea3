"""A transmission heard: spoken as the trade says it, through the radio that the student has set."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from stickback.radio import aloud
from stickback.refused import Refused
from stickback.sound import engine, listening, player
from stickback.sound.listening import Listening, Samples
from stickback.sound.player import Playing

BETWEEN = 0.7  # seconds between two transmissions
INSTALL = "pip install 'stickback[sound]'"


def read(text: str) -> Listening | None:
    """What a setting says; None where it is off.

    Errors: Refused for what is none.
    """
    try:
        return listening.read(text)
    except ValueError as error:
        raise Refused(f"Listening cannot be '{text}': {error}. Write {listening.FORM}.") from None


def written(text: str) -> str:
    """A setting in the one form in which it is stored.

    Errors: Refused for what is none.
    """
    how = read(text)
    return how.text if how else listening.OFF


def missing() -> str:
    """What a machine lacks to speak, in a sentence; empty where nothing is."""
    if not engine.there():
        return f"Nothing can be spoken here: {INSTALL} adds the voice."
    if player.found() is None:
        return "Nothing can be played here: no player was found on this machine."
    return ""


def spoken(said: Sequence[str], phraseology: str, how: Listening, seed: int = 0) -> Samples:
    """Transmissions as they are heard; each has another voice than the one before."""
    rate = engine.rate()
    parts = [_one(text, phraseology, how, place) for place, text in enumerate(said)]
    pieces = [piece for part in parts for piece in (listening.pause(BETWEEN, rate), part)][1:]
    whole = np.concatenate(pieces) if pieces else np.zeros(0)
    return listening.levelled(listening.noisy(listening.banded(whole, rate), rate, how.noise, seed))


def _one(text: str, phraseology: str, how: Listening, voice: int) -> Samples:
    said = engine.speak(aloud.aloud(text, phraseology), phraseology, how.pace, voice)
    return listening.clipped(_trimmed(said), engine.rate()) if how.clipped else said


def _trimmed(samples: Samples) -> Samples:
    """Without the silence before the first sound, so that what is clipped is speech."""
    loud = np.flatnonzero(np.abs(samples) > 0.01)
    return samples[loud[0] :] if loud.size else samples


def play(said: Sequence[str], phraseology: str, how: Listening, seed: int = 0) -> Playing | None:
    """Transmissions being played; None where this machine cannot."""
    found = player.found()
    if found is None or not engine.there():
        return None
    try:
        return Playing(spoken(said, phraseology, how, seed), engine.rate(), found)
    except OSError:
        return None


def write(path: Path, said: Sequence[str], phraseology: str, how: Listening, seed: int = 0) -> float:
    """Transmissions in a sound file; its length in seconds.

    Errors: Refused where there is no voice, or the file cannot be written.
    """
    if not engine.there():
        raise Refused(missing())
    samples = spoken(said, phraseology, how, seed)
    try:
        path.write_bytes(player.as_file(samples, engine.rate()))
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.") from None
    return samples.size / engine.rate()
