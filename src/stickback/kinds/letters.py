"""Letters of options as people type them: `b.`, `(b)`, `option b`, `a, b and c`, `c > a > b`."""

import re
import unicodedata

from stickback.kinds.protocol import Unclear

# Words that change nothing about which letters are meant, or in which order.
_FILLERS = frozenset(
    {"answer", "answers", "choice", "choose", "i", "i'd", "letter", "letters", "option", "options", "pick", "think"}
    | {"also", "and", "are", "both", "is", "it", "it's", "its", "just", "only", "plus", "say", "the"}
    | {"before", "by", "finally", "first", "followed", "last", "lastly", "next", "then"}
)
_TOKEN = re.compile(r"\d+|[^\W\d_]+(?:'[^\W\d_]+)?")
_BETWEEN = re.compile(r"(?<![^\W_])([^\W\d_])\s*(?:-|to|\.{2,}|…)\s*([^\W\d_])(?![^\W_])")


def words(text: str) -> list[str]:
    """The words and figures of a text, in plain lower-case letters."""
    return _TOKEN.findall(_plain(text))


def _plain(text: str) -> str:
    """Full-width signs and their likes as plain ones; what is set high or low is no figure."""
    signs = text.replace("’", "'").replace("–", "-")
    plain = (" " if unicodedata.category(sign) == "No" else unicodedata.normalize("NFKC", sign) for sign in signs)
    return "".join(plain).casefold()


def typed(text: str, known: str) -> list[str] | Unclear:
    """The letters typed, in their order.

    Args:
        known: the letters there are.
    """
    if "<" in text:
        return Unclear("'<' can be read either way")
    found: list[str] = []
    for word in _numbered(words(text)):
        if word in _FILLERS:
            continue
        if word.isdecimal():
            return Unclear(f"'{word}' is no letter")
        if word == "or":
            return Unclear("'or' leaves it open which is meant")
        if not set(word) <= set(known):
            return Unclear(f"there is no option {word}" if len(word) == 1 else f"'{word[:40]}' means nothing here")
        found += word
    return found or Unclear("no letter was typed")


def _numbered(tokens: list[str]) -> list[str]:
    """`1 c 2 a 3 b` without the numbers of its places."""
    places = [str(place) for place in range(1, len(tokens) // 2 + 1)]
    return tokens[1::2] if len(tokens) > 2 and tokens[::2] == places else tokens


def between(text: str) -> str:
    """What may be two letters or all between them: `a-c`; empty where there is none."""
    match = _BETWEEN.search(_plain(text))
    return match[0] if match else ""
