"""What a radio does to a voice, as sums on samples: a narrow band, noise, a clipped beginning, the key let go.

Samples are floats from -1 to 1. The band is that of aeronautical voice, about 300 to 3,400 Hz as in telephony (ITU-T
G.712); how strong light and heavy noise are is our own choice.
"""

from typing import Literal, TypeAlias

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


def pcm(samples: Samples) -> bytes:
    """Sixteen bits a sample, as a sound file holds them."""
    return (np.clip(samples, -1, 1) * 32767).astype("<i2").tobytes()
