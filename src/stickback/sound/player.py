"""Samples as a sound file, and played by whatever player the machine has."""

import io
import shutil
import subprocess
import wave
from pathlib import Path
from tempfile import NamedTemporaryFile

from stickback.sound import listening
from stickback.sound.listening import Samples

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


def found() -> tuple[str, ...] | None:
    """The player of this machine, as it is called; None where there is none."""
    return next((each for each in PLAYERS if shutil.which(each[0])), None)


def as_file(samples: Samples, rate: int) -> bytes:
    """A whole sound file: one channel, sixteen bits."""
    held = io.BytesIO()
    with wave.open(held, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(listening.pcm(samples))
    return held.getvalue()


class Playing:
    """A sound that is being played; `stop` ends it and takes its file away."""

    def __init__(self, samples: Samples, rate: int, player: tuple[str, ...]) -> None:
        with NamedTemporaryFile(suffix=".wav", delete=False) as file:
            file.write(as_file(samples, rate))
        self._path = Path(file.name)
        none = subprocess.DEVNULL
        called = [*player, file.name]
        self._process = subprocess.Popen(called, stdin=none, stdout=none, stderr=none)  # noqa: S603 - of our own list

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
