"""An exchange on the radio: what must be said, where the callsign belongs, and what else may be said."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from stickback.radio import atoms, callsign, faults, grammar, readback, rules, things, tokens
from stickback.radio.basis import Basis
from stickback.radio.readback import Fared, Item
from stickback.radio.things import Said, Thing
from stickback.radio.tokens import Heard, Token

BREAK = " — "  # between two transmissions
NOTHING = frozenset({"nothing", "none", "silence", "no answer", "say nothing"})
_URGENT = frozenset({"mayday", "pan", "go around", "stop", "cancel"})


@dataclass(frozen=True, kw_only=True)
class Exchange:
    """What an answer is held against.

    Args:
        wanted: what must be said, as it is written; the callsign is always wanted and is not among these.
        callsign: in full; `name`, of the aeroplane's type.
        heard: what the station said, and others, with `BREAK` between; empty where the pilot begins.
        model: a right answer, as it is written; empty where none was written; one of `NOTHING` where silence is right.
        unable: a refusal is right too.
        scene: what the question told, which who begins may say.
    """

    wanted: tuple[str, ...]
    callsign: str
    phraseology: str
    station: str = "tower"
    heard: str = ""
    model: str = ""
    unable: bool = False
    name: str = ""
    scene: str = ""

    @cached_property
    def forms(self) -> tuple[str, ...]:
        """Of the callsign."""
        return callsign.forms(self.callsign, self.phraseology, self.name)

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """What must be said, as tokens."""
        made = (readback.item(text, self.phraseology) for text in self.wanted)
        return tuple(
            one if self.heard else replace(one, others=one.others or rules.SAID_BY.get(one.words, ())) for one in made
        )

    @cached_property
    def told(self) -> str:
        """What was said to this aeroplane; what others were told is theirs."""
        parts = self.heard.split(BREAK)
        own = [part for part in parts if callsign.find(atoms.atoms(part), self.forms)]
        return self.heard if len(parts) == 1 else " ".join(own)

    @property
    def silent(self) -> bool:
        """Whether it is for somebody else, and nothing is to be said."""
        return self.model.strip("(). ").casefold() in NOTHING

    @property
    def written(self) -> str:
        """A right answer: the one that was written, or the items in their order with the callsign."""
        return self.model or self.composed()

    @cached_property
    def full(self) -> frozenset[str]:
        """Those forms of the callsign that leave nothing out."""
        return frozenset(callsign.full(self.callsign, self.phraseology, self.name))

    @property
    def said(self) -> tuple[str, ...]:
        """The items as they must be said, each with its unit."""
        return tuple(f"{one.text} {one.must}" if one.must and not one.unit else one.text for one in self.items)

    @cached_property
    def _words(self) -> frozenset[str]:
        """Words that an answer may hold, beside those of the radio everywhere."""
        found = {atom.text for text in (self.heard, self.model, *self.wanted) for atom in atoms.atoms(text)}
        return frozenset(word for word in found if len(word) > 1 and word.isalpha())

    def hear(self, text: str) -> Heard:
        """An answer, or what it is held against, taken to pieces."""
        if text not in self._heard:
            self._heard[text] = tokens.hear(text, self.forms, self._words, self.phraseology)
        return self._heard[text]

    @cached_property
    def _heard(self) -> dict[str, Heard]:
        """What was taken to pieces before: an answer and its parts are looked at again and again."""
        return {}

    @cached_property
    def _places(self) -> frozenset[str]:
        """Names of the stations in it."""
        heard = (self.hear(text) for text in (self.heard, self.model, self.scene, *self.wanted))
        said = [things.said(one.tokens) for one in heard if _names(one)]
        stations = [thing.value for one in said for thing in one.things if thing.kind == "station"]
        return frozenset(name.split()[0] for name in stations if " " in name)

    def things(self, heard: Heard) -> Said:
        """What was said, thing by thing."""
        return things.said(heard.tokens, self._places if _names(heard) else frozenset())

    @cached_property
    def basis(self) -> Basis:
        """What an answer is held against."""
        heard, scene, *model = (
            self.things(self.hear(text)) for text in (self.told, self.scene, self.model, *self.wanted)
        )
        return Basis(
            heard=heard,
            model=tuple(model),
            scene=scene,
            phraseology=self.phraseology,
            reply=not self.begins,
            tower=rules.STATIONS[self.station].clears,
            decided=rules.STATIONS[self.station].decided,
        )

    @cached_property
    def opening(self) -> Heard:
        """What the station said, else the right call."""
        return self.hear(self.told or self.model)

    def composed(self, said: Sequence[str] | None = None, own: str | None = None) -> str:
        """Items with the callsign in its place: last, or first behind the name of the station called.

        Args:
            said: the items to say, in order; all of them where it is None.
            own: what to say for the callsign, where it is not as the station said it.
        """
        if self.silent:
            return self.model
        texts = self.said if said is None else said
        own = self._own if own is None else own
        if "last" in self.places and not self.begins:
            return ", ".join(text for text in (*texts, own) if text)
        opening = [text for text in texts if _opens([token.text for token in tokens.tokens(text)])]
        return ", ".join(text for text in (*opening, own, *(each for each in texts if each not in opening)) if text)

    @property
    def _own(self) -> str:
        """The callsign as the station said it, else in full."""
        used = self.own_in(self.opening) - self.full
        return callsign.short(self.callsign, self.phraseology) if used else self.callsign

    def own_in(self, heard: Heard) -> set[str]:
        """The forms of the callsign that were said."""
        return {"".join(atom.text for atom in heard.atoms[start:end]) for start, end in heard.callsigns}

    @cached_property
    def places(self) -> frozenset[str]:
        """Where the callsign may stand: before the items, or behind them; anywhere where this is empty.

        Last in a reply, first in a call (CAP 413 edition 22, 2.48; Doc 9432 2.8.3.7), as the model has it; either for
        the FAA (AIM 4-2-3(c), 4-4-7(b)).
        """
        if self.phraseology == "faa":
            return frozenset({"first", "last"})
        if self._modelled is not None:
            return self._modelled
        return frozenset({"last" if self.heard else "first"})

    @cached_property
    def begins(self) -> bool:
        """Whether the pilot begins: nothing was heard, and the model does not end with the callsign as a reply does."""
        return not self.heard and "last" not in (self._modelled or ())

    @cached_property
    def _modelled(self) -> frozenset[str] | None:
        """Where the model has the callsign; None where it has none."""
        heard = self.hear(self.model)
        found = readback.match(heard, heard.tokens, self.items)
        return self.placed(heard, heard.tokens, found) if heard.callsigns else None

    @cached_property
    def urgent(self) -> bool:
        """Whether it is an emergency, or a go-around or a stop: the aeroplane first, then the order of words."""
        return bool(self.basis.words & _URGENT)

    @cached_property
    def refusals(self) -> frozenset[str]:
        """Words that refuse: on final `going around` is one too (CAP 413 4.65)."""
        final = "land" in self.basis.values("clearance")
        return frozenset({"unable", "go around"} if final else {"unable"})

    @cached_property
    def closing(self) -> str:
        """The name of the place that an American call without a tower ends with, as one of the items (AIM 4-1-9(g))."""
        names = {one.words[0] for one in self.items if len(one.words) == 2 and one.words[1] in grammar.SUFFIXES}
        return next((one.words[0] for one in self.items if len(one.words) == 1 and one.words[0] in names), "")

    def match(self, heard: Heard, said: Said) -> list[Fared]:
        """How each item fared in an answer."""
        back: dict[int, set[int]] = {}
        spoilt = [(one.governed, one.at) for one in faults.spoilt(said, self.basis)]
        left = [(range(each.at, each.after), each.at) for each in said.things if self._leaves(each, said)]
        for governed, by in (*spoilt, *left):
            for place in governed:
                back.setdefault(place, set()).add(by)
        return [self._closed(one, said.tokens) for one in readback.match(heard, said.tokens, self.items, back)]

    def _leaves(self, thing: Thing, said: Said) -> bool:
        """Whether a level is none of the answer's: who begins says with `passing` how high he is (rules.PASSING)."""
        return thing.kind == "left" and not (self.begins and said.tokens[thing.at].text in rules.PASSING)

    def _closed(self, one: Fared, said: Sequence[Token]) -> Fared:
        """An item as it fared, the name that closes a call where nothing was said behind it."""
        if not self.closing or one.item.words != (self.closing,):
            return one
        names = [at for at, token in enumerate(said) if token.text == self.closing]
        behind = {token.text for token in said[names[-1] + 1 :]} - {tokens.OWN, "traffic", "over"} if names else set()
        return Fared(one.item, range(names[-1], names[-1] + 1)) if len(names) > 1 and not behind else Fared(one.item)

    def placed(self, heard: Heard, said: Sequence[Token], found: Sequence[Fared]) -> frozenset[str]:
        """Where a callsign stands: `first`, `last`, or both where nothing else was said."""
        spans = [one.span(said) for one in found if one.right and one.item.words != (self.closing,)]
        body = [one.span(said) for one in found if one.right and not _opens(one.item.words)]
        last = any(end >= max((span[1] for span in spans), default=0) for _, end in heard.callsigns)
        first = any(start <= min((span[0] for span in body), default=start) for start, _ in heard.callsigns)
        return frozenset(({"last"} if last else set()) | ({"first"} if first else set()))


def _names(heard: Heard) -> bool:
    """Whether a station is named in it."""
    return any(token.text in grammar.SUFFIXES for token in heard.tokens)


def _opens(words: Sequence[str]) -> bool:
    """Whether an item opens a call: the station called, `transmitting blind` (CAP 413 2.88), an emergency."""
    return bool(words) and (words[-1] in grammar.SUFFIXES | {"blind"} or words[0] in {"mayday", "pan"})
