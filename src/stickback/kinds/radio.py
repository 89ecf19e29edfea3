"""Radio: a read-back, or a call the pilot starts, marked item by item as `radio.examiner` does it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from stickback import amount
from stickback.kinds import written_call
from stickback.kinds.protocol import Draw, Fault, Kind, Reading, Written
from stickback.kinds.shown import REPEATED, Compared, Mark, Point, Shown, Unclear, Values
from stickback.radio import aloud, atoms, examiner, proof
from stickback.radio import rules as radio_rules
from stickback.radio.exchange import BREAK, Exchange
from stickback.reading import fill
from stickback.reading.problem import At, Problem

# A run of spaces is looked at once, from its beginning.
_REPEATED = re.compile(rf"(?:(?<!\s)\s*+{REPEATED}\s*+(?::|$))+", re.IGNORECASE)
_SLIP = "the transmission is a bad call that is to be put right; the right one stands under `### Answer`"
_CLEAR = ", ".join(name for name, station in radio_rules.STATIONS.items() if station.clears)
_STATION = f"who is talked to, else a tower: {_CLEAR} clears; where nobody does, the pilot says what he does himself"
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
        "`or: unable` under `### Answer`, on a line of its own below the call, takes a refusal too.",
        "Only the last block quote above `### Answer` is the transmission; one before it is shown and says the scene.",
        "With `slip=yes` that last quote is the bad call; what was said to the pilot may stand in one before it.",
        "The heading names the phraseology (icao, where it does not), and the station where it is no tower.",
    )
    MORE_EXAMPLES: ClassVar = (
        """## Cross, or refuse {#crossing}

> {{ callsign_short }}, cross runway 09

### Answer

> **Crossing runway 09**, {{ callsign_short }}

or: unable""",
        """## Put this answer right {#bad-answer slip=yes}

> {{ callsign_short }}, hold short of runway 27

The pilot said:

> Roger, {{ callsign_short }}

### Answer

> **Holding short runway 27**, {{ callsign_short }}""",
    )
    ATTRIBUTES: ClassVar = {"slip": (("yes",), _SLIP), "station": (tuple(radio_rules.STATIONS), _STATION)}
    DRAWS: ClassVar = 15  # each is heard, and the first answered in a dozen ways

    @classmethod
    def reads(cls, written: Written) -> bool:
        """An `### Answer` that begins with a block quote; or no answer, and a block quote with something in bold."""
        if "answer" in written.sections:
            return any(block.kind == "quote" for block in written.answer[:1])
        quote = written_call.last_quote(written.prompt)
        return quote is not None and bool(written_call.bold(written_call.text_of(quote)))

    @classmethod
    def near_misses(cls, written: Written) -> list[Problem]:
        """A transmission or call without its quotation marks, or with nothing in bold."""
        answered = "answer" in written.sections
        blocks = written.answer if answered else written.prompt
        place, message, hint = written_call.nearly(written, blocks, answered=answered)
        return [Problem(At(written.file, place, 1), "radio-form", message, hint)] if place else []

    @classmethod
    def parse(cls, written: Written) -> Reading:
        """The transmission, what must be said, and the model answer."""
        script, quote = written_call.script_of(written), written_call.last_quote(written.prompt)
        if wrong := next(written_call.faults(written, script), None):
            place, code, message, hint = wrong
            return None, written.prompt, [Problem(At(written.file, *place), code, message, hint)]
        slip, rules, station = (written.settings.get(key, "") for key in ("slip", "phraseology", "station"))
        body = cls(
            heard=written_call.plain_and_bold(script.heard)[0],
            wanted=script.wanted,
            model=written_call.plain_and_bold(script.model)[0],
            phraseology=rules if rules in radio_rules.READ_BACK else _FIRST_RULES,
            station=station if station in radio_rules.STATIONS else "tower",
            unable=len(script.extra) < len(script.more),
            slip=bool(slip),
            marked=bool(written_call.bold(script.heard)) and not slip,
            scene=written_call.scene(written, quote),
        )
        return body, written.prompt if slip else tuple(block for block in written.prompt if block is not quote), []

    def describe(self) -> str:
        """What is asked for, and how many items beside the callsign."""
        if self.exchange({}).silent:
            return f"reply, nothing to be said, {self.phraseology}"
        what = "slip" if self.slip else "reply" if self.heard else "call"
        items = f"{amount.many(len(self.wanted), 'item')} and the callsign" if self.wanted else "the callsign alone"
        station = "" if self.station == "tower" else f", {self.station}"
        return f"{what}, {items}, {self.phraseology}{station}{', or unable' if self.unable else ''}"

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
            scene=fill.plain(written_call.plain_and_bold(self.scene)[0], values),
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


def said(given: str) -> str:
    """An answer without the note that the transmission was asked for once more."""
    return _REPEATED.sub("", given).strip()
