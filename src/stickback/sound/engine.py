"""The speech engine of the extra `sound`: text becomes samples, or the phonemes that it would say.

The engine is a library with a C interface, whole with its voices in a wheel; no sound device is touched. It has one
state for the whole process, so that one voice speaks at a time.
"""

import ctypes
import importlib.util
from functools import cache
from threading import Lock
from typing import Any

import numpy as np

from stickback.sound.listening import Samples

_RETRIEVE = 2  # samples are handed over, and nothing is played
_UTF8, _IPA, _CHARACTERS = 1, 2, 1
_RATE, _PITCH, _GAP = 1, 3, 7  # numbers of the engine's settings
_TRIED = 10  # steps of a pause between words
VOICES = {"uk": "en", "icao": "en", "faa": "en-us"}
PITCHES = (50, 66, 38)  # of the voices that follow each other on a frequency, on the engine's scale of 0 to 100
_SPEAKING = Lock()


def there() -> bool:
    """Whether the extra is installed."""
    return importlib.util.find_spec("espeakng_loader") is not None


@cache
def _library() -> tuple[Any, int]:
    """The engine and its samples a second, begun once."""
    import espeakng_loader

    library = ctypes.CDLL(espeakng_loader.get_library_path())
    library.espeak_Initialize.argtypes = [ctypes.c_int, ctypes.c_int, ctypes.c_char_p, ctypes.c_int]
    library.espeak_TextToPhonemes.argtypes = [ctypes.POINTER(ctypes.c_void_p), ctypes.c_int, ctypes.c_int]
    library.espeak_TextToPhonemes.restype = ctypes.c_char_p
    rate = int(library.espeak_Initialize(_RETRIEVE, 0, espeakng_loader.get_data_path().encode(), 0))
    return library, rate


def rate() -> int:
    """Samples a second."""
    return _library()[1]


def speak(text: str, phraseology: str, pace: int, voice: int = 0) -> Samples:
    """A text as samples, so fast that it takes as long as its words do at a pace.

    Args:
        pace: words a minute.
        voice: which of the voices that follow each other.
    """
    with _SPEAKING:
        _library()[0].espeak_SetVoiceByName(VOICES[phraseology].encode())
        _set(_PITCH, PITCHES[voice % len(PITCHES)])
        at_once = _said(text, pace, 0)
        lacking = len(text.split()) * 60 / pace * _library()[1] - at_once.size
        if lacking <= 0:
            return at_once
        slower = _said(text, pace, _TRIED)  # the engine alone is faster than it is told: how much a pause adds is seen
        gap = round(_TRIED * lacking / max(slower.size - at_once.size, 1))
        return _said(text, pace, gap)


def _said(text: str, pace: int, gap: int) -> Samples:
    library, _ = _library()
    heard: list[bytes] = []
    callback = _callback(heard)
    said = text.encode()
    _set(_RATE, pace)
    _set(_GAP, gap)
    library.espeak_SetSynthCallback(callback)
    library.espeak_Synth(said, ctypes.c_size_t(len(said) + 1), 0, _CHARACTERS, 0, _UTF8, None, None)
    library.espeak_Synchronize()
    return np.frombuffer(b"".join(heard), dtype="<i2").astype(np.float64) / 32768


def _set(setting: int, value: int) -> None:
    _library()[0].espeak_SetParameter(setting, value, 0)


def _callback(heard: list[bytes]) -> Any:
    """What takes the samples over, piece by piece."""

    def taken(samples: Any, many: int, _: Any) -> int:
        if samples and many:
            heard.append(ctypes.string_at(samples, 2 * many))
        return 0

    return ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_int, ctypes.c_void_p)(taken)


def phonemes(text: str, phraseology: str) -> str:
    """What would be said, in the signs of the International Phonetic Alphabet."""
    library, _ = _library()
    buffer = ctypes.create_string_buffer(text.encode())
    place = ctypes.c_void_p(ctypes.addressof(buffer))
    said: list[str] = []
    with _SPEAKING:
        library.espeak_SetVoiceByName(VOICES[phraseology].encode())
        while place.value:
            said.append((library.espeak_TextToPhonemes(ctypes.byref(place), _UTF8, _IPA) or b"").decode())
    return " ".join(said)
