"""What can be said on the radio, kind by kind: a runway, a level, a clearance; rows over tokens joined by spaces.

Of the rows the first that fits counts where a thing begins. A value, what else tells it from another of its kind, and
the unit said with it are named groups. Sources: as in `rules`.
"""

import re
from collections.abc import Callable, Iterable
from typing import NamedTuple

from stickback.radio import alphabet, tokens

_FIGURED = ("altimeter", "qnh", "qfe", "heading", "speed", "qdm", "qdr", "qte")
_ACTS = (
    "takeoff|land|touch_go|option|low_approach|cross|enter|taxi|move|line_up|backtrack|depart|start|full_stop|stop_go"
)
_TOLD = "taking_off|hold_short|hold_position|stop|go_around|vacate|orbit|extend|continue_approach|contact|monitor|roll"
_TARGET = f"{_ACTS}|approach|transit|vfr"
_UNITS = "|".join(sorted(set(alphabet.UNITS.values())))
_UNIT = f"(?: (?P<unit>{_UNITS}))?"
_KNOTS, _NO_WIND = "(?: knots)?", " (?P<unit>mph|metres|kilometres|miles)"
_LENGTH = r"\d+ (?:miles|kilometres|feet|metres)"  # no part of what is before it: `request wind and runway, 10 miles`
_LEG = "(?! (?:hand|base|downwind|crosswind|traffic|closed|circuit|pattern))"
_NO_NOUN = f"{_TARGET}|{_TOLD}|{'|'.join(_FIGURED)}|runway|behind|wind|via|roger|wilco|squawk|climb|descend|number"
_OTHERS = "(?:traffic|aircraft|vehicle|tractor)"
_ROLES = "hold_short|cross|traffic land|traffic depart"
_LEAVING = "leave|pass|through|vacate|from|out"
_LEGS = "(?:(?:late|long|short|early) )?(?:downwind|base|final|upwind|overhead|deadside)"
ROWS: tuple[tuple[str, str], ...] = (
    ("own", tokens.OWN),
    ("wind", r"wind (?:calm|variable|check)"),
    ("wind", rf"wind (?!{_LENGTH})\d+(?: degrees)?(?: \d+)?(?:{_NO_WIND}|{_KNOTS}(?: gust \d+{_KNOTS})?)"),
    ("wind", rf"\d+ degrees \d+(?:{_NO_WIND}|{_KNOTS})"),
    ("left", rf"(?:{_LEAVING}) (?:(?:altitude |height )?\d{{3,}}(?: feet)?|flight_level \d+)"),
    ("aboard", r"\d+ (?:pob|persons?|people|souls?|passengers?|board)(?: board)?"),
    ("aboard", r"(?:pob|persons?|people|souls?)(?: board)? \d+"),
    ("traffic", r"looking number \d+|1(?: aircraft)?(?: (?:vacate|(?:(?:short|long) )?final)|(?= \d+ miles))"),
    ("sequence", r"number (?P<value>\d+)(?: (?:behind|follow|after)(?: number \d+)?)?"),
    ("frequency", rf"(?P<value>\d{{3}}\.\d+){_UNIT}"),
    *((word, rf"{word} (?P<value>\d+){_UNIT}") for word in _FIGURED),
    ("squawk", rf"squawk (?P<value>\d+|ident|standby|vfr){_UNIT}"),
    ("squawk", r"(?P<value>ident)"),
    ("entry", r"(?P<value>straight_in)"),
    ("when", rf"need (?:more |some )?time(?: (?:{_ACTS}))?"),
    (
        "runway",
        rf"(?:(?P<role>{_ROLES}) )?runway (?!{_LENGTH})(?P<value>\d{{1,2}}(?: (?:left|right|centre){_LEG})?){_UNIT}",
    ),
    ("holding point", rf"(?:holding_point|hold_position) (?P<value>[a-z](?: \d{{1,2}})?|\d+){_UNIT}"),
    ("route", r"via (?P<value>[a-z](?: \d{1,2})?)"),
    ("level", rf"(?P<role>(?:altitude|height)(?= \d{{3}})|flight_level) (?P<value>\d+){_UNIT}"),
    ("level", rf"(?:(?<=climb )|(?<=descend )|(?<=maintain ))(?P<value>\d+){_UNIT}"),
    ("level", r"(?P<value>\d+) (?P<unit>feet|metres)"),
    ("distance", r"(?P<value>\d+(?:\.\d+)?) (?P<unit>miles|kilometres)"),
    ("service", r"(?P<value>basic|traffic|deconfliction|procedural|radar|alerting|flight information) service"),
    ("letter", r"information (?P<value>[a-z])"),
    (
        "traffic",
        rf"{_OTHERS} (?:land|landed|depart|vacate|cross)|(?:land|depart) (?:traffic|aircraft|ahead)",
    ),
    ("traffic", r"(?:land|depart) [a-z]+ in_sight"),
    ("condition", rf"behind(?: (?:land|depart))?(?: (?!(?:{_NO_NOUN})\b)(?P<value>[a-z]{{3,}}))?"),
    ("when", r"(?:after|once|when|before) (?:depart|land|vacate)"),
    ("condition", rf"after (?!(?:{_NO_NOUN})\b)(?P<value>[a-z]{{3,}})"),
    ("ready", r"ready(?: (?P<value>takeoff|depart|taxi|line_up))?"),
    ("clearance", rf"cleared(?: [a-z]{{3,}}){{0,2}}? (?P<value>{_TARGET})"),
    (
        "clearance",
        rf"(?:(?P<role>{_TARGET}) )?(?:cleared|clearance|approved|permitted|authorised)(?: (?P<value>{_TARGET}))?",
    ),
    ("act", rf"(?P<value>{_TOLD}|{_ACTS})"),
    ("immediate", r"immediate"),
    ("vertical", r"(?P<value>climb|descend|maintain)"),
    ("turn", r"(?P<value>left|right)_turn"),
    ("side", r"(?P<value>left|right)"),
    ("plan", rf"(?:next )?(?:call|report)(?: next)?(?: be)? (?P<value>{_LEGS})"),
    ("plan", rf"next (?P<value>{_LEGS})"),
    ("position", rf"(?P<value>{_LEGS})"),
    ("compass", r"(?P<value>north|south|east|west)"),
    ("emergency", r"(?P<value>mayday|pan)"),
    ("wind", r"\d+ (?P<unit>knots)"),
    ("endurance", r"(?:endurance|fuel)(?: remain)? \d+(?: hours?| minutes)?(?: \d+ minutes)?"),
    ("endurance", r"\d+ (?:hours?|minutes)(?: \d+ minutes)? (?:endurance|fuel)"),
    ("figure", rf"(?P<value>\d+(?:\.\d+)?){_UNIT}"),
    ("spelt", r"(?P<value>[a-z])"),
)
# Last words of a station's name.
SUFFIXES = frozenset(
    {
        *("tower", "ground", "information", "radio", "approach", "radar"),
        *("traffic", "delivery", "control", "director", "unicom", "clearance"),
    }
)


