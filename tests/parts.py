"""A question of a deck as a kind reads it, from its text alone."""

from stickback.kinds.protocol import Part
from stickback.reading import document
from stickback.reading.markup import sections


def part_of(text: str) -> Part:
    """The first question of a text, without attributes."""
    read = document.read(text, "deck.md")
    _, (section,) = sections(read.blocks, 2)
    prompt, parts = sections(section.blocks, 3)
    named = {each.heading.text.casefold(): each for each in parts}
    return Part(
        file=read.file,
        section=section,
        prompt=prompt,
        parts=named,
        settings={},
        places={},
        lines=read.lines,
        broken=read.broken,
    )
