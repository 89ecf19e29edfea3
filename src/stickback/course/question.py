"""Question: one `##` section of a deck, read by the kind whose form its answer has."""

import re
from bisect import bisect_left
from collections.abc import Iterator
from hashlib import blake2b

from stickback.course import fences, front
from stickback.course.course import Inside, Question
from stickback.formulas import given
from stickback.formulas.given import Draws
from stickback.kinds.protocol import Kind, Reading, Written
from stickback.kinds.table import KINDS
from stickback.reading import attribute
from stickback.reading.attribute import Attributes
from stickback.reading.document import Document
from stickback.reading.markup import Block, Section, sections
from stickback.reading.problem import At, Problem, errors
from stickback.reading.scan import Reference

AGAIN = "again"  # of `asks`: who knew the old answer meets the question as unseen
NO_TOPIC = "topic-missing"
SECTIONS = ("answer", "fails if said", "hint", "why")

_OF_A_KIND = frozenset(name for kind in KINDS.values() for name in kind.ATTRIBUTES)
HEADING = frozenset({"topic", "then", "sides", "asks"}) | _OF_A_KIND  # attributes that restrict nothing
_SECTION = re.compile(
    rf"[*_]{{0,3}}({'|'.join(SECTIONS)})(?:[*_]{{0,3}}:?[*_]{{0,3}}$|(?P<text>[*_]{{0,3}}:[*_]{{0,3}}\s))",
    re.IGNORECASE,
)


def section_name(heading: Block) -> str:
    """The name of a `###` section."""
    return " ".join(heading.text.casefold().split())


def read(
    document: Document, section: Section, topic_of_deck: str | None, references: list[Reference]
) -> tuple[Question | None, list[Problem]]:
    """The question of a section.

    Args:
        topic_of_deck: empty where it says none; None where that cannot be told.
        references: all of the deck to values, in order.
    """
    title, attributes, problems = attribute.attributes(section.heading, document.lines, document.file, tail=True)
    if not title.strip():
        return None, problems or [_untitled(document, section)]
    topic = attributes.values.get("topic") or topic_of_deck
    if not problems:
        problems = front.wrong_id(document, section, attributes, title)
        problems += _no_topic(document, section) if topic == "" else []
    if not document.broken.isdisjoint(range(section.heading.line, section.end + 1)):
        return None, problems  # what hides there was named, and what it was meant as is not known
    prompt, parts = sections(section.blocks, 3)
    named, misread = _named(document, parts)
    misread += _misread(document, section)
    draws, prompt, undrawn = _given(document, prompt)
    written = _written(document, section, attributes, prompt, named)
    body, prompt, wrong = _body(written)
    problems += [*misread, *undrawn, *(each for each in wrong if not (misread and _follows(each)))]
    if errors(problems) or body is None or not topic:
        return None, problems
    why, hint = (named[name].blocks if name in named else () for name in ("why", "hint"))
    used = _names(references, section.heading.line, section.end)
    inside = Inside(body=body, draws=draws, prompt=prompt, why=why, hint=hint)
    return _question(written, attributes.id, title, topic, used, inside), problems


def _untitled(document: Document, section: Section) -> Problem:
    place = At(document.file, section.heading.line, 1)
    return Problem(place, "heading-empty", "This heading has no title.", "write the question")


def _follows(problem: Problem) -> bool:
    """Whether it may follow from something that is misread: that may have been the answer."""
    return problem.code.startswith("answer-")


def _written(
    document: Document, section: Section, found: Attributes, prompt: tuple[Block, ...], named: dict[str, Section]
) -> Written:
    return Written(
        file=document.file,
        section=section,
        prompt=prompt,
        sections=named,
        settings=found.values,
        places=found.places,
        lines=document.lines,
        broken=document.broken,
    )


def _question(written: Written, name: str, title: str, topic: str, uses: frozenset[str], inside: Inside) -> Question:
    """The question of a section in which nothing is wrong; `uses` are the values in its texts."""
    body, draws, settings = inside.body, inside.draws, written.settings
    first, end = written.section.heading.line, written.section.end
    return Question(
        id=name,
        topic=topic,
        kind=body.NAME,
        title=title,
        only={key: value for key, value in settings.items() if key not in HEADING},
        uses=(uses | draws.needs | body.uses()) - draws.defines,
        guess=body.chance(),
        then=settings.get("then", ""),
        revision=_digest(written.lines[first - 1 : end]),
        key=body.key(),
        asks_again="asks" in settings,
        file=written.file,
        line=first,
        end=end,
        places=written.places,
        read_inside=lambda _: inside,
    )


def _misread(document: Document, section: Section) -> list[Problem]:
    """Blocks and lines that are meant as a part of the question and are not read as one."""
    problems = list(fences.wrong(document, section, section.blocks))
    for block in section.blocks:
        if block.kind == "paragraph" and (match := _SECTION.match(block.text.strip())):
            message, hint = "This is meant as the heading of a section.", f"write `### {match[1].capitalize()}`"
            hint += " and the text below it" * bool(match["text"])
            problems.append(Problem(At(document.file, block.line, 1), "section-form", message, hint))
    return problems


