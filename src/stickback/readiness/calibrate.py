"""Predicted against observed: how the chances told before answers compare with what came of them.

Source: Brier 1950 for the score; the gaps of a reliability diagram, weighed by their number, for the error.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from stickback.amount import percent
from stickback.memory.curve import Flags, Floats

MOST_BINS, LEAST_IN_BIN = 10, 10
ENOUGH = 1000  # predictions; with fewer the error is mostly chance
_DIGITS = 6
_LEAST = 1e-9  # a surprise without end could not be averaged


class Bin(NamedTuple):
    """Predictions that are near each other.

    Args:
        low, high: the range of the predictions, `high` in it in the last bin only.
        predicted, observed: their mean, and the share that was right; `answers`: how many.
    """

    low: float
    high: float
    predicted: float
    observed: float
    answers: int


@dataclass(frozen=True, kw_only=True)
class Calibration:
    """How predictions did.

    Args:
        predictions: how many.
        brier, log_loss: mean of each; 0 is perfect; None without a prediction.
        error: mean distance of a bin's predicted from its observed, weighed by count; None below `ENOUGH`.
        noise_floor: the error that a perfect forecaster would be expected to show with these predictions.
        debiased: mean square of the same distance, less what chance alone adds to it; None below `ENOUGH`.
        note: how to read it.
    """

    predictions: int
    brier: float | None
    log_loss: float | None
    error: float | None
    noise_floor: float | None
    debiased: float | None
    bins: tuple[Bin, ...]
    note: str


def calibration(told: Sequence[tuple[Floats, Flags]]) -> Calibration:
    """The calibration of all that was told, of one student or of many: the chances of each, and what came of them."""
    chance = np.clip(np.concatenate([np.zeros(0), *(chances for chances, _ in told)]), _LEAST, 1 - _LEAST)
    right = np.concatenate([np.zeros(0, dtype=np.bool_), *(came for _, came in told)])
    many = len(chance)
    if not many:
        return Calibration(
            predictions=0,
            brier=None,
            log_loss=None,
            error=None,
            noise_floor=None,
            debiased=None,
            bins=(),
            note=_note(0, None, None),
        )
    bins = reliability(chance, right, max(1, min(MOST_BINS, many // LEAST_IN_BIN)))
    floor = _rounded(noise_floor(chance, bins))
    error, debiased = (_rounded(gap(bins)), _rounded(squared_gap(bins))) if many >= ENOUGH else (None, None)
    return Calibration(
        predictions=many,
        brier=_rounded(brier(chance, right)),
        log_loss=_rounded(log_loss(chance, right)),
        error=error,
        noise_floor=floor,
        debiased=debiased,
        bins=tuple(map(_plain, bins)),
        note=_note(many, error, floor),
    )


def as_data(found: Calibration) -> dict[str, Any]:
    """Names and plain values, as the export carries them."""
    return {**vars(found), "bins": [one._asdict() for one in found.bins]}


def brier(chance: Floats, right: Flags) -> float:
    """Mean square of chance less outcome."""
    return float(np.mean((chance - right) ** 2))


def log_loss(chance: Floats, right: Flags) -> float:
    """Mean of the surprise at each outcome, in nats; chances 0 and 1 must not have been told wrongly."""
    return float(-np.mean(np.log(np.where(right, chance, 1 - chance))))


def reliability(chance: Floats, right: Flags, many: int) -> tuple[Bin, ...]:
    """Bins of equal count; equal predictions are never parted, so bins may be fewer and differ.

    A bin takes what is at its low edge and leaves what is at its high one to the next.
    """
    edges = np.unique(np.quantile(chance, np.linspace(0, 1, many + 1)))
    of = np.searchsorted(edges[1:-1], chance, side="right")
    bins = max(len(edges) - 1, 1)
    count, told, came = np.bincount(of, None, bins), np.bincount(of, chance, bins), np.bincount(of, right, bins)
    highs = edges[1:] if len(edges) > 1 else edges
    rows = zip(edges, highs, told, came, count, strict=False)
    return tuple(Bin(float(low), float(high), float(p / n), float(y / n), int(n)) for low, high, p, y, n in rows if n)


def gap(bins: Sequence[Bin]) -> float:
    """Mean distance of predicted and observed, weighed by count."""
    return sum(one.answers * abs(one.predicted - one.observed) for one in bins) / sum(one.answers for one in bins)


def squared_gap(bins: Sequence[Bin]) -> float:
    """Mean square of it without what chance adds: around nothing for a perfect forecaster, so negative at times."""
    parts = [
        one.answers
        * ((one.predicted - one.observed) ** 2 - one.observed * (1 - one.observed) / max(one.answers - 1, 1))
        for one in bins
    ]
    return sum(parts) / sum(one.answers for one in bins)


def noise_floor(chance: Floats, bins: Sequence[Bin]) -> float:
    """The gap expected where every chance told is true: outcomes of a bin are spread as by their own chances.

    The mean distance of a normal variable from its mean is the square root of 2/pi times its spread.
    """
    of = np.searchsorted([one.low for one in bins[1:]], chance, side="right")
    spread = np.sqrt(np.bincount(of, chance * (1 - chance), len(bins)))
    return float(math.sqrt(2 / math.pi) * spread.sum() / len(chance))


def _note(many: int, error: float | None, floor: float | None) -> str:
    if error is None or floor is None:
        return (
            f"{many} prediction{'s' * (many != 1)}: too few to say how far predicted and observed lie apart, which "
            f"takes {ENOUGH}; the bins differ by chance."
        )
    return (
        f"{many} predictions: predicted and observed lie {percent(error, 1)} apart in the mean; those of a perfect "
        f"forecaster would lie about {percent(floor, 1)} apart by chance."
    )


def _plain(one: Bin) -> Bin:
    return Bin(_rounded(one.low), _rounded(one.high), _rounded(one.predicted), _rounded(one.observed), one.answers)


def _rounded(value: float) -> float:
    return round(value, _DIGITS)
