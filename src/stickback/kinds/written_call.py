"""A transmission or a call as an author writes it: block quotes, with what must be said in bold."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from stickback.kinds.protocol import Written
from stickback.radio import atoms
from stickback.radio.exchange import BREAK
from stickback.reading.markup import Block, every, inline

_CALLS = re.compile(r"\{\{\s*callsign")
_SIGN = re.compile(r"\{\{\s*callsign(?:_short)?\s*\}\}")
_MOST_ITEMS = 20  # of one transmission; more than three are already too many (CAP 413 2.8)
_REFUSAL = "or: unable"
_NEARLY_REFUSAL = re.compile(
    r"^[*_`]*or[*_`]*\s?[:,;-]?[*_`]*\s+[*_`]*un\w{2,6}[*_`]*\.?[*_`]*$", re.IGNORECASE | re.MULTILINE
)


def nearly(written: Written, blocks: tuple[Block, ...], *, answered: bool) -> tuple[int, str, str]:
    """The line of what is nearly a call, what is wrong with it and what to write; no line where nothing is."""
    if any(block.kind in {"bullets", "numbers"} for block in blocks):
        return 0, "", ""
    quote, said = last_quote(blocks), next((block for block in blocks if _CALLS.search(block.text)), None)
    if quote is None and said is not None and (not answered or {"phraseology", "station"} & written.settings.keys()):
        return said.line, "A call is not read unless it stands in a block quote.", "begin its line with `> `"
    if quote is not None and not answered and not bold(text_of(quote)):
        return quote.line, "Nothing in this transmission is in bold.", "put what must be read back in **bold**"
    return 0, "", ""


def last_quote(blocks: tuple[Block, ...]) -> Block | None:
    """The transmission, or the bad call that is put right, among the blocks above the answer."""
    return next((block for block in reversed(blocks) if block.kind == "quote"), None)


def scene(written: Written, quote: Block | None) -> str:
    """What the question tells, beside the transmission or the call that is put right."""
    told = (written.section.heading, *every(tuple(block for block in written.prompt if block is not quote)))
    return " ".join(". ".join(block.text for block in told if block.text).split())


def text_of(quote: Block) -> str:
    """Its transmissions, each a paragraph."""
    return BREAK.join(" ".join(child.text.split()) for child in quote.children if child.kind == "paragraph")


@lru_cache(maxsize=128)
def plain_and_bold(text: str) -> tuple[str, tuple[str, ...]]:
    """A text without its emphasis, and what stands in bold in it, each run one item; read once, asked for often."""
    plain, found, depth = "", list[str](), 0
    for token in inline(text):
        said = token.content if token.type in {"text", "code_inline"} else " " * (token.type == "softbreak")
        plain += said
        if token.type == "strong_open":
            depth += 1
            found += [""] if depth == 1 else []
        elif token.type == "strong_close":
            depth -= 1
        elif depth:
            found[-1] += said
    return " ".join(plain.split()), tuple(" ".join(each.split()) for each in found)


def bold(text: str) -> tuple[str, ...]:
    """What stands in bold in a text."""
    return plain_and_bold(text)[1]


@dataclass(frozen=True)
class Script:
    """What stands in a question: its two quotes as inline Markdown, and what else stands under `### Answer`."""

    heard: str
    model: str
    slip: str
    more: tuple[Block, ...]
    place: tuple[int, int]

    @property
    def wanted(self) -> tuple[str, ...]:
        """What is in bold: in the answer, else in the transmission."""
        return bold(self.model) or (() if self.slip else bold(self.heard))

    @property
    def extra(self) -> tuple[Block, ...]:
        """What is not read."""
        return tuple(block for block in self.more if not _refuses(block))


def script_of(written: Written) -> Script:
    """What the question says of its transmission and its call."""
    quote = last_quote(written.prompt)
    first, *more = written.answer or (None,)
    line = next(block.line for block in (first, quote, written.section.heading) if block)
    texts = text_of(quote) if quote else "", text_of(first) if first else ""
    return Script(*texts, written.settings.get("slip", ""), tuple(more), (line, 1))


def _refuses(block: Block) -> bool:
    return " ".join(block.text.casefold().split()).rstrip(".") == _REFUSAL


def faults(written: Written, script: Script) -> Iterator[tuple[tuple[int, int], str, str, str]]:
    """(place, code, message, hint), the first of which is told."""
    heard, model, wanted, slip = script.heard, script.model, script.wanted, script.slip
    yield from _misplaced(written)
    if script.extra:
        message, hint = "This is not read: the answer is one block quote.", "put it under `### Why`"
        if _NEARLY_REFUSAL.match(script.extra[0].text.strip()):
            hint = f"did you mean `{_REFUSAL}`?"
        yield (script.extra[0].line, 1), "answer-form", message, hint
    if slip and not (heard and model):
        message = "A slip needs the bad call, and the right one under `### Answer`, both as block quotes."
        yield written.places["slip"], "radio-form", message, "write each with `> ` before it"
    if len(wanted) > _MOST_ITEMS or max(map(len, (heard, model))) > atoms.MOST:
        message = f"More than is said at once: {_MOST_ITEMS} items and {atoms.MOST} characters at the most."
        yield script.place, "radio-form", message, "divide it"
    for text in wanted:
        if _SIGN.search(text):
            message = "The callsign is always listened for, and is no item."
            yield script.place, "radio-form", message, "take its bold off"
    if not wanted and not (heard and model):
        message, hint = "Nothing is listened for in this call.", "put what must be said in **bold**"
        yield script.place, "radio-form", message, hint


def _misplaced(written: Written) -> Iterator[tuple[tuple[int, int], str, str, str]]:
    """What is meant to be marked by and stands where it is not: a refusal, a transmission before the last."""
    message, answer = f"`{_REFUSAL}` is not read here.", written.sections.get("answer")
    others = [block for part in written.sections.values() if part is not answer for block in part.blocks]
    called = answer.blocks[0].children if answer else ()
    for block in every((*written.prompt, *others, *called)):
        if block.kind == "paragraph" and (match := _NEARLY_REFUSAL.search(block.text)):
            hint = "put an empty line above it" if block in called else "put it under `### Answer`, below the call"
            yield (block.line + block.text[: match.start()].count("\n"), 1), "answer-form", message, hint
    for block in written.prompt:
        if block.kind == "quote" and block is not last_quote(written.prompt) and bold(text_of(block)):
            message = "Only the last block quote is the transmission: nothing is listened for in this one."
            hint = "join the two with a line of `>` alone, or take the bold off this one"
            yield (block.line, 1), "radio-form", message, hint
