"""Letters of options: as people type them (`b.`, `option b`, `a, b and c`, `c > a > b`), and as the log keeps them.

The log keeps an option by its place in the file and a digest of its text, `2#9f31c2`, since letters mean something in
one asking only. What was kept in letters by older versions is still read, under the seed it was shown with.
"""

import re
import unicodedata
from collections.abc import Sequence
from hashlib import blake2b

from stickback.kinds.shown import LETTERS, Unclear

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


def understood(text: str, known: str) -> list[str] | Unclear:
    """The letters that were typed, in their order; or what was not understood.

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


def to_log(given: str, order: Sequence[int], texts: Sequence[str]) -> str:
    """Letters understood, as the log keeps them.

    Args:
        order: which of the texts each letter stands for.
        texts: of the options, as they are written in the file.
    """
    places = [order[LETTERS.index(letter)] for letter in given.split()]
    return " ".join(f"{place + 1}#{_digest(texts[place])}" for place in places)


def of_places(found: Sequence[int], order: Sequence[int]) -> str:
    """The letters that options have in one asking.

    Args:
        found: places of the options, from 1.
    """
    return " ".join(LETTERS[order.index(place - 1)] for place in found)


def places(kept: str, order: Sequence[int], texts: Sequence[str]) -> tuple[int, ...]:
    """The places of options that an answer of the log names, from 1; what was reworded since is left out."""
    digests = [_digest(text) for text in texts]
    found = []
    for word in kept.split():
        place, sign, digest = word.partition("#")
        if sign and digest in digests:
            found.append(digests.index(digest) + 1)
        elif not sign and word in set(LETTERS[: len(order)]):
            found.append(order[LETTERS.index(place)] + 1)
    return tuple(found)


def _digest(text: str) -> str:
    return blake2b(text.encode(errors="replace"), digest_size=3).hexdigest()