def _given(document: Document, prompt: tuple[Block, ...]) -> tuple[Draws, tuple[Block, ...], list[Problem]]:
    """What is drawn for the question, and the prompt without the block that says it."""
    fences = [block for block in prompt if block.name == "given"]
    rest = tuple(block for block in prompt if block not in fences)
    if not fences:
        return Draws(), rest, []
    draws, problems = given.read(fences[0].text, document.file, fences[0].line + 1)
    for block in fences[1:]:
        message, hint = "This question has a second `given` block.", "write all names into one block"
        problems.append(Problem(At(document.file, block.line, 1), "given-form", message, hint))
    return draws, rest, problems


def _names(references: list[Reference], first: int, last: int) -> frozenset[str]:
    """The names of the values that are used on some lines."""
    begin, end = (bisect_left(references, line, key=lambda each: each.line) for line in (first, last + 1))
    return frozenset(each.text for each in references[begin:end])


def _digest(lines: tuple[str, ...]) -> str:
    text = "\n".join(line.rstrip() for line in lines)
    return blake2b(text.encode(errors="replace"), digest_size=6).hexdigest()


def _no_topic(document: Document, section: Section) -> list[Problem]:
    line = section.heading.end
    message = "This question does not say its topic."
    hint = "add `topic=…` to the braces, or `topic: …` to the front matter for the whole deck"
    return [Problem(At(document.file, line, len(document.lines[line - 1]) + 1), NO_TOPIC, message, hint)]


def _named(document: Document, parts: list[Section]) -> tuple[dict[str, Section], list[Problem]]:
    """The `###` sections by name, and those that are unknown; where none is, those that stand twice."""
    named: dict[str, Section] = {}
    unknown, doubled = [], []
    for part in parts:
        name, title = section_name(part.heading), part.heading.text.strip()
        place = (document.file, part.heading.line, 1)
        if name not in SECTIONS:
            message = f"Questions have no section '{title}'."
            unknown.append(Problem(At(*place), "section-unknown", message, _meant(name)))
        elif name in named:
            message = f"The section '{title}' stands twice in this question."
            doubled.append(Problem(At(*place), "section-doubled", message, "put both texts under one heading"))
        else:
            named[name] = part
    return named, unknown or doubled


def _meant(name: str) -> str:
    """What to write for a section that questions do not have."""
    if name.endswith("?") and len(name.split()) > 1:
        return "a question has two `#` signs: write `## ` and the question"
    if found := front.nearest(SECTIONS)(attribute.BRACES.sub("", name).strip(" :*")):
        return f"did you mean `### {found.capitalize()}`?"
    return "use one of: ### Answer, ### Fails if said, ### Hint, ### Why"


def _body(written: Written) -> Reading:
    """What its kind reads; of a line that is nearly an answer nothing that follows is wrong."""
    if near := [problem for kind in KINDS.values() for problem in kind.near_misses(written)]:
        return None, (), near
    kind = next((kind for kind in KINDS.values() if kind.reads(written)), None)
    if kind is None:
        return None, (), _no_answer(written)
    body, prompt, problems = kind.parse(written)
    return body, prompt, [*problems, *_attributes(written, kind), *_asks(written)]


def _asks(written: Written) -> Iterator[Problem]:
    if written.settings.get("asks", AGAIN) != AGAIN:
        place = At(written.file, *written.places["asks"])
        message = f"'asks' cannot be '{written.settings['asks']}'."
        yield Problem(place, "attribute-value", message, f"write asks={AGAIN}, or delete it")


def _attributes(written: Written, kind: type[Kind]) -> Iterator[Problem]:
    """Attributes that only some kinds have, on a kind that has them not or with a value that it does not know."""
    for key in sorted(_OF_A_KIND & written.settings.keys()):
        place, value = (written.file, *written.places[key]), written.settings[key]
        allowed, _ = kind.ATTRIBUTES.get(key, ((), ""))
        if not allowed:
            message = f"A question of this kind ({kind.NAME}) has no '{key}'."
            yield Problem(At(*place), "attribute-unknown", message, "delete it")
        elif value not in allowed:
            hint = f"write {key}={' or '.join(allowed)}, or delete it"
            yield Problem(At(*place), "attribute-value", f"'{key}' cannot be '{value}'.", hint)


def _no_answer(written: Written) -> list[Problem]:
    if "answer" not in written.sections:
        message = "This question has neither options nor an answer."
        hint = "write a list of `- [ ] ` and `- [x] ` options, or `### Answer`"
        return [Problem(At(written.file, written.section.heading.line, 1), "answer-missing", message, hint)]
    section = written.sections["answer"]
    if not section.blocks:
        message, hint = "This answer is empty.", "write a bullet list of the points to listen for"
        return [Problem(At(written.file, section.heading.line, 1), "answer-empty", message, hint)]
    message = "An answer in this form is not read."
    hint = "write a bullet list of the points to listen for, or one paragraph"
    return [Problem(At(written.file, section.blocks[0].line, 1), "answer-form", message, hint)]
