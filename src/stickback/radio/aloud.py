"""How a value is said on the radio, and a whole transmission as spoken: for model answers and for the time it takes.

Each rule has its source. ICAO is Doc 9432 (4th edition), UK is CAP 413 edition 22, FAA is the Aeronautical Information
Manual chapter 4. The FAA's altimeter without its point and wind with `at` are common knowledge, not read in the source.
"""

import re

from stickback.radio.alphabet import COUNTED, SPELT

WORDS_A_MINUTE = 100  # not faster: Doc 9432 2.2.1, CAP 413 2.8

READABILITY = {  # CAP 413 table 12
    "1": "unreadable",
    "2": "readable now and then",
    "3": "readable but with difficulty",
    "4": "readable",
    "5": "perfectly readable",
}
_FIGURES = re.compile(r"[0-9]+")


def digits(number: str) -> str:
    """Every figure by itself, the base rule: Doc 9432 2.4.2, CAP 413 2.13."""
    return " ".join(COUNTED[figure] for figure in number if figure in COUNTED)


def letters(text: str) -> str:
    """Every letter and figure by its word: `A1` is `alfa one`. Doc 9432 2.3, CAP 413 table 2."""
    said = (SPELT.get(char) or COUNTED.get(char, "") for char in text.lower())
    return " ".join(word for word in said if word)


def hundreds(number: str) -> str:
    """Whole hundreds and thousands with their words, thousands figure by figure: `one two thousand five hundred`."""
    value = int(number) if len(number) < 7 else 1
    if value == 0 or value % 100:
        return digits(number)
    thousands, rest = value // 1000, value % 1000 // 100
    said = [f"{digits(str(thousands))} thousand"] if thousands else []
    return " ".join([*said, *([f"{digits(str(rest))} hundred"] if rest else [])])


def frequency(number: str, phraseology: str) -> str:
    """Six figures, or four when the last two are noughts. Doc 9432 2.4.4, CAP 413 2.15; `point` AIM 4-2-8."""
    whole, _, rest = number.partition(".")
    rest = rest.ljust(3, "0")
    said = rest[0] if rest.endswith("00") else rest
    if phraseology == "faa":
        said = rest.rstrip("0") or "0"
    return f"{digits(whole)} {'point' if phraseology == 'faa' else 'decimal'} {digits(said)}"


def _level(number: str, phraseology: str) -> str:
    """Whole hundreds: Doc 9432 2.4.3, CAP 413 table 4. The FAA says each figure: AIM 4-2-9."""
    return hundreds(number) if phraseology != "faa" and number.endswith("00") else digits(number)


def _thousands(number: str, phraseology: str) -> str:
    """Squawks and pressures in whole thousands: ICAO only (Doc 9432 2.4.3); the UK says each figure (CAP 413 2.13)."""
    return hundreds(number) if phraseology == "icao" and number.endswith("000") else digits(number)


def _runway(value: str, phraseology: str) -> str:
    """Two figures and the side; the FAA leaves the first nought out (AIM 4-4-7)."""
    number, side = value[:2].rstrip("LRC"), value.lstrip("0123456789")
    number = number.lstrip("0") if phraseology == "faa" else number
    return " ".join(word for word in (digits(number), {"L": "left", "R": "right", "C": "centre"}.get(side, "")) if word)


def _wind(value: str, phraseology: str) -> str:
    """`degrees` and `knots` in full (Doc 9432 2.4.2), `at` for the FAA."""
    direction, *speed = _FIGURES.findall(value)
    if not speed:
        return digits(direction)
    between = "at" if phraseology == "faa" else "degrees"
    return f"{digits(direction)} {between} {digits(speed[0])}" + ("" if phraseology == "faa" else " knots")


def _heading(value: str, phraseology: str) -> str:
    """Three figures; the UK adds `degrees` where it ends in a nought (CAP 413 3.3 and 3.9(4))."""
    return digits(value) + (" degrees" if phraseology == "uk" and value.endswith("0") else "")


