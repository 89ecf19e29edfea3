"""A transmission heard: as the trade says it, through the radio that the student has set and the machine's player."""

import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path
from tempfile import NamedTemporaryFile

import numpy as np

from stickback.radio import aloud
from stickback.refused import Refused
from stickback.sound import engine, listening
from stickback.sound.listening import Listening, Samples

BETWEEN = 0.7  # seconds between two transmissions
INSTALL = "pip install 'stickback[sound]'"
# Players of Linux, macOS and others that take a file; the first that is there is used.
PLAYERS = (
    ("pw-play",),
    ("paplay",),
    ("aplay", "-q"),
    ("afplay",),
    ("ffplay", "-nodisp", "-autoexit", "-loglevel", "quiet"),
    ("play", "-q"),
    ("powershell", "-NoProfile", "-Command", "(New-Object Media.SoundPlayer $args[0]).PlaySync()"),
)


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
    if player() is None:
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


def player() -> tuple[str, ...] | None:
    """The player of this machine, as it is called; None where there is none."""
    return next((each for each in PLAYERS if shutil.which(each[0])), None)


class Playing:
    """A sound that is being played; `stop` ends it and takes its file away."""

    def __init__(self, samples: Samples, rate: int, player: tuple[str, ...]) -> None:
        with NamedTemporaryFile(suffix=".wav", delete=False) as file:
            file.write(listening.as_file(samples, rate))
        self._path = Path(file.name)
        nothing = subprocess.DEVNULL
        called = [*player, file.name]
        self._process = subprocess.Popen(called, stdin=nothing, stdout=nothing, stderr=nothing)  # noqa: S603 - of our own list

    def done(self) -> bool | None:
        """Whether it was played to its end; None while it is, False where the player failed."""
        code = self._process.poll()
        return None if code is None else code == 0

    def stop(self) -> None:
        """Ends it, if it has not ended."""
        if self._process.poll() is None:
            self._process.terminate()
        self._process.wait()
        self._path.unlink(missing_ok=True)


def play(said: Sequence[str], phraseology: str, how: Listening, seed: int = 0) -> Playing | None:
    """Transmissions being played; None where this machine cannot."""
    found = player()
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
        path.write_bytes(listening.as_file(samples, engine.rate()))
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.") from None
    return samples.size / engine.rate()