class Found(NamedTuple):
    """A row that fits: the kind of thing, what its groups hold, and where it ends."""

    kind: str
    role: str
    value: str
    unit: str
    end: int


def compiled(rows: Iterable[tuple[str, str]]) -> Callable[[str, int], Found | None]:
    """What finds the row that fits at a place of a text, the first of several."""
    numbered = list(enumerate(rows))
    named = ((number, re.sub(r"\(\?P<(\w+)>", rf"(?P<\1_{number}>", pattern)) for number, (_, pattern) in numbered)
    # Its name stands behind a row, so that the row begins with what is looked for.
    pattern = re.compile("|".join(rf"(?:{pattern})(?!\S)(?P<row_{number}>)" for number, pattern in named))
    groups = {
        f"row_{number}": (kind, [pattern.groupindex.get(f"{name}_{number}", 0) for name in ("role", "value", "unit")])
        for number, (kind, _) in numbered
    }

    def found(text: str, at: int) -> Found | None:
        match = pattern.match(text, at)
        if match is None or match.lastgroup is None:
            return None
        kind, own = groups[match.lastgroup]
        role, value, unit = ((match[group] or "").replace("_", " ") if group else "" for group in own)
        return Found(kind, role, value, unit, match.end())

    return found


GRAMMAR = compiled(ROWS)