def say(item: str, value: str, phraseology: str) -> str:
    """A value as said in a phraseology, with the word that stands before it.

    Args:
        item: `altitude`, `height`, `flight level`, `heading`, `wind`, `wind direction`, `QNH`, `altimeter`, `squawk`,
            `runway`, `frequency`, `speed`, `time` (minutes), `full time`, `readability` or `callsign`.
        value: as written: `2500 feet`, `080`, `200 degrees 25 knots`, `118.005`, `24L`, `FL100`, `0920`, `G-WA`.
        phraseology: `icao`, `uk` or `faa`.
    Errors: KeyError for another item.
    """
    number = "".join(_FIGURES.findall(value))
    rest = value.lstrip("0123456789,. ").strip() if value[:1].isdigit() else ""
    tail = f" {rest}" if rest.isalpha() else ""
    said = {
        "altitude": lambda: hundreds(number) + tail,
        "height": lambda: hundreds(number) + tail,
        "flight level": lambda: f"flight level {_level(number, phraseology)}",
        "heading": lambda: ("" if phraseology == "uk" else "heading ") + _heading(number, phraseology),
        "wind": lambda: f"wind {_wind(value, phraseology)}",
        "wind direction": lambda: f"wind {digits(number)}",
        "QNH": lambda: f"QNH {_thousands(number, phraseology)}{tail}",
        "altimeter": lambda: f"altimeter {digits(number)}",
        "squawk": lambda: f"squawk {_thousands(number, phraseology)}",
        "runway": lambda: f"runway {_runway(value, phraseology)}",
        "frequency": lambda: frequency(value, phraseology),
        "speed": lambda: digits(number) + tail,
        "time": lambda: digits(number[-2:]),
        "full time": lambda: digits(number),
        "readability": lambda: READABILITY[value],
        "callsign": lambda: letters(value),
    }
    return said[item]()


_SPOKEN = re.compile(
    r"(?P<wind>\bwind (?P<from>[0-9]{3})(?: degrees)?,?(?: at| |/) ?(?P<knots>[0-9]{1,2})\b(?P<kt> knots)?)"
    r"|\bFL ?(?P<level>[0-9]{2,3})\b|\bflight level (?P<flight>[0-9]{2,3})\b"
    r"|(?P<inches>\b[0-9]{2}\.[0-9]{2}\b)|(?P<frequency>\b1[0-9]{2}\.[0-9]{1,3}\b)"
    r"|\b(?P<before>[Aa]ltitude|[Hh]eight|[Mm]aintain) (?P<high>[0-9]{1,2},?[0-9]{3}|[0-9]{3})\b"
    r"|(?P<feet>\b(?:[0-9]{1,2},[0-9]{3}|[0-9]{3,5}))(?= ?(?:feet|ft)\b)"
    r"|\b(?P<runway>[Rr]unway) (?P<name>[0-9]{1,2}[LRC]?)\b"
    r"|\b(?P<set>QNH|QFE|[Ss]quawk) (?P<setting>[0-9]{3,4})\b"
    r"|\b(?P<side>[0-9]{1,2}[LRC])\b"
    r"|(?P<sign>\b(?:[A-Z]{1,2}-[A-Z]{2,4}|N[0-9][0-9A-Z]{1,4}|[A-Z]?[0-9]{1,3}[A-Z]{1,3})\b)"
    r"|(?P<place>\b[A-Z][0-9]{1,2}\b)|(?P<number>[0-9]+)"
    r"|(?<=[Pp]oint )(?P<letter>[A-Z])\b|(?<=taxiway )(?P<way>[A-Z])\b|(?<=via )(?P<via>[A-Z])\b"
)
# Groups of the pattern that are said as an item of `say`, the word before it and all.
_ITEMS = {
    "wind": "wind",
    "level": "flight level",
    "flight": "flight level",
    "frequency": "frequency",
    "feet": "altitude",
}


def aloud(text: str, phraseology: str) -> str:
    """A transmission as it is spoken: figures and letters in words, everything else as it stands."""
    return _SPOKEN.sub(lambda match: _spaced(match, _said(match, phraseology)), text)


def _spaced(match: re.Match[str], said: str) -> str:
    """Apart from letters that stand right before or behind it, as in `2500ft`."""
    before, behind = match.string[: match.start()][-1:], match.string[match.end() :][:1]
    return f"{' ' * before.isalpha()}{said}{' ' * behind.isalpha()}"


def _said(match: re.Match[str], phraseology: str) -> str:
    for group, item in _ITEMS.items():
        if match[group]:
            return say(item, match[group], phraseology)
    if match["before"]:
        return f"{match['before']} {say('altitude', match['high'], phraseology)}"
    if match["runway"]:
        return f"{match['runway']} {_runway(match['name'], phraseology)}"
    if match["side"]:
        return _runway(match["side"], phraseology)
    if match["set"]:
        return f"{match['set']} {_thousands(match['setting'], phraseology)}"
    return letters(match[0])


def seconds(text: str, phraseology: str) -> float:
    """How long a transmission takes to say, in seconds."""
    return len(aloud(text, phraseology).split()) * 60 / WORDS_A_MINUTE
