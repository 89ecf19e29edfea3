"""Radio: a read-back, or a call the pilot starts, marked item by item as `radio.examiner` does it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from stickback.kinds.protocol import Draw, Fault, Kind, Reading, Written
from stickback.kinds.shown import REPEATED, Compared, Mark, Point, Shown, Unclear, Values
from stickback.radio import aloud, atoms, examiner, proof
from stickback.radio import rules as radio_rules
from stickback.radio.exchange import BREAK, Exchange
from stickback.reading import fill
from stickback.reading.markup import Block, inline
from stickback.reading.problem import At, Problem

# A run of spaces is looked at once, from its beginning.
_REPEATED = re.compile(rf"(?:(?<!\s)\s*+{REPEATED}\s*+(?::|$))+", re.IGNORECASE)
_CALLS = re.compile(r"\{\{\s*callsign")
_SIGN = re.compile(r"\{\{\s*callsign(?:_short)?\s*\}\}")
_MOST_ITEMS = 20  # of one transmission; more than three are already too many (CAP 413 2.8)
_SLIP = "the transmission is a bad call that is to be put right; the right one stands under `### Answer`"
_REFUSAL = "or: unable"
_NO_ANSWER = "9999"
_FIRST_RULES = "icao"  # of a question that names no phraseology


@dataclass(frozen=True, kw_only=True)
class Radio(Kind):
    """A radio question; all texts may hold `{{ values }}`.

    Args:
        heard: the transmission as inline Markdown, nothing in bold; empty where there is none.
        wanted: what must be said, beside the callsign.
        model: a right answer that was written; empty where it follows from the items.
        slip: the transmission is a bad one, and the right one is asked for.
        marked: the items are those in bold in the transmission.
        scene: what else the question tells, with its emphasis.
    """

    heard: str
    wanted: tuple[str, ...]
    model: str
    phraseology: str
    station: str
    unable: bool
    slip: bool
    marked: bool
    scene: str = ""

    NAME: ClassVar = "radio"
    EXAMPLE: ClassVar = "> {{ callsign_short }}, **hold position**"
    RULES: ClassVar = (
        "What must be read back stands in **bold**, each item by itself, a value with its word: **QNH {{ qnh }}**.",
        "The callsign is always listened for, and stands in no bold.",
        "A call that the pilot starts stands in a block quote under `### Answer`, its needed parts in bold.",
        "`or: unable` below it takes a refusal too.",
        "The heading names the phraseology (icao, where it does not), and the station where it is no tower.",
    )
    ATTRIBUTES: ClassVar = {"slip": (("yes",), _SLIP)}
    DRAWS: ClassVar = 15  # each is heard, and the first answered in a dozen ways

    @classmethod
    def reads(cls, written: Written) -> bool:
        """An `### Answer` that begins with a block quote; or no answer, and a block quote with something in bold."""
        if section := written.sections.get("answer"):
            return bool(section.blocks) and section.blocks[0].kind == "quote"
        quote = _last_quote(written.prompt)
        return quote is not None and bool(_bold(_text(quote)))

    @classmethod
    def near_misses(cls, written: Written) -> list[Problem]:
        """A transmission or call without its quotation marks, or with nothing in bold."""
        section = written.sections.get("answer")
        place, message, hint = _nearly(
            written, section.blocks if section else written.prompt, answered=section is not None
        )
        return [Problem(At(written.file, place, 1), "radio-form", message, hint)] if place else []

    @classmethod
    def parse(cls, written: Written) -> Reading:
        """The transmission, what must be said, and the model answer."""
        script, quote = _script(written), _last_quote(written.prompt)
        if wrong := next(_faults(written, script), None):
            place, code, message, hint = wrong
            return None, written.prompt, [Problem(At(written.file, *place), code, message, hint)]
        slip, rules, station = (written.settings.get(key, "") for key in ("slip", "phraseology", "station"))
        body = cls(
            heard=_read(script.heard)[0],
            wanted=script.wanted,
            model=_read(script.model)[0],
            phraseology=rules if rules in radio_rules.READ_BACK else _FIRST_RULES,
            station=station if station in radio_rules.STATIONS else "tower",
            unable=len(script.extra) < len(script.more),
            slip=bool(slip),
            marked=bool(_bold(script.heard)) and not slip,
            scene=_scene(written, quote),
        )
        return body, written.prompt if slip else tuple(block for block in written.prompt if block is not quote), []

    def describe(self) -> str:
        """What is asked for, and how many items beside the callsign."""
        if self.exchange({}).silent:
            return f"reply, nothing to be said, {self.phraseology}"
        many = "1 item" if len(self.wanted) == 1 else f"{len(self.wanted)} items"
        what = "slip" if self.slip else "reply" if self.heard else "call"
        return f"{what}, {many} and the callsign, {self.phraseology}{', or unable' if self.unable else ''}"

    def texts(self) -> tuple[str, ...]:
        """The transmission, the items and the model."""
        return (self.heard, *self.wanted, self.model)

    def solution(self) -> tuple[str, ...]:
        """What must be said, and by which phraseology."""
        return (*self.wanted, self.model, self.phraseology, "or unable" if self.unable else "")

    def show(self, seed: int, values: Values) -> Shown:
        """The transmission, and how long it takes to say; a slip stays in the prompt, to be put right."""
        expects = "what you would say, figures and letters written or spoken, or `nothing`"
        if self.slip or not self.heard:
            return Shown(manner="line", expects=expects)
        seconds = aloud.seconds(fill.plain(self.heard, values), self.phraseology)
        return Shown(manner="line", expects=expects, heard=tuple(self.heard.split(BREAK)), seconds=seconds)

    def understand(self, typed: str, values: Values) -> str | Unclear:
        """Anything with a word or figure in it, as it was typed."""
        given = " ".join(atoms.clean(typed).split())
        words = [atom for atom in atoms.atoms(said(given)) if atom.text != atoms.ASKED]
        return given if words else Unclear("no word was typed")

    def exchange(self, values: Values) -> Exchange:
        """The exchange with its values."""
        return Exchange(
            wanted=tuple(fill.plain(text, values) for text in self.wanted),
            callsign=values.get("callsign", ""),
            phraseology=self.phraseology,
            station=self.station,
            heard="" if self.slip else fill.plain(self.heard, values),
            model=fill.plain(self.model, values),
            unable=self.unable,
            name=values.get("name", ""),
            scene=fill.plain(_read(self.scene)[0], values),
        )

    def mark(self, seed: int, given: str, values: Values) -> Mark:
        """Right when every item and the callsign were said and nothing was claimed that was not given."""
        verdict = examiner.mark(self.exchange(values), said(given))
        return Mark(verdict.right, verdict.score, verdict.remarks)

    def answer(self, seed: int, values: Values) -> tuple[Point, ...]:
        """A right answer."""
        return (Point(text=self.exchange(values).written),)

    def compare(self, seed: int, given: str, values: Values) -> Compared:
        """What was said, and one right way to say it."""
        return Compared(f"“{said(given)}”", self.answer(seed, values), example=True)

    def simulate(self, seed: int, values: Values, *, right: bool) -> str:
        """A right answer, or what is no answer to any transmission."""
        return self.exchange(values).written if right else _NO_ANSWER

    def prove(self, drawn: Draw) -> Iterator[Fault]:
        """What is right marks right, spoken or written, and nothing else does."""
        exchange = self.exchange(drawn.values)
        slip = fill.plain(self.heard, drawn.values) if self.slip else ""
        tried = proof.problems(exchange, slip=slip, marked=self.marked) if drawn.thorough else proof.rights(exchange)
        for code, message, hint in tried:
            yield Fault(code, message, hint, "warning" if code in proof.JUDGEMENT else "error")


def _nearly(written: Written, blocks: tuple[Block, ...], *, answered: bool) -> tuple[int, str, str]:
    """The line of what is nearly a call, what is wrong with it and what to write; no line where nothing is."""
    if any(block.kind in {"bullets", "numbers"} for block in blocks):
        return 0, "", ""
    quote, said = _last_quote(blocks), next((block for block in blocks if _CALLS.search(block.text)), None)
    if quote is None and said is not None and (not answered or {"phraseology", "station"} & written.settings.keys()):
        return said.line, "A call is not read unless it stands in a block quote.", "begin its line with `> `"
    if quote is not None and not answered and not _bold(_text(quote)):
        return quote.line, "Nothing in this transmission is in bold.", "put what must be read back in **bold**"
    return 0, "", ""


def _last_quote(blocks: tuple[Block, ...]) -> Block | None:
    return next((block for block in reversed(blocks) if block.kind == "quote"), None)


def _scene(written: Written, quote: Block | None) -> str:
    """What the question tells, beside the transmission or the call that is put right."""
    told = (written.section.heading, *(block for block in written.prompt if block is not quote))
    return " ".join(". ".join(block.text for block in told).split())


def _text(quote: Block) -> str:
    """Its transmissions, each a paragraph."""
    return BREAK.join(" ".join(child.text.split()) for child in quote.children if child.kind == "paragraph")


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
class _Script:
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


def _script(written: Written) -> _Script:
    section, quote = written.sections.get("answer"), _last_quote(written.prompt)
    first, *more = section.blocks if section else (None,)
    line = next(block.line for block in (first, quote, written.section.heading) if block)
    texts = _text(quote) if quote else "", _text(first) if first else ""
    return _Script(*texts, written.settings.get("slip", ""), tuple(more), (line, 1))


def _refuses(block: Block) -> bool:
    return " ".join(block.text.casefold().split()).rstrip(".") == _REFUSAL


def _faults(written: Written, script: _Script) -> Iterator[tuple[tuple[int, int], str, str, str]]:
    """(place, code, message, hint), the first of which is told."""
    heard, model, wanted, slip = script.heard, script.model, script.wanted, script.slip
    if script.extra:
        message, hint = "This is not read: the answer is one block quote.", "put it under `### Why`"
        yield (script.extra[0].line, 1), "answer-form", message, hint
    if slip and not (heard and model):
        message = "A slip needs the bad call, and the right one under `### Answer`, both as block quotes."
        yield written.places["slip"], "radio-form", message, "write each with `> ` before it"
    if len(wanted) > _MOST_ITEMS or max(map(len, (heard, model))) > atoms.MOST:
        message = f"More than is said at once: {_MOST_ITEMS} items and {atoms.MOST} characters at the most."
        yield script.place, "radio-form", message, "divide it"
    for text in wanted:
        if _SIGN.fullmatch(text):
            message = "The callsign is always listened for, and is no item."
            yield script.place, "radio-form", message, "take its bold off"
    if not wanted and not (heard and model):
        message, hint = "Nothing is listened for in this call.", "put what must be said in **bold**"
        yield script.place, "radio-form", message, hint


def said(given: str) -> str:
    """An answer without the note that the transmission was asked for once more."""
    return _REPEATED.sub("", given).strip()
