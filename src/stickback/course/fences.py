"""Fenced blocks by their names: what may stand where, and a name or place that is nearly right."""

import re
from collections.abc import Iterable, Iterator

from stickback.kinds.table import KINDS
from stickback.reading import markup
from stickback.reading.document import Document
from stickback.reading.markup import Block, Section
from stickback.reading.problem import At, Problem

ANYWHERE = "anywhere"
# Where each is read: in the text of a question, under its `### Answer`, or anywhere.
_ANSWERS = {name: kind.KEYS for name, kind in KINDS.items() if kind.KEYS}  # kinds whose answer is a block
PLACES = {
    "given": "in a question, above its first `###`",
    **dict.fromkeys(_ANSWERS, "alone under `### Answer`"),
    "figure": ANYWHERE,
}
SHOWN = "text"  # the name of a block that is shown as it stands
_KEYS = re.compile(r"(?m)^(?P<key>[a-z][a-z0-9_]*)[ \t]*:[ \t]")
_LISTED = re.compile(r"(?m)^[a-z][a-z0-9_]*[ \t]*:.*\|")
_RANGED = re.compile(r"(?m)^[a-z][a-z0-9_]*[ \t]*:.*\d[ \t]+to[ \t]+\d")
_NO_FENCE = re.compile(rf"(?:`{{1,2}}|['\"’‘]{{2,3}}) ?({'|'.join(PLACES)})[ \t]*\n")


def wrong(document: Document, section: Section | None, blocks: Iterable[Block]) -> Iterator[Problem]:
    """Blocks whose name or place is nearly right.

    Args:
        section: the question they stand in; None where they stand in none.
    """
    rightly = set() if section is None else {block.line for block in _placed(section)}
    for block in markup.every(tuple(blocks)):
        if block.line not in rightly | document.broken and (found := _wrong(block, asked=section is not None)):
            yield Problem(At(document.file, block.line, 1), *found)


def _wrong(block: Block, *, asked: bool) -> tuple[str, str, str] | None:
    """Code, message and hint of a block that does not stand where it is read."""
    said = block.name
    if said in PLACES:
        where = PLACES[said]
        return None if where == ANYWHERE else ("fence-place", f"A `{said}` block is not read here.", f"put it {where}")
    if block.kind == "indented" and block.text.startswith(("```", "~~~")):
        return "fence-place", "This fenced block is indented too far to be read.", "begin it at the left margin"
    if block.kind == "paragraph" and (match := _NO_FENCE.match(block.text)):
        return "fence-unknown", "A fenced block begins and ends with three backticks.", f"write ```{match[1]}"
    if block.kind != "fence" or said == SHOWN:
        return None
    if said:
        known = f"use {', '.join(PLACES)}; a block that is shown as it stands is called {SHOWN}"
        hint = f"write ```{guess}" if (guess := _near(said) or _guess(block)) else known
        return "fence-unknown", f"No block is called '{said}'.", hint
    if asked and (guess := _guess(block)):
        return (
            "fence-unknown",
            "This block says no name.",
            f"write ```{guess}, or ```{SHOWN} if it is shown as it stands",
        )
    return None


def _placed(section: Section) -> Iterator[Block]:
    """The blocks that stand where they are read."""
    own, parts = markup.sections(section.blocks, 3)
    yield from (block for block in own if block.name == "given")
    for part in parts:
        if part.heading.text.strip().casefold() == "answer":
            yield from (block for block in part.blocks if block.name in _ANSWERS)


def _near(said: str) -> str:
    from difflib import get_close_matches  # only wanted where something is wrong

    return next(iter(get_close_matches(said.casefold().strip("{}.:"), PLACES, 1, 0.5)), "")


def _guess(block: Block) -> str:
    """The name that a block should have had, by what stands in it."""
    keys = set(_KEYS.findall(block.text))
    if "scene" in keys:
        return "figure"
    if _RANGED.search(block.text):
        return "given"
    answers = (kind for kind, known in _ANSWERS.items() if keys and keys <= known.keys())
    return next(answers, "given" if _LISTED.search(block.text) else "")
