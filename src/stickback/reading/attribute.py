"""Attributes in braces, `{#id key=value key="a b"}`, at the end of a heading or the start of a list item."""

import re
from dataclasses import dataclass, field, replace

from stickback.reading.markup import Block
from stickback.reading.problem import At, Place, Problem

MOST = 20  # attributes in one pair of braces


@dataclass(frozen=True)
class Attributes:
    """What stands in braces at the end of a heading, or at the start of a list item: `{#id key=value key="a b"}`.

    Args:
        places: line and column of each key; of the id under `#`.
    """

    id: str = ""
    values: dict[str, str] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)


BRACES = re.compile(r"(?<!\{)\{([^{}]*+)\}(?!\})")
_OPEN = re.compile(r"(?<!\{)\{\s*+#")
_ATTRIBUTE = re.compile(
    r"(?:#(?P<id>[^\s{}\"=]++)|(?P<key>[A-Za-z_][\w-]*+)=(?:\"(?P<quoted>[^\"]*+)\"|(?P<value>[^\s\"{}]++)))(?=\s|$)"
)
_QUOTES = frozenset("'‘’‚“”„«»`")
_SPACED = re.compile(r"([A-Za-z_][\w-]*+)(?:\s*:\s*|\s+=\s*|=\s+)([^\s{}\"=]++)")
_WORD = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*+(?=\s|$)")
# What the parser puts in place of a character, on the way from a line of the file to the text of a block.
_PARSED = str.maketrans("\0\xa0", "\ufffd ")


def attributes(block: Block, lines: tuple[str, ...], file: str, *, tail: bool) -> tuple[str, Attributes, list[Problem]]:
    """The text without its braces, the attributes in them, and what is wrong there.

    Args:
        tail: the braces stand at the end (a heading); else at the start (a list item).
    """
    text = block.text
    matches = list(BRACES.finditer(text))
    match = matches[-1 if tail else 0] if matches else None
    if match is None or (text[match.end() :].strip() if tail else text[: match.start()].strip()):
        return text, Attributes(), _unclosed(block, lines, file)
    rest = (text[: match.start()] if tail else text[match.end() :]).strip()
    return rest, *_parse(block, *match.span(1), lines, file)


def place(block: Block, lines: tuple[str, ...], at: int) -> Place:
    """Line and column in the file of a character of a heading or paragraph, whose lines the parser sets to the left."""
    row = block.line + block.text.count("\n", 0, at)
    before = block.text[:at].rpartition("\n")[2].lstrip()
    line = (before + block.text[at:].partition("\n")[0].rstrip()).translate(_PARSED)
    below = range(row, block.end + 1)  # where the parser drops a first line that holds a space of another kind alone
    row = next((each for each in below if line in lines[each - 1].translate(_PARSED)), row)
    return row, lines[row - 1].translate(_PARSED).find(line) + len(before) + 1


def _unclosed(block: Block, lines: tuple[str, ...], file: str) -> list[Problem]:
    match = _OPEN.search(block.text)
    if match is None:
        return []
    message, hint = "The braces of this heading cannot be read.", "end the line with `{#the-id}`"
    return [Problem(At(file, *place(block, lines, match.start())), "attribute-form", message, hint)]


def _parse(block: Block, begin: int, end: int, lines: tuple[str, ...], file: str) -> tuple[Attributes, list[Problem]]:
    """The attributes between two braces, up to the first mistake."""
    text, at, found = block.text[:end], begin, Attributes()
    while rest := text[at:].lstrip():
        here = place(block, lines, end - len(rest))
        match = _ATTRIBUTE.match(text, end - len(rest))
        if match is None or len(found.places) == MOST:
            return found, [Problem(At(file, *here), "attribute-form", *_amiss(rest, found.id))]
        key = match["key"] or "#"
        if key in found.places:
            message = f"The attribute '{key}' stands twice." if match["key"] else "The id stands twice."
            return found, [Problem(At(file, *here), "attribute-doubled", message, "keep one of them")]
        if match["value"] and match["value"][0] in _QUOTES:
            message, hint = "These are not the quotes that are read here.", f'write {key}="…", or no quotes at all'
            return found, [Problem(At(file, *here), "attribute-form", message, hint)]
        found.places[key] = here
        if match["id"]:
            found = replace(found, id=match["id"])
        else:
            found.values[key] = match["quoted"] if match["quoted"] is not None else match["value"]
        at = match.end()
    return found, []


def _amiss(rest: str, name: str) -> tuple[str, str]:
    """What is wrong with attributes that cannot be read, and what to write."""
    if match := _SPACED.match(rest):
        return f"The attribute '{match[1]}' has its value right behind `=`.", f"write {match[1]}={match[2]}"
    if match := _WORD.match(rest):
        if name:
            return "An id holds no space.", f"write `#{name}-{match[0]}`, or `{match[0]}=…` for an attribute"
        return "An id begins with `#`.", f"write `#{match[0]}`"
    hint = "write `{#the-id key=value}`, with quotes around a value that holds a space"
    return "These braces cannot be read from here on.", hint
