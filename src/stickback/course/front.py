"""Checks that front matter and attributes share: required keys, allowed values, well-formed ids."""

import math
import re
from collections.abc import Callable, Container, Iterable, Mapping
from functools import cache

from stickback.reading.attribute import Attributes
from stickback.reading.document import Document
from stickback.reading.markup import Section
from stickback.reading.problem import At, Problem

META = {  # keys of any file, and what they say
    "title": "what it is called",
    "revision": "which version it is",
    "approved_by": "who approved it",
    "effective": "from which day",
    "sources_checked": "when its sources were looked up",
}
LONGEST_ID = 64  # characters
_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


_GUESSES = 100  # wrong names of a sort for which a right one is looked for: comparing takes its time


def nearest(known: Iterable[str]) -> Callable[[str], str]:
    """Asks which of the known names was meant by a wrong one; none that is near gives an empty text."""
    from difflib import get_close_matches  # only wanted where something is wrong

    names, guesses = list(known), iter(range(_GUESSES))

    @cache
    def near(word: str) -> str:
        found = get_close_matches(word.casefold(), names, 1) if next(guesses, None) is not None else []
        return found[0] if found else ""

    return near


def did_you_mean(name: str, otherwise: str) -> str:
    """The hint that names what was probably meant; another where nothing is known."""
    return f"did you mean '{name}'?" if name else otherwise


def known_keys(document: Document, known: Iterable[str]) -> list[Problem]:
    """A problem for every key of the front matter that is not known."""
    if document.front_broken:  # what was meant cannot be told
        return []
    allowed = {*known, *META}
    near = nearest(allowed)
    problems = []
    for key in document.front.data:
        if key not in allowed:
            hint = did_you_mean(near(key), f"use one of: {', '.join(sorted(allowed))}")
            place = document.front.key(key)
            problems.append(
                Problem(At(document.file, *place), "front-key", f"The key '{key}' is not known here.", hint)
            )
    return problems


def text(document: Document, *path: str) -> str:
    """The text of a key of the front matter, empty when it is missing or not a text."""
    return document.front.text(*path).strip()


def wrong_value(document: Document, path: tuple[str, ...], allowed: str) -> Problem:
    """Says of one key which values it takes."""
    message = f"The value of '{path[-1]}' is not one of those allowed."
    return Problem(At(document.file, *document.front.value(*path)), "front-value", message, f"write {allowed}")


def missing_keys(document: Document, examples: Mapping[str, str]) -> list[Problem]:
    """Says once, on the first line, which keys must be there; nothing where a key may only seem to be missing."""
    missing = [key for key in examples if key not in document.front.data]
    if not missing or document.front_broken:
        return []
    names, lines = ", ".join(map(repr, missing)), ", ".join(f"`{key}: {examples[key]}`" for key in missing)
    message, hint = f"The front matter does not say {names}.", f"between two lines `---` at the top, write {lines}"
    return [Problem(At(document.file, 1, 1), "front-missing", message, hint)]


def number(typed: str) -> float:
    """The number that is typed; not a number where none is."""
    try:
        return float(typed)
    except ValueError:
        return math.nan


def is_id(text: str) -> bool:
    """Whether a text is an id: lower-case letters, digits and single hyphens."""
    return bool(_ID.fullmatch(text))


def wrong_id(document: Document, section: Section, found: Attributes, title: str) -> list[Problem]:
    """A missing or malformed id of a heading."""
    if not found.id:
        line = section.heading.end
        column = len(document.lines[line - 1]) + 1
        hint = f"end the heading with {{#{slug(title)}}}"
        return [Problem(At(document.file, line, column), "id-missing", "This heading has no id.", hint)]
    if not is_id(found.id) or len(found.id) > LONGEST_ID:
        seen = "".join(char for char in found.id if char.isprintable())
        message = f"The id '{seen[:LONGEST_ID]}' is not of lower-case letters, digits and single hyphens alone."
        if is_id(found.id):
            message = f"This id is longer than {LONGEST_ID} characters."
        if seen != found.id:
            message = f"An invisible character stands in the id '{seen[:LONGEST_ID]}'."
        return [Problem(At(document.file, *found.places["#"]), "id-form", message, f"write {{#{slug(seen)}}}")]
    return []


def wrong_attributes(document: Document, found: Attributes, allowed: dict[str, tuple[str, ...]]) -> list[Problem]:
    """Attributes that a heading does not take, or not with that value; no values listed means any."""
    problems = []
    for key, value in found.values.items():
        place = (document.file, *found.places[key])
        if key not in allowed:
            takes = ", ".join(sorted(allowed)) or "only an id"
            message = f"This heading does not take the attribute '{key}'."
            hint = did_you_mean(nearest(allowed)(key), f"it takes {takes}")
            problems.append(Problem(At(*place), "attribute-unknown", message, hint))
        elif allowed[key] and value not in allowed[key]:
            message = f"'{key}' cannot be '{value}' here."
            problems.append(Problem(At(*place), "attribute-value", message, f"write {key}={'|'.join(allowed[key])}"))
    return problems


def slug(title: str, most: int = 48) -> str:
    """An id that a title suggests: `raise-the-tail-with-power`."""
    words = re.findall(r"[a-z0-9]+", re.sub(r"\{\{[^{}]*+\}\}", "", title).casefold())
    made = ""
    for word in words:
        if made and len(made) + 1 + len(word) > most:
            break
        made = f"{made}-{word}" if made else word[:most]
    return made or "question"


def free(wanted: str, taken: Container[str]) -> str:
    """An id that nothing has yet: the one wanted, else with a number behind it."""
    made, number = wanted, 2
    while made in taken:
        made, number = f"{wanted}-{number}", number + 1
    return made
