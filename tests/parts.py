"""A question of a deck as a kind reads it, from its text alone."""

from stickback.kinds.protocol import Written
from stickback.reading import document
from stickback.reading.markup import sections

HEADED = (1, 25)  # where every attribute stands


def part_of(text: str, **settings: str) -> Written:
    """The first question of a text, with the attributes of its heading."""
    read = document.of_text(text, "deck.md")
    _, (section,) = sections(read.blocks, 2)
    prompt, parts = sections(section.blocks, 3)
    named = {each.heading.text.casefold(): each for each in parts}
    return Written(
        file=read.file,
        section=section,
        prompt=prompt,
        sections=named,
        settings=settings,
        places=dict.fromkeys(settings, HEADED),
        lines=read.lines,
        broken=read.broken,
    )
