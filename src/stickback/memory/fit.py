"""Run as a program of its own: reads a student's answers as JSON, fits the memory parameters, writes what came of it.

The library may end the process it runs in and holds the interpreter's lock, so it is only ever imported here. What it
does with data it cannot fit (an error, an end with a backtrace) ends this process, which its caller expects.
"""

import gc
import json
import math
import sys
from collections.abc import Sequence
from functools import cache
from typing import Any

import fsrs_rs_python as library

from stickback.memory.tune import WRONG, Item, items, tested

DIGITS = 6  # as many as 32 bits hold; the library's 0.8 is 0.80000001, which is beyond its own bound


def fit(found: Sequence[Item], defaults: Sequence[float]) -> dict[str, Any]:
    """The fields of `tune.Fit`; the parameters are left empty where the defaults predict as well."""
    known = [_known(item.answers) for item in found]
    fitted = library.evaluate_with_time_series_splits(known).log_loss
    plain = loss(tested(found), defaults)
    parameters = library.FSRS(list(defaults)).compute_parameters(known) if fitted < plain else []
    return {
        "parameters": [round(value, DIGITS) for value in parameters],
        "defaults": plain,
        "fitted": fitted,
        "tested": len(tested(found)),
    }


def _known(answers: Sequence[tuple[int, int]]) -> library.FSRSItem:
    return library.FSRSItem([_review(*each) for each in answers])


@cache
def _review(grade: int, gap: int) -> library.FSRSReview:
    return library.FSRSReview(grade, gap)


def loss(asked: Sequence[Item], w: Sequence[float]) -> float:
    """Mean log loss of a set of parameters over items, each weighing the same."""
    longest = {item.history: item.answers for item in asked}
    followed = library.FSRS(list(w)).historical_memory_state_batch([_known(each) for each in longest.values()])
    states = dict(zip(longest, followed, strict=True))
    factor = 0.9 ** (-1 / w[20]) - 1
    total = 0.0
    for history, answers in asked:
        grade, gap = answers[-1]
        chance = (1 + factor * gap / states[history][len(answers) - 2].stability) ** -w[20]
        total -= math.log(1 - chance if grade == WRONG else chance)
    return total / len(asked)


def main() -> None:
    """From standard input to standard output."""
    gc.disable()  # nothing here is garbage before the end
    row = json.load(sys.stdin)
    json.dump(fit(list(items(map(tuple, row["answers"]))), row["defaults"]), sys.stdout)


if __name__ == "__main__":
    main()
