"""The three phraseologies as data: what must be read back, and what each station may not say.

A rule finds what it speaks of in a transmission's tokens, joined by spaces; its group is what cannot be left out.
Sources: ICAO Doc 4444 4.5.7.5.1 and Doc 9432 (4th edition) 2.8.3; CAP 413 edition 22 (2016; later ones exist); AIM
4-3-18 and 4-4-7; SERA.8015(e) of Regulation (EU) 923/2012.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stickback.radio import spoken

_ICAO = "ICAO Doc 4444 4.5.7.5.1, Doc 9432 2.8.3.5"
_UK = "CAP 413 edition 22, 2.69"
_TAXI = "AIM 4-3-18(a)(9)"
_AIR = "AIM 4-4-7(b)"


@dataclass(frozen=True)
class Rule:
    """Something that must be read back.

    Args:
        what: in words for an author.
        pattern: over tokens joined by single spaces; its group is what must be said.
    """

    what: str
    pattern: re.Pattern[str]
    source: str


_LANDING = ("a clearance to take off or land", r"(cleared (?:\w+ )?(?:takeoff|land|touch go|option|low approach))\b")
_LINE_UP = ("entering the runway", r"\b(line up(?: wait)?|enter(?= runway))\b")
_CROSS = ("crossing a runway", r"(cross)(?= runway)")
_SHORT = ("holding short", r"(hold short)\b")
_RUNWAY = ("the runway", r"\brunway (\d+)")
_HOLD = ("holding, stopping or going around", r"\b(hold position|stop|go around)\b")
_ROUTE = ("the route", r"\b(?:via|route) (?:route )?([a-z](?: \d+)?)\b")
_LEVEL = ("the level", r"\b(?:altitude|height|flight level|maintain|climb|descend) (\d+)")
_HEADING = ("the heading", r"\bheading (\d+)")
_TURN = ("a turn", r"\b((?:left|right) turn)\b")
_SETTING = ("the altimeter setting", r"\b(?:qnh|qfe|altimeter) (\d+)")
_SQUAWK = ("the squawk", r"\bsquawk (\d+)")
_SPEED = ("the speed", r"\bspeed (\d+)")
_TRANSITION = ("the transition level", r"\btransition level (?:flight level )?(\d+)")
_FREQUENCY = ("the frequency", r"\b(\d{3}\.\d+)")
_LIMIT = ("the taxi limit", r"\b(holding point (?:[a-z]|\d+)(?: \d+)?)\b")
_SERVICE = ("the type of service", r"\b((?:basic|traffic|deconfliction|procedural) service)\b")
_BEARING = ("a bearing", r"\b(?:qdm|qdr|qte) (\d+)")
_CONDITION = ("the condition", r"\b(behind)\b")
_APPROACH = ("an approach clearance", r"\b(cleared (?:\w+ ){0,2}approach)\b")
_BACKTRACK = ("backtracking", r"\b(backtrack)\b")


def _rules(source: str, *given: tuple[str, str]) -> tuple[Rule, ...]:
    return tuple(Rule(what, re.compile(pattern), source) for what, pattern in given)


_AERODROME = (_LANDING, _LINE_UP, _CROSS, _SHORT, _RUNWAY, _BACKTRACK)
READ_BACK: dict[str, tuple[Rule, ...]] = {
    "icao": (
        *_rules(_ICAO, *_AERODROME, _ROUTE, _LEVEL, _HEADING, _TURN, _SETTING, _SQUAWK, _SPEED, _TRANSITION),
        *_rules("ICAO Doc 4444 4.5.7.5.1 (taxi)", _LIMIT),
        *_rules("SERA.8015(e)(1)(iii)", _FREQUENCY),
        *_rules("ICAO Doc 4444 4.5.7.5.1.1, Doc 9432 4.5.7", _CONDITION),
        *_rules("ICAO Doc 9432 4.5 and 4.8", _HOLD),
    ),
    "uk": (
        *_rules(_UK, *_AERODROME, _ROUTE, _LEVEL, _HEADING, _TURN, _SETTING, _SQUAWK, _SPEED, _TRANSITION),
        *_rules(_UK, _LIMIT, _FREQUENCY, _SERVICE, _BEARING, _APPROACH),
        *_rules("CAP 413 edition 22, 4.34", _CONDITION),
        *_rules("CAP 413 edition 22, 4.39, 4.41 and 4.65", _HOLD),
    ),
    "faa": (
        *_rules(_TAXI, _LINE_UP, _CROSS, _SHORT),
        *_rules(_AIR, _LANDING, _RUNWAY, _LEVEL, _HEADING, _TURN),
    ),
}
# May be in bold without a word of ours: read back by custom, or by the sense of the instruction.
ALLOWED: dict[str, tuple[Rule, ...]] = {
    "icao": (),
    "uk": (),
    "faa": _rules("AIM 4-4-7, by custom", _SETTING, _SQUAWK, _FREQUENCY, _ROUTE, _HOLD, _BACKTRACK, _CONDITION, _LIMIT),
}


@dataclass(frozen=True)
class Station:
    """Who answers, and what it may not say.

    Args:
        clears: whether it gives clearances; where it does not, the pilot decides.
        never: words that are not its own.
    """

    clears: bool
    never: frozenset[str]
    source: str


_NOT_INFORMATION = frozenset({"cleared", "climb", "descend", "maintain"})
_NOT_RADIO = _NOT_INFORMATION | {"approved", "report", "hold short"}
STATIONS: dict[str, Station] = {
    "tower": Station(True, frozenset(), "CAP 413 edition 22, table 9"),
    "information": Station(False, _NOT_INFORMATION, "CAP 413 edition 22, table 8 notes and 4.76 to 4.80"),
    "radio": Station(False, _NOT_RADIO, "CAP 413 edition 22, table 8 notes"),
    "unattended": Station(False, frozenset({"cleared"}), "nobody is there to clear anybody"),
}


def never(station: str, phraseology: str) -> frozenset[str]:
    """Words that a station does not use. The UK's rule; elsewhere only that it clears nobody."""
    found = STATIONS[station]
    return found.never if phraseology == "uk" else found.never & {"cleared"}


def plain(text: str) -> str:
    """A transmission in its one form: `Runway 24L, QNH 998hPa` is `runway 24 left qnh 998 hectopascals`."""
    return " ".join(token.text for token in spoken.tokens(text))


def unmarked(transmission: str, wanted: Sequence[str], phraseology: str) -> Iterator[tuple[str, Rule]]:
    """What must be read back and is not among the wanted: (what it says, the rule)."""
    said, marked = plain(transmission), [f" {plain(text)} " for text in wanted]
    for rule in READ_BACK[phraseology]:
        for match in rule.pattern.finditer(said):
            if not any(f" {match[1]} " in text or f" {match[0]} " in text for text in marked):
                yield match[0], rule


def unasked(wanted: Sequence[str], phraseology: str) -> Iterator[str]:
    """What is wanted though no rule of the phraseology asks for it."""
    rules = (*READ_BACK[phraseology], *ALLOWED[phraseology])
    for text in wanted:
        if not any(rule.pattern.search(plain(text)) for rule in rules):
            yield text
