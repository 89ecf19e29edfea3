"""The three phraseologies as data: what must be read back, and what each station may not say.

A rule finds what it speaks of in a transmission's tokens, joined by spaces; its group is what cannot be left out.
Sources: ICAO Doc 4444 4.5.7.5.1 and Doc 9432 (4th edition) 2.8.3; CAP 413 edition 22 (2016; later ones exist); AIM
4-3-18 and 4-4-7; SERA.8015(e) of Regulation (EU) 923/2012.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stickback.radio import tokens
from stickback.radio.grammar import SUFFIXES

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
_CONDITION = ("the condition", r"\b(behind|after(?! depart| land))\b")
_APPROACH = ("an approach clearance", r"\b(cleared (?:\w+ ){0,2}approach)\b")
_BACKTRACK = ("backtracking", r"\b(backtrack)\b")


def _rules(source: str, *pairs: tuple[str, str]) -> tuple[Rule, ...]:
    return tuple(Rule(what, re.compile(pattern), source) for what, pattern in pairs)


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
_CIRCUIT = (
    "joining and leaving",
    r"^((?:join |vacate )?(?:left|right)(?: hand)?|(?:join )?(?:downwind|base|overhead))$",
)
_HANDED = ("the station handed to", rf"\b(\w+ (?:{'|'.join(sorted(SUFFIXES))}))\b")
ALLOWED: dict[str, tuple[Rule, ...]] = {
    "icao": _rules("ICAO Doc 9432 4.6 and 2.8.2, by sense", _CIRCUIT, _HANDED),
    "uk": _rules("CAP 413 edition 22, 4.43 and 2.69, by sense", _CIRCUIT, _HANDED),
    "faa": _rules("AIM 4-4-7, by custom", _SETTING, _SQUAWK, _FREQUENCY, _ROUTE, _HOLD, _BACKTRACK, _CONDITION, _LIMIT),
}


# What a pilot does only when it was permitted (Doc 4444 4.5.7.5.1(b), CAP 413 2.69), and what only means to do.
ON_A_RUNWAY = frozenset({"takeoff", "line up", "cross", "enter", "backtrack"})
PERMITTED = ON_A_RUNWAY | frozenset(
    {"land", "touch go", "full stop", "stop go", "option", "low approach", "taxi", "move", "depart", "start"}
)
INTENTIONS = frozenset({"touch go", "full stop", "stop go", "low approach", "option"})
# Acts, and what brings them with it: who lines up enters, who is given a holding point taxies, who
# holds has stopped.
BROUGHT = {
    "enter": {"line up", "cross", "backtrack"},
    "depart": {"takeoff"},
    "stop": {"hold position"},
    "taxi": {"holding point", "route", "hold short", "cross", "backtrack"},
    "move": {
        "taxi",
        "holding point",
        "route",
        "hold short",
        "cross",
        "backtrack",
        "line up",
        "enter",
        "takeoff",
        "vacate",
    },
    "land": {"full stop", "option"},
    "touch go": {"option"},
}
# Where nobody clears anybody the pilot decides, and what he says of his own doing claims nothing (CAP 413 table 8 notes
# and 4.76 to 4.80; AIM 4-1-9). It must fit where the aeroplane is, on the ground or in the air.
ON_THE_GROUND = frozenset({"start", "taxi", "move", "backtrack", "line up", "takeoff", "depart"})
IN_THE_AIR = INTENTIONS | {"land", "go around"}
DECIDED = ON_THE_GROUND | IN_THE_AIR | {"enter"}
ADDED_DECIDING = frozenset({"holding point", "route", "position", "side"})  # which he may say with it
# Words that say an item of a call as well as its own: `inbound, full stop` (AIM 4-1-9); `taking off`, where nobody
# clears, for `departing` (CAP 413 4.80, AIM 4-1-9); a power failure for the engine's (common practice);
# who comes home asks to join again.
# READY also for an immediate departure (CAP 413 4.31, by sense).
SAID_BY: dict[tuple[str, ...], tuple[tuple[str, ...], ...]] = {
    ("land",): (("full stop",),),
    ("depart",): (("taking off",),),
    ("engine",): (("power",),),
    ("join",): (("rejoin",),),
    ("ready", "depart"): (("ready", "immediate", "depart"),),
}
# What each thing is measured in; another unit is wrong, and what is not here has none.
UNITS = {
    "heading": {"degrees"},
    "level": {"feet"},
    "qnh": {"hectopascals"},
    "qfe": {"hectopascals"},
    "altimeter": {"inches"},
    "frequency": {"megahertz"},
    "speed": {"knots"},
    "figure": {"degrees", "knots", "feet", "hectopascals", "inches", "miles", "minutes"},
    "distance": {"miles"},
    "qdm": {"degrees"},
    "qdr": {"degrees"},
    "qte": {"degrees"},
    "wind": {"degrees", "knots"},
}
# What who begins may add to a call without its being in the right one: where he is, how high, on which heading, what he
# wants to do (CAP 413 3.28 and 3.31, AIM 4-2-3 and 4-1-9). What only a station gives he does not.
ADDED = frozenset(
    {
        *("position", "level", "distance", "compass", "side", "turn", "letter", "qnh", "altimeter", "heading"),
        *("runway", "holding point", "station", "plan", "immediate", "entry"),
    }
)
ADDED_ACTS = INTENTIONS | frozenset({"land", "depart", "hold short", "climb"})
ADDED_ALONE = frozenset({"route", "sequence", "taxi", "move", "extend", "orbit"})  # where nobody is there to give it
# Beside a MAYDAY or PAN PAN all that helps those who listen (CAP 413 chapter 8, Annex 10 5.3): no more is wrong in it
# than a clearance that nobody gave and the call itself taken back; `no power`, `unable to climb` say what is wrong.
ADDED_URGENT = frozenset({"figure", "speed", "squawk", "descend", "stop", "maintain", "frequency"})
MATTER = frozenset({"no", "not", "unable", "expect", "request"})
UNDER_WAY = ON_A_RUNWAY | {"taxi", "move"}  # said as done, where a tower was to be asked, these claim a permission
STAYS = frozenset({"hold position", "stop", "go around"})  # beside these nothing else is done
ACKNOWLEDGED = frozenset({"roger", "wilco", "copied", "copy", "copying", "ok", "okay", "understood", "received"})
# Words of refusal and doubt that spoil an answer even where they govern nothing.
SPOIL = frozenset(
    {
        *("negative", "cancel", "disregard", "confirm", "verify", "say again", "was that", "which", "what", "maybe"),
        *("standby", "unable", "not required"),
    }
)
SEEN = frozenset({"not in sight", "in sight", "traffic", "visual", "contact", "see"})  # said of what is in the way
ASKING = frozenset({"request", "check", "confirm", "say again", "how"})
ASKED_AS_WELL = frozenset(
    {"?", "request", "what", "which"}
)  # other words for what a call asks (CAP 413 table 8 REQUEST)
ASKS_WHOM = frozenset({"confirm", "verify", "was that"})  # whether it was for him: no failure (CAP 413 2.52, AIM 4-2-4)
TAKEOFF = frozenset({"takeoff", "taking off"})
# Wind and courtesies need no answer (CAP 413 4.28 to 4.52); who speaks, how many are aboard, what others do, and the
# level being left harm nobody.
HARMLESS = frozenset({"own", "wind", "left", "traffic", "when", "ready", "aboard", "endurance"})
# How who begins says the level that he is at, going up or down (AIM 4-1-9(h): `descending through`; CAP 413 chapter 8).
PASSING = frozenset({"pass", "through"})
# What a phraseology says figure by figure, without `hundred` and `thousand` (CAP 413 edition 22, 2.13, table 4, 3.9).
BY_FIGURE = {"uk": frozenset({"squawk", "qnh", "qfe", "heading"})}
# What takes back what it governs, and how (Doc 9432 2.6, CAP 413 table 8).
TAKES_BACK = {
    **dict.fromkeys(("negative", "not", "no", "cancel", "disregard"), "denied"),
    **dict.fromkeys(("not required", "not in sight"), "denied"),
    **dict.fromkeys(("confirm", "verify", "say again", "was that", "which", "what", "maybe", "?"), "asked"),
    "standby": "put off",
    "unable": "refused",
    **dict.fromkeys(("request", "expect"), "wished"),
}


@dataclass(frozen=True)
class Station:
    """Who answers, and what it may not say.

    Args:
        clears: whether it gives clearances; where it does not, the pilot decides.
        never: words that are not its own.
        directs: what it tells a pilot to do though it clears nobody.
    """

    clears: bool
    never: frozenset[str]
    source: str
    directs: frozenset[str] = frozenset()

    @property
    def decided(self) -> frozenset[str]:
        """What the pilot does on his own decision."""
        return frozenset() if self.clears else DECIDED - self.directs


_NOT_INFORMATION = frozenset({"cleared", "climb", "descend", "maintain"})
_NOT_RADIO = _NOT_INFORMATION | {"approved", "report", "hold short"}
STATIONS: dict[str, Station] = {
    "tower": Station(True, frozenset(), "CAP 413 edition 22, table 9"),
    "information": Station(
        False, _NOT_INFORMATION, "CAP 413 edition 22, table 8 notes and 4.76 to 4.80", frozenset({"taxi", "move"})
    ),
    "radio": Station(False, _NOT_RADIO, "CAP 413 edition 22, table 8 notes"),
    "safetycom": Station(False, frozenset({"cleared"}), "UK AIP GEN 3.4 and CAP 413: where no frequency is notified"),
    "ctaf": Station(False, frozenset({"cleared"}), "AIM 4-1-9: the common frequency of a field without a tower"),
    "unicom": Station(False, frozenset({"cleared"}), "AIM 4-1-9: information from somebody at the field"),
    "unattended": Station(False, frozenset({"cleared"}), "nobody is there to clear anybody"),
}


def never(station: str, phraseology: str) -> frozenset[str]:
    """Words that a station does not use. The UK's rule; elsewhere only that it clears nobody."""
    found = STATIONS[station]
    return found.never if phraseology == "uk" else found.never & {"cleared"}


def plain(text: str) -> str:
    """A transmission in its one form: `Runway 24L, QNH 998hPa` is `runway 24 left qnh 998 hectopascals`."""
    return " ".join(token.text for token in tokens.tokens(text))


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
