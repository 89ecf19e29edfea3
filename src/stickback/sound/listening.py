"""How a student wants to hear transmissions, and what that does to a voice: its pace, its band, noise, a late switch.

Samples are floats from -1 to 1. The band is that of aeronautical voice, about 300 to 3,400 Hz as in telephony (ITU-T
G.712); how strong light and heavy noise are is our own choice.
"""

import io
import re
import wave
from dataclasses import dataclass, fields
from typing import Literal, TypeAlias, get_args

import numpy as np
from numpy.typing import NDArray

Samples: TypeAlias = NDArray[np.float64]
Noise = Literal["none", "light", "heavy"]
LOWEST, HIGHEST = 300.0, 3400.0  # Hz
CLIPPED = 0.25  # seconds that are missing where the switch was pressed too late
LOUDEST = 0.9
_EDGE = 0.15  # of a band's edge frequency over which it falls off
_BELOW = {"light": 0.12, "heavy": 0.45}  # strength of the noise, as a share of the voice's
_TAIL = 0.12  # seconds of noise when the key is let go

SLOWEST, FASTEST = 80, 200  # words a minute; 100 is what Doc 9432 2.2.1 and CAP 413 2.8 ask for
OFF, ON = "off", "on"
FORM = f"{OFF}, {ON}, or some of: pace {SLOWEST} to {FASTEST}, noise light|heavy, clipped; with commas between"
_PACE = re.compile(r"pace (\d{1,3})")


@dataclass(frozen=True)
class Listening:
    """What is done to a voice before it is heard.

    Args:
        pace: words a minute.
        clipped: the switch was pressed too late, and the first quarter of a second is not there.
    """

    pace: int = 100
    noise: Noise = "none"
    clipped: bool = False

    @property
    def text(self) -> str:
        """As it is written in the settings: only what is not usual, in one order."""
        said = [f"pace {self.pace}"] if self.pace != Listening.pace else []
        said += [f"noise {self.noise}"] if self.noise != "none" else []
        return ", ".join([*said, *(["clipped"] if self.clipped else [])]) or ON


def read(text: str) -> Listening | None:
    """What a setting says; None where it is off.

    Errors: ValueError for what is none, with what is wrong.
    """
    found: dict[str, int | str | bool] = {}
    parts = [" ".join(part.casefold().split()) for part in text.split(",") if part.strip()]
    if parts == [OFF] or not parts:
        return None
    for part in parts if parts != [ON] else []:
        name, value = _part(part)
        if name in found:
            raise ValueError(f"'{name}' stands twice")
        found[name] = value
    return Listening(**{each.name: found[each.name] for each in fields(Listening) if each.name in found})  # type: ignore[arg-type]


def _part(part: str) -> tuple[str, int | str | bool]:
    if part == "clipped":
        return part, True
    if pace := _PACE.fullmatch(part):
        if SLOWEST <= int(pace[1]) <= FASTEST:
            return "pace", int(pace[1])
        raise ValueError(f"a pace is {SLOWEST} to {FASTEST} words a minute, not {pace[1]}")
    word, _, level = part.partition(" ")
    if word == "noise" and (level or "light") in get_args(Noise):
        return "noise", level or "light"
    raise ValueError(f"'{part}' is none of them")


def banded(samples: Samples, rate: int) -> Samples:
    """Only what lies in the band of a radio."""
    if not samples.size:
        return samples
    pitch = np.fft.rfftfreq(samples.size, 1 / rate)
    rising = np.clip((pitch - LOWEST * (1 - _EDGE)) / (LOWEST * 2 * _EDGE), 0, 1)
    falling = np.clip((HIGHEST * (1 + _EDGE) - pitch) / (HIGHEST * 2 * _EDGE), 0, 1)
    return np.asarray(np.fft.irfft(np.fft.rfft(samples) * rising * falling, samples.size), dtype=np.float64)


def noisy(samples: Samples, rate: int, noise: Noise, seed: int) -> Samples:
    """A voice through noise, with the short hiss of a key let go behind it.

    Args:
        seed: of the noise; the same one makes the same sound.
    """
    if noise == "none" or not samples.size:
        return samples
    strength = float(np.sqrt(np.mean(samples**2)))
    long = np.concatenate([samples, np.zeros(round(_TAIL * rate))])
    hiss = banded(np.random.default_rng(seed).standard_normal(long.size), rate)
    return np.asarray(long + hiss * (_BELOW[noise] * strength / max(float(np.std(hiss)), 1e-12)), dtype=np.float64)


def clipped(samples: Samples, rate: int) -> Samples:
    """Without its first quarter of a second."""
    return samples[min(round(CLIPPED * rate), samples.size) :]


def levelled(samples: Samples) -> Samples:
    """As loud as it may be."""
    loudest = float(np.max(np.abs(samples))) if samples.size else 0.0
    return samples * (LOUDEST / loudest) if loudest else samples


def pause(seconds: float, rate: int) -> Samples:
    """Silence."""
    return np.zeros(round(seconds * rate))


def as_file(samples: Samples, rate: int) -> bytes:
    """A whole sound file: one channel, sixteen bits."""
    held = io.BytesIO()
    with wave.open(held, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes((np.clip(samples, -1, 1) * 32767).astype("<i2").tobytes())
    return held.getvalue()
