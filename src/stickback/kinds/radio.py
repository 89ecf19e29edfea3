"""Radio: a read-back, or a call the pilot starts, marked item by item as `trade.examiner` does it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from stickback.kinds.protocol import Mark, Part, Point, Reading, Shown, Values
from stickback.radio import aloud, atoms, examiner
from stickback.radio import rules as radio_rules
from stickback.radio.exchange import Exchange
from stickback.reading import fill
from stickback.reading.markup import Block, inline
from stickback.reading.problem import Problem

NAME = "radio"
REPEATED = "say again"

_REPEATED = re.compile(rf"(?:\s*{REPEATED}\s*(?::|$))+", re.IGNORECASE)
_MOST_ITEMS = 20  # of one transmission; more than three are already too many (CAP 413 2.8)
_REFUSAL = "or: unable"
_FIRST_RULES = "icao"  # of a question that names no phraseology


@dataclass(frozen=True)
class Radio:
    """The body of a radio question; all texts may hold `{{ values }}`.

    Args:
        heard: the transmission as inline Markdown, nothing in bold; empty where there is none.
        wanted: what must be said, beside the callsign.
        model: a right answer that was written; empty where it follows from the items.
        slip: the transmission is a bad one, and the right one is asked for.
        marked: the items are those in bold in the transmission.
    """

    heard: str
    wanted: tuple[str, ...]
    model: str
    phraseology: str
    station: str
    unable: bool
    slip: bool
    marked: bool


def reads(part: Part) -> bool:
    """An `### Answer` that begins with a block quote; or no answer, and a block quote with something in bold."""
    if section := part.parts.get("answer"):
        return bool(section.blocks) and section.blocks[0].kind == "quote"
    quote = _last_quote(part.prompt)
    return quote is not None and bool(_bold(_text(quote)))


def _last_quote(blocks: tuple[Block, ...]) -> Block | None:
    return next((block for block in reversed(blocks) if block.kind == "quote"), None)


def _text(quote: Block) -> str:
    return " ".join(" ".join(child.text.split()) for child in quote.children if child.kind == "paragraph")


@lru_cache(maxsize=128)
def _read(text: str) -> tuple[str, tuple[str, ...]]:
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


def _bold(text: str) -> tuple[str, ...]:
    return _read(text)[1]


@dataclass(frozen=True)
class _Written:
    """What stands in a question: its two quotes as inline Markdown, and what else stands under `### Answer`."""

    heard: str
    model: str
    slip: str
    more: tuple[Block, ...]
    place: tuple[int, int]

    @property
    def wanted(self) -> tuple[str, ...]:
        """What is in bold: in the answer, else in the transmission."""
        return _bold(self.model) or (() if self.slip else _bold(self.heard))

    @property
    def extra(self) -> tuple[Block, ...]:
        """What is not read."""
        return tuple(block for block in self.more if not _refuses(block))


def _written(part: Part) -> _Written:
    section, quote = part.parts.get("answer"), _last_quote(part.prompt)
    first, *more = section.blocks if section else (None,)
    line = next(block.line for block in (first, quote, part.section.heading) if block)
    texts = _text(quote) if quote else "", _text(first) if first else ""
    return _Written(*texts, part.settings.get("slip", ""), tuple(more), (line, 1))


def _refuses(block: Block) -> bool:
    return " ".join(block.text.casefold().split()).rstrip(".") == _REFUSAL


def parse(part: Part) -> Reading:
    """The transmission, what must be said, and the model answer."""
    written, quote = _written(part), _last_quote(part.prompt)
    if wrong := next(_faults(part, written), None):
        place, code, message, hint = wrong
        return None, part.prompt, [Problem(part.file, *place, code, message, hint)]
    slip, rules, station = (part.settings.get(key, "") for key in ("slip", "phraseology", "station"))
    body = Radio(
        _read(written.heard)[0],
        written.wanted,
        _read(written.model)[0],
        rules if rules in radio_rules.READ_BACK else _FIRST_RULES,
        station if station in radio_rules.STATIONS else "tower",
        len(written.extra) < len(written.more),
        bool(slip),
        bool(_bold(written.heard)) and not slip,
    )
    return body, part.prompt if slip else tuple(block for block in part.prompt if block is not quote), []


def _faults(part: Part, written: _Written) -> Iterator[tuple[tuple[int, int], str, str, str]]:
    """(place, code, message, hint), the first of which is told."""
    heard, model, wanted, slip = written.heard, written.model, written.wanted, written.slip
    if slip not in {"", "yes"}:
        hint = "write slip=yes, or delete it"
        yield part.places["slip"], "attribute-value", f"'slip' cannot be '{slip}'.", hint
    if written.extra:
        message, hint = "This is not read: the answer is one block quote.", "put it under `### Why`"
        yield (written.extra[0].line, 1), "answer-form", message, hint
    if slip and not (heard and model):
        message = "A slip needs the bad call, and the right one under `### Answer`, both as block quotes."
        yield part.places["slip"], "radio-form", message, "write each with `> ` before it"
    if len(wanted) > _MOST_ITEMS or max(map(len, (heard, model))) > atoms.MOST:
        message = f"More than is said at once: {_MOST_ITEMS} items and {atoms.MOST} characters at the most."
        yield written.place, "radio-form", message, "divide it"
    if not wanted and not (heard and model):
        message, hint = "Nothing is listened for in this call.", "put what must be said in **bold**"
        yield written.place, "radio-form", message, hint


def _body(body: object) -> Radio:
    assert isinstance(body, Radio)  # noqa: S101 - the table of kinds pairs bodies with modules
    return body


def describe(body: object) -> str:
    """What is asked for, and how many items beside the callsign."""
    radio = _body(body)
    many = "1 item" if len(radio.wanted) == 1 else f"{len(radio.wanted)} items"
    what = "slip" if radio.slip else "reply" if radio.heard else "call"
    return f"{what}, {many} and the callsign, {radio.phraseology}{', or unable' if radio.unable else ''}"


def chance(body: object) -> float:
    """Nobody guesses a read-back."""
    _body(body)
    return 0.0


def present(body: object, seed: int, values: Values) -> Shown:
    """The transmission, and how long it takes to say; a slip stays in the prompt, to be put right."""
    radio = _body(body)
    if radio.slip or not radio.heard:
        return Shown("radio")
    return Shown("radio", text=radio.heard, seconds=aloud.seconds(fill.plain(radio.heard, values), radio.phraseology))


def understand(body: object, text: str) -> str | None:
    """Anything with a word or figure in it, as it was typed."""
    typed = " ".join(atoms.clean(text).split())
    return typed if atoms.atoms(said(typed)) else None


def said(given: str) -> str:
    """An answer without the note that the transmission was asked for once more."""
    return _REPEATED.sub("", given).strip()


def expects(body: object) -> str:
    """What an answer looks like."""
    _body(body)
    return "what you would say, figures and letters written or spoken"


def exchange_of(body: object, values: Values) -> Exchange:
    """The exchange with its values."""
    radio = _body(body)
    return Exchange(
        tuple(fill.plain(text, values) for text in radio.wanted),
        values.get("callsign", ""),
        radio.phraseology,
        radio.station,
        "" if radio.slip else fill.plain(radio.heard, values),
        fill.plain(radio.model, values),
        radio.unable,
        values.get("name", ""),
    )


def mark(body: object, seed: int, given: str, values: Values) -> Mark:
    """Right when every item and the callsign were said and nothing was claimed that was not given."""
    verdict = examiner.mark(exchange_of(body, values), said(given))
    return Mark(verdict.right, verdict.score, verdict.remarks)


def answer(body: object, seed: int, values: Values) -> tuple[Point, ...]:
    """A right answer."""
    return (Point(exchange_of(body, values).written),)


def texts(body: object) -> tuple[str, ...]:
    """The transmission, the items and the model."""
    radio = _body(body)
    return (radio.heard, *radio.wanted, radio.model)
