"""Letters, figures and the words of the radio: what a word typed as spoken stands for.

Sources: letters ICAO Doc 9432 (4th edition) 2.3.3, CAP 413 edition 22 table 2, AIM table 4-2-2; figures Doc 9432 2.4.1,
CAP 413 table 3, AIM table 4-2-2. `Alpha` and `Juliet` are common spellings of `Alfa` and `Juliett`; the spellings by
sound (`tree`, `fower`, `fife`, `ait`) are the tables' own. Forms of one word count as one: common practice.
"""

import re
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
        "inches": "inch inches inhg",
        "kilometres": "km kilometre kilometres kilometer kilometers",
        "megahertz": "mhz megahertz",
        "metres": "m metre metres meter meters",
        "miles": "nm mile miles",
        "millimetres": "mm millimetre millimetres millimeters",
        "minutes": "min mins minute minutes",
        "mph": "mph",
    }
)
# What `too` is said of, where it is no figure: `crosswind too strong`.
TOO: Final = frozenset(_words("strong much many high low fast slow close short long late great"))
SIDES: Final = _forms({"left": "l left", "right": "r right", "centre": "c centre center"})

# Of no account in an answer: small words, and courtesies.
FILLERS: Final = frozenset(
    _words(
        "of the to at on for and is are by er um uh ah please thanks thank you good day morning afternoon evening sir "
        "madam bye has set code nautical field airfield aerodrome airport our my we im will well now then"
    )
)
FORMS: Final = _forms(
    {
        "affirm": "affirmative",
        "altitude": "alt",
        "approved": "approve approval",
        "authorised": "authorized authorisation authorization",
        "backtrack": "backtracking",
        "disregard": "ignore ignoring forget void",
        "maybe": "perhaps possibly probably unsure",
        "say again": "repeat",
        "cancel": "cancelling canceling cancelled canceled",
        "change": "changing",
        "clearance": "clearances",
        "climb": "climbing",
        "confirm": "confirming",
        "contact": "contacting",
        "continue": "continuing",
        "cross": "crossing",
        "descend": "descending",
        "enter": "entering",
        "depart": "departing departure departs",
        "expect": "expecting expected awaiting await",
        "extend": "extending",
        "failure": "failed failing fails",
        "final": "finals",
        "flight level": "fl",
        "follow": "following",
        "gust": "gusts gusting",
        "heading": "hdg",
        "hold position": "holding",
        "ident": "identing",
        "immediate": "immediately",
        "join": "joining",
        "land": "landing",
        "leave": "leaving",
        "line up": "lineup",
        "maintain": "maintaining",
        "make": "making",
        "monitor": "monitoring",
        "not": "never dont cant cannot wont isnt arent havent didnt lost",
        "no": "nope",
        "negative": "refuse refusing decline declining reject rejecting",
        "move": "moving proceed proceeding",
        "orbit": "orbiting",
        "pass": "passing",
        "permitted": "permission permit allowed granted",
        "remain": "remaining",
        "report": "reporting",
        "request": "requesting requests",
        "roll": "rolling",
        "runway": "rwy",
        "squawk": "squawking",
        "stop": "stopping stopped",
        "takeoff": "takeoffs",
        "taxi": "taxiing taxying",
        "turn": "turning",
        "vacate": "vacating vacated",
        "verify": "verifying",
        "via": "taxiway twy route",
        "wait": "waiting",
        "wind": "winds",
        "rejoin": "rejoining reentering",
    }
)
# Forms that say what the pilot is doing: `unable to line up` refuses, `unable, lining up` does not.
DOING: Final = frozenset(
    _words(
        "lining crossing landing entering backtracking departing moving proceeding taxiing taxying rolling vacating "
        "turning"
    )
) | {"taking off"}
# Behind these, or before the others, a figure of one or two is a runway's, unless it has a unit.
BEFORE_RUNWAY: Final = frozenset(
    (
        *_words("land takeoff option depart taxi wait cross clear downwind base final"),
        "touch go",
        "hold short",
        "go around",
    )
)
BEHIND_RUNWAY: Final = frozenset((*_words("cleared takeoff land cross backtrack via taxi"), "line up", "hold short"))
# Several words that are one here.
PHRASES: Final = {
    _words(phrase): word
    for word, phrases in {
        "altimeter": ("altimeter setting",),
        "backtrack": ("back track", "back tracking"),
        "cleared": ("clear to", "clear for", "cleared for a"),
        "continue approach": ("continue approach", "continuing approach", "continue the approach"),
        "flight level": ("flight level",),
        "full stop": ("full stop",),
        "go ahead": ("go ahead",),
        "go around": ("go around", "going around", "go round", "going round"),
        "hold position": ("hold position", "holding position"),
        "hold short": ("hold short", "holding short"),
        "holding point": ("holding point", "hold point"),
        "i say again": ("i say again",),
        "in sight": ("in sight",),
        "line up": ("line up", "lining up"),
        "left turn": ("left turn", "turn left", "turning left", "left hand turn"),
        "low approach": ("low approach", "low pass"),
        "mph": ("miles per hour", "miles an hour"),
        "move": ("move off", "moving off", "on the move"),
        "not": ("do not", "not to"),
        "not in sight": ("not in sight", "negative contact", "no contact", "negative traffic", "no joy"),
        "not required": ("not required", "not needed", "no longer required", "not available"),
        "oclock": ("o clock",),
        "qnh": ("q n h",),
        "qfe": ("q f e",),
        "right turn": ("right turn", "turn right", "turning right", "right hand turn"),
        "say again": ("say again",),
        "rejoin": ("re enter", "re entering"),
        "straight in": ("straight in",),
        "standby": ("stand by", "standing by", "wait one", "hold on", "one moment"),
        "stop": ("stop immediately", "stopping immediately"),
        "stop go": ("stop and go", "stop go"),
        "takeoff": ("take off", "take offs"),
        "taking off": ("taking off",),
        "touch go": ("touch and go", "touch go"),
        "via": ("via taxiway", "via twy", "via route"),
        "was that": ("was that", "was it", "is that", "is it", "did you say", "did you mean", "what was", "which was"),
        "wind": ("surface wind",),
        "x": ("x ray",),
    }.items()
    for phrase in phrases
}
LONGEST_PHRASE: Final = max(map(len, PHRASES))
BEGIN_PHRASES: Final = frozenset(phrase[0] for phrase in PHRASES)
# Written as two words, or with a hyphen, by many.
JOINED: Final = frozenset(
    _words(
        "downwind upwind runway taxiway takeoff biplane foxtrot airborne standby backtrack deadside overhead "
        "hectopascals hectopascal"
    )
)
# Words of the air that are no form of another and no name of a place; what is one letter off them is no letter's word.
_OTHERS = _words(
    "about above abeam acknowledge advise after again ahead airborne aircraft all alongside always angels any approach "
    "apron area around as ask avoid back base basic be because before below beside between biplane birds blind box but "
    "cables calm cat caution check circuit clear closed cloud clutch conflicting contact control copied copy correct "
    "correction crosswind dead deadside deconfliction deer delivery departures diamond direct disregard distance down "
    "downwind due duty early east end engine entry even exit expect expedite failure far final fire first five flap "
    "fly follow force from front fuel full further glide glider go gold good got grass ground half hand hangar "
    " have having "
    "head hear here high hold home how if immediate immediately in inbound information instructions intentions into "
    "join just known last late lead leave length less like line long look looking low made maintain make many mayday "
    "mid middle midfield mine motor move near needed negative new next no north nothing number off ok okay once only "
    "orbit other out outbound over overhead overshoot pan part pass pattern pilot position possible power practice "
    "procedural radar radio ramp readability ready received reported remain remaining roger room rotate rough runway "
    "runways say second seen service short side sight signal slow solo some south speed stand start stay still "
    "straight student surface take tail taken that them there they third this threshold through time too tower "
    "traffic tractor transmitting tug turn type unable unicom until up upwind vector vectors vehicle via visual wait "
    "tell weather west what when where which wilco wind with without you zone"
)
KNOWN: Final = frozenset(
    {
        *_OTHERS,
        *LETTERS,
        *FIGURES,
        *TEENS,
        *TENS,
        *DECIMAL,
        *MULTIPLES,
        *UNITS,
        *SIDES,
        *FILLERS,
        *FORMS,
        *JOINED,
        *(word for words in FORMS.values() for word in words.split()),
        *(word for phrase in PHRASES for word in phrase),
        "qnh",
        "qfe",
    }
)
_CAPITALS = re.compile(r"\b(?:q(?:nh|fe|d[mr]|te)|vfr|[a-z](?: \d{1,2})?)\b")


def printed(text: str) -> str:
    """Tokens as they are written down: `qnh 1008` as `QNH 1008`, `via c 2` as `via C2`."""
    return _CAPITALS.sub(lambda match: match[0].replace(" ", "").upper(), text)
