"""Aircraft sheet: the values of one aeroplane, and those that follow from them and must never be typed by hand."""

import math
import re
from collections.abc import Iterator, Mapping
from pathlib import PurePosixPath

from stickback.course import front
from stickback.course.course import Sheet
from stickback.formulas import given
from stickback.radio import callsign
from stickback.reading.document import Document
from stickback.reading.problem import At, Problem
from stickback.trade import units, yaw

_SPEEDS = tuple(
    f"{name}_speed" for name in ("stall", "approach", "climb", "glide", "cruise", "manoeuvring", "never_exceed")
)
SPEEDS = (*_SPEEDS, "demonstrated_crosswind")  # in the sheet's `speed_unit`
NUMBERS = (
    *SPEEDS,
    "runup_rpm",
    "magneto_drop",
    "magneto_difference",
    "fuel_endurance_hours",
)
_NO_UNITS = frozenset({"in", "g", "m", "s"})  # the ends of a name that may be other words
WORDS: dict[str, tuple[str, ...]] = {
    "propeller": (*yaw.PROPELLERS, "counterclockwise"),
    "brakes": ("heel", "toe", "hand", "none"),
    "tailwheel": ("steerable", "castoring", "locking", "skid"),
    "speed_unit": ("mph", "kt"),
    "wheel_landings": ("allowed", "advised against"),
}
REQUIRED = {
    "name": "Brackle",
    "callsign": "G-QTWA",
    "propeller": "clockwise",
    "brakes": "heel",
    "tailwheel": "steerable",
    "speed_unit": "kt",
}


def read(document: Document) -> tuple[Sheet | None, list[Problem]]:
    """The sheet, if its required values are there and right, and the problems of the file."""
    typed = {key: front.text(document, key) for key in document.front.data if key not in front.META}
    problems = [*(_misspelt(document, typed) or front.missing_keys(document, REQUIRED)), *_wrong(document, typed)]
    problems += [*_named(document), *([] if problems else _speeds(document, typed))]
    if problems or document.front_broken:
        return None, problems
    if typed["propeller"] == "counterclockwise":
        typed["propeller"] = "anticlockwise"
    derived = {**yaw.yaw_sides(typed["propeller"]), **callsign.signs(typed["callsign"], name=typed["name"])}
    return Sheet(
        id=PurePosixPath(document.file).stem,
        file=document.file,
        name=typed["name"],
        values={**typed, **derived},
        derived=frozenset(derived),
        blocks=document.blocks,
    ), []


def measured(values: Mapping[str, str]) -> dict[str, str]:
    """The units of those values that have one: the speeds the sheet's own, others as the end of their name says."""
    found = {name: units.name(_unit(name, values)) for name in values}
    return {name: unit for name, unit in found.items() if unit}


def _unit(name: str, values: Mapping[str, str]) -> str:
    if name in SPEEDS or name.endswith("_speed"):
        return values["speed_unit"]
    if name.startswith("magneto_"):
        return "rpm"
    last = name.rpartition("_")[2]
    return last if last not in _NO_UNITS and "_" in name else ""


def _named(document: Document) -> list[Problem]:
    """The file's name is the sheet's id, by which the log and a student's settings name it."""
    if len(PurePosixPath(document.file).stem) <= front.LONGEST_ID:
        return []
    message, hint = "The name of this file is too long for an aircraft sheet.", "name it after the aeroplane"
    return [Problem(At(document.file, 1, 1), "id-form", message, hint)]


def _misspelt(document: Document, typed: dict[str, str]) -> list[Problem]:
    """Keys that are nearly one that is missing; any other key is a value of the author's own."""
    near = front.nearest(key for key in REQUIRED if key not in typed)
    wrong = {key: near(key) for key in typed if key not in {*REQUIRED, *WORDS, *NUMBERS}}
    return [
        Problem(
            At(document.file, *document.front.key(key)),
            "front-key",
            f"The key '{key}' is not known here.",
            front.did_you_mean(meant, ""),
        )
        for key, meant in wrong.items()
        if meant
    ]


def _speeds(document: Document, typed: dict[str, str]) -> Iterator[Problem]:
    """Speeds that are the wrong way round: nothing is flown below the stall, or above what is never exceeded."""
    values = {name: front.number(typed[name]) for name in _SPEEDS if name in typed}
    for name in values:
        for low, high in (("stall_speed", name), (name, "never_exceed_speed")):
            if low != high and low in values and high in values and values[low] >= values[high]:
                message, place = f"'{low}' is not below '{high}'.", document.front.value(low)
                yield Problem(At(document.file, *place), "front-value", message, "look them up in the flight manual")


def _wrong(document: Document, typed: dict[str, str]) -> list[Problem]:
    derived = yaw.yaw_sides(yaw.PROPELLERS[0])
    problems = []
    for key, value in typed.items():
        if key in derived:
            message = f"'{key}' follows from the propeller's direction and is never typed."
            place = document.front.key(key)
            problems.append(Problem(At(document.file, *place), "front-key", message, "delete this line"))
        elif key in WORDS and value not in WORDS[key]:
            problems.append(front.wrong_value(document, (key,), f"one of: {', '.join(WORDS[key])}"))
        elif key in NUMBERS and not 0 < front.number(value) < math.inf:
            problems.append(front.wrong_value(document, (key,), "a positive number, such as 65"))
        elif not given.NAME.fullmatch(key):
            made = re.sub(r"\W+", "_", key.strip().casefold())
            message, place = f"'{key}' is no name that a question can use.", document.front.key(key)
            problems.append(Problem(At(document.file, *place), "front-key", message, f"write {made}"))
        elif not value.isprintable() or not value:
            problems.append(front.wrong_value(document, (key,), "one line of text"))
    return problems
