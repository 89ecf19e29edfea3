"""A question of a deck as a kind reads it, from its text alone."""

from stickback.kinds.protocol import Written
from stickback.reading import document
from stickback.reading.markup import sections


def part_of(text: str) -> Written:
    """The first question of a text, without attributes."""
    read = document.of_text(text, "deck.md")
    _, (section,) = sections(read.blocks, 2)
    prompt, parts = sections(section.blocks, 3)
    named = {each.heading.text.casefold(): each for each in parts}
    return Written(
        file=read.file,
        section=section,
        prompt=prompt,
        sections=named,
        settings={},
        places={},
        lines=read.lines,
        broken=read.broken,
    )
