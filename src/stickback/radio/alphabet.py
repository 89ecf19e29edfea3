"""Letters, figures and the words of the radio: what a word typed as spoken stands for.

Sources: letters ICAO Doc 9432 (4th edition) 2.3.3, CAP 413 edition 22 table 2, AIM table 4-2-2; figures Doc 9432 2.4.1,
CAP 413 table 3, AIM table 4-2-2. `Alpha` and `Juliet` are common spellings of `Alfa` and `Juliett`; the spellings by
sound (`tree`, `fower`, `fife`, `ait`) are the tables' own. Forms of one word count as one: common practice.
"""

from typing import Final


def _words(text: str) -> tuple[str, ...]:
    """Words, as data is written here."""
    return tuple(text.split())


def _forms(groups: dict[str, str]) -> dict[str, str]:
    """Every form of a word, and the word it stands for."""
    return {form: word for word, forms in groups.items() for form in forms.split()}


SPELT: Final = dict(
    zip(
        "abcdefghijklmnopqrstuvwxyz",
        _words(
            "alfa bravo charlie delta echo foxtrot golf hotel india juliett kilo lima mike november oscar papa "
            "quebec romeo sierra tango uniform victor whiskey x-ray yankee zulu"
        ),
        strict=True,
    )
)
COUNTED: Final = dict(zip("0123456789", _words("zero one two three four five six seven eight niner"), strict=True))

LETTERS: Final = {word: letter for letter, word in SPELT.items()} | _forms(
    {"a": "alpha", "j": "juliet", "w": "whisky", "x": "xray"}
)
FIGURES: Final = {word: figure for figure, word in COUNTED.items()} | _forms(
    {"9": "nine", "1": "wun", "2": "too", "3": "tree", "4": "fower", "5": "fife", "8": "ait"}
)
# Not how the trade says a figure, but what people type; the number meant is plain.
TEENS: Final = {
    word: str(number)
    for number, word in enumerate(
        _words("ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"), 10
    )
}
TENS: Final = {
    word: str(number)
    for number, word in zip(
        range(20, 100, 10), _words("twenty thirty forty fifty sixty seventy eighty ninety"), strict=True
    )
}
DECIMAL: Final = frozenset(_words("decimal point dayseemal"))
MULTIPLES: Final = {"thousand": 1000, "tousand": 1000, "hundred": 100}

UNITS: Final = _forms(
    {
        "feet": "ft foot feet",
        "knots": "kt kts knot knots",
        "degrees": "deg degree degrees",
        "hectopascals": "hpa mb hectopascal hectopascals millibar millibars",
        "inches": "inch inches",
        "metres": "m metre metres meter meters",
        "miles": "nm mile miles",
    }
)
SIDES: Final = _forms({"left": "l left", "right": "r right", "centre": "c centre center"})

# Of no account in an answer: small words, and courtesies.
FILLERS: Final = frozenset(
    _words("of the to at on for and is hand er um please thanks thank you good day morning afternoon evening sir bye")
)
FORMS: Final = _forms(
    {
        "affirm": "affirmative",
        "altitude": "alt",
        "backtrack": "backtracking",
        "cancel": "cancelling canceling cancelled",
        "change": "changing",
        "climb": "climbing",
        "contact": "contacting",
        "continue": "continuing",
        "cross": "crossing",
        "descend": "descending",
        "enter": "entering",
        "depart": "departing departure",
        "extend": "extending",
        "final": "finals",
        "flight level": "fl",
        "follow": "following",
        "heading": "hdg",
        "hold position": "holding",
        "join": "joining",
        "land": "landing",
        "leave": "leaving",
        "line up": "lineup",
        "maintain": "maintaining",
        "make": "making",
        "monitor": "monitoring",
        "orbit": "orbiting",
        "remain": "remaining",
        "report": "reporting",
        "request": "requesting",
        "runway": "rwy",
        "squawk": "squawking",
        "stop": "stopping",
        "taxi": "taxiing taxying",
        "turn": "turning",
        "vacate": "vacating vacated",
        "via": "taxiway twy route",
        "wait": "waiting",
    }
)
# Behind these a figure of one or two is a runway's, unless it has a unit.
BEFORE_RUNWAY: Final = frozenset(
    (*_words("land takeoff depart taxi wait cross clear downwind base final"), "touch go", "hold short", "go around")
)
# Several words that are one here.
PHRASES: Final = {
    _words(phrase): word
    for word, phrases in {
        "altimeter": ("altimeter setting",),
        "backtrack": ("back track", "back tracking"),
        "cleared": ("clear to", "clear for", "cleared for a"),
        "flight level": ("flight level",),
        "go around": ("go around", "going around", "go round", "going round"),
        "hold position": ("hold position", "holding position"),
        "hold short": ("hold short", "holding short"),
        "holding point": ("holding point",),
        "line up": ("line up", "lining up"),
        "left turn": ("left turn", "turn left", "turning left", "left hand turn"),
        "qnh": ("q n h",),
        "qfe": ("q f e",),
        "right turn": ("right turn", "turn right", "turning right", "right hand turn"),
        "say again": ("say again",),
        "stop": ("stop immediately", "stopping immediately"),
        "takeoff": ("take off",),
        "taking off": ("taking off",),
        "touch go": ("touch and go", "touch go"),
        "via": ("via taxiway", "via twy", "via route"),
        "wind": ("surface wind", "instant wind"),
        "x": ("x ray",),
    }.items()
    for phrase in phrases
}
LONGEST_PHRASE: Final = max(map(len, PHRASES))
BEGIN_PHRASES: Final = frozenset(phrase[0] for phrase in PHRASES)
