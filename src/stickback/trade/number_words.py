"""Numbers in words put into figures: as counted (`two hundred and forty`), and as spoken figure by figure (`two four`).

Figures spoken one by one, `niner` and `decimal` are ICAO's way of saying numbers (Annex 10, volume II, 5.2.1.4);
headings and pressures said in two halves (`two forty`, `ten thirteen`) are common practice.
"""

import re

_ONES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TEENS = ("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
_TIES = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_SMALL = {word: number for number, word in enumerate(_ONES + _TEENS)} | {"nil": 0, "nought": 0, "naught": 0, "niner": 9}
_TENS = {word: 10 * ten for ten, word in enumerate(_TIES, 2)}
_BIG = {"hundred": 100, "thousand": 1000}
_POINT = {"point", "decimal"}
_PARTS = {"half": "1/2", "halves": "1/2", "third": "1/3", "thirds": "1/3", "quarter": "1/4", "quarters": "1/4"}
_TIMES = {"once": "1", "twice": "2", "double": "2", "thrice": "3", "triple": "3", "twofold": "2", "threefold": "3"}

_ANY = "|".join([*_SMALL, *_TENS, *_BIG, *_POINT])
_COUNT = r"(?<![\d.,])\d+(?=\s+(?:hundred|thousand)(?![a-z]))"
_RUN = re.compile(
    rf"(?:{_COUNT}|(?<![a-z])(?:{_ANY}))"
    rf"(?:[\s-]+(?:{_ANY})|(?:(?<=hundred)|(?<=thousand))\s+and\s+(?:{_ANY}))*(?![a-z])"
)
_PART = re.compile(rf"(?<![a-z])(?:(?P<many>\d+|an?)\s+)?(?P<part>{'|'.join(_PARTS)})(?:\s+of)?(?![a-z])")
_ONCE = re.compile(rf"(?<![a-z])(?:{'|'.join(_TIMES)})(?![a-z])")
_SCALED = re.compile(r"(?<![\d.,])(\d+\.\d+)\s+(hundred|thousand)(?![a-z])")
# What stands between a whole and its part: `2 and 1/2`, `1 hour and 1/2`.
_AND_PART = re.compile(r"(?<![\d.,/])(\d+)((?:\s+(?:hours?|hrs?|minutes?|mins?))?)\s+and\s+(\d/\d)(?!\d)")


def in_figures(text: str) -> str:
    """A text in lower case, its number words as figures: `twenty two kt` is `22 kt`, `one and a half` is `1 1/2`."""
    text = _SCALED.sub(lambda match: f"{float(match[1]) * _BIG[match[2]]:g}", text)
    text = _RUN.sub(lambda match: _figure(re.split(r"[\s-]+", match[0])), text)
    text = _PART.sub(_part, text)
    text = _ONCE.sub(lambda match: _TIMES[match[0]], text)
    return _AND_PART.sub(r"\1 \3\2", text)


def _part(match: re.Match[str]) -> str:
    if match["many"] in {None, "a", "an"}:
        return _PARTS[match["part"]]
    return f"{match['many']}/{_PARTS[match['part']][-1]}"


def _figure(words: list[str]) -> str:
    """The figure of a run of number words; words that make none stay as they are."""
    words = [word for word in words if word != "and"]
    at = next((place for place, word in enumerate(words) if word in _POINT), None)
    if at is None:
        return _whole(words)
    behind = words[at + 1 :]
    if not behind or not all(_SMALL.get(word, 10) < 10 for word in behind):
        return " ".join(words)
    return f"{_whole(words[:at]) or '0'}.{''.join(str(_SMALL[word]) for word in behind)}"


def _whole(words: list[str]) -> str:
    """`two hundred forty` is counted; without hundreds the groups are said one behind the other: `two forty`."""
    if not _BIG.keys() & set(words):
        return "".join(map(str, _groups(words)))
    total = part = 0
    for word in words:
        if word == "thousand":
            total, part = total + max(part, 1) * 1000, 0
        elif word == "hundred":
            part = max(part, 1) * 100
        else:
            part += int(word) if word.isdecimal() else _SMALL.get(word, _TENS.get(word, 0))
    return str(total + part)


def _groups(words: list[str]) -> list[int]:
    """Numbers below a hundred, `twenty two` being one of them."""
    found: list[int] = []
    tens = False
    for word in words:
        number = _SMALL.get(word, _TENS.get(word, 0))
        if tens and 0 < number < 10:
            found[-1] += number
        else:
            found.append(number)
        tens = word in _TENS
    return found
