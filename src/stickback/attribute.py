"""Attributes in braces, `{#id key=value key="a b"}`, at the end of a heading or the start of a list item."""

import re
from dataclasses import dataclass, field, replace

from stickback.markup import Block
from stickback.problem import Problem


@dataclass(frozen=True)
class Attributes:
    """What stands in braces at the end of a heading, or at the start of a list item: `{#id key=value key="a b"}`.

    Args:
        places: the column of each key; of the id under `#`.
    """

    id: str = ""
    values: dict[str, str] = field(default_factory=dict)
    places: dict[str, int] = field(default_factory=dict)


_BRACES = re.compile(r"(?<!\{)\{([^{}]*)\}(?!\})")
_ATTRIBUTE = re.compile(
    r"\s*(?:#(?P<id>[^\s{}\"=]+)|(?P<key>[A-Za-z_][\w-]*)=(?:\"(?P<quoted>[^\"]*)\"|(?P<value>[^\s\"{}]+)))(?=\s|$)"
)


def attributes(block: Block, lines: tuple[str, ...], file: str, *, tail: bool) -> tuple[str, Attributes, list[Problem]]:
    """The text without its braces, the attributes in them, and what is wrong there.

    Args:
        tail: the braces stand at the end (a heading); else at the start (a list item).
    """
    text = block.text
    source = lines[block.line - 1]
    matches = list(_BRACES.finditer(text))
    match = matches[-1 if tail else 0] if matches else None
    if match is None or (text[match.end() :].strip() if tail else text[: match.start()].strip()):
        return text, Attributes(), _unclosed(text, source, block.line, file)
    offset = max(source.rfind(match[0]) if tail else source.find(match[0]), 0) + 2
    rest = (text[: match.start()] if tail else text[match.end() :]).strip()
    return rest, *_parse(match[1], offset, block.line, file)


def _unclosed(text: str, source: str, line: int, file: str) -> list[Problem]:
    match = re.search(r"(?<!\{)\{\s*#", text)
    if match is None:
        return []
    column = source.find(match[0]) + 1 or 1
    message = "The braces of this heading cannot be read."
    return [Problem(file, line, column, "attribute-form", message, "end the line with `{#the-id}`")]


def _parse(text: str, offset: int, line: int, file: str) -> tuple[Attributes, list[Problem]]:
    found = Attributes()
    at = 0
    while text[at:].strip():
        match = _ATTRIBUTE.match(text, at)
        if match is None:
            column = offset + at + len(text[at:]) - len(text[at:].lstrip())
            hint = "write `{#the-id key=value}`, with quotes around a value that holds a space"
            return found, [
                Problem(file, line, column, "attribute-form", "These braces cannot be read from here on.", hint)
            ]
        key = match["key"] or "#"
        column = offset + match.start("key" if match["key"] else "id") - (not match["key"])
        if key in found.places:
            name = f"attribute '{match['key']}'" if match["key"] else "id"
            message = f"The {name} stands twice."
            return found, [Problem(file, line, column, "attribute-doubled", message, "keep one of them")]
        found.places[key] = column
        if match["id"]:
            found = replace(found, id=match["id"])
        else:
            found.values[key] = match["quoted"] if match["quoted"] is not None else match["value"]
        at = match.end()
    return found, []
