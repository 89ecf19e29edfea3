"""What an answer on the radio is held against: what was said, what would be right, what else may be said with it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from stickback.radio import rules
from stickback.radio.things import Said, TakenBack, Thing


@dataclass(frozen=True, kw_only=True)
class Basis:
    """What an answer is held against: what may be said without being claimed.

    Args:
        heard: what the station said; `model`, the right answer and what must be said, each by itself.
        scene: what the question told; who begins may say it.
        reply: whether the station said something; a pilot who begins may say more than must be.
        tower: whether the station gives clearances.
        decided: what the pilot does here on his own decision.
    """

    heard: Said
    model: tuple[Said, ...]
    scene: Said
    phraseology: str
    reply: bool
    tower: bool
    decided: frozenset[str] = frozenset()

    @cached_property
    def _all(self) -> tuple[Said, ...]:
        told = (self.scene,) if self.reply and not self.heard.tokens else ()  # a reply to be put right: it quotes
        return (self.heard, *told, *self.model)

    @cached_property
    def things(self) -> tuple[Thing, ...]:
        """All that was given."""
        return tuple(each for one in self._all for each in self._of(one))

    def _of(self, said: Said) -> list[Thing]:
        """What one text gives: not what the station took back in it, nor a permission that is only to be expected."""
        void = {id(each) for back in said.taken_back for each in self._voided(back, said)}
        return [each for each in said.things if id(each) not in void]

    def _voided(self, back: TakenBack, said: Said) -> list[Thing]:
        if back.word == "expect":
            return [each for each in back.of(said.things) if each.permitted or each.role == "cross"]
        denied = back.how == "denied" and back.word != "negative" and said is self.heard
        return back.of(said.things) if denied else []

    @cached_property
    def same(self) -> frozenset[tuple[str, str, str]]:
        """What was given, as it would be said again."""
        return frozenset(each.same for each in self.things)

    def values(self, kind: str, role: str | None = None) -> tuple[str, ...]:
        """The values given of a kind."""
        fit = (each.value for each in self.things if each.kind == kind and role in {None, each.role})
        return tuple(dict.fromkeys(fit))

    def units(self, kind: str) -> set[str]:
        """The units in which a kind was given."""
        return {each.unit for each in self.things if each.kind == kind}

    @cached_property
    def acts(self) -> frozenset[str]:
        """What was permitted or told, and what that brings with it."""
        model = [each for one in self.model for each in self._of(one)]
        told = set(self._acts(model))
        if not told & rules.STAYS:
            told |= set(self._acts(self.things))
        return frozenset(told | {act for act, by in rules.BROUGHT.items() if by & told})

    def decides(self, act: str) -> bool:
        """Whether it is the pilot's to decide: nothing holds him, and he is where it is done."""
        limited = act in rules.ON_A_RUNWAY and bool(self.values("holding point"))
        second = act in rules.INTENTIONS and bool(self.acts & rules.INTENTIONS)
        if act not in self.decided or self.acts & rules.STAYS or limited or second:
            return False
        ground, air = self._where
        return (ground or not air) if act in rules.ON_THE_GROUND else (air or not ground or act == "enter")

    @cached_property
    def _where(self) -> tuple[bool, bool]:
        """Whether what was given and told speaks of the ground, and of the air."""
        there = (*self.things, *self.scene.things)
        kinds, acts = {each.kind for each in there}, {each.value for each in there if each.kind == "act"}
        ground = bool(acts & rules.ON_THE_GROUND) or "holding point" in kinds
        return ground, bool(acts & rules.IN_THE_AIR or {"position", "plan"} & kinds)

    def _acts(self, things: Iterable[Thing]) -> Iterator[str]:
        for each in things:
            yield from (each.value,) if each.kind in {"act", "clearance", "station"} else (each.kind, each.role)

    @cached_property
    def words(self) -> frozenset[str]:
        """All tokens."""
        return frozenset(token.text for one in self._all for token in one.tokens)

    @cached_property
    def modelled(self) -> frozenset[str]:
        """Those of the right answer."""
        return frozenset(token.text for one in self.model for token in one.tokens)

    @cached_property
    def emergency(self) -> bool:
        """Whether it is a distress or urgency call."""
        return not self.reply and any(each.kind == "emergency" for each in self.things)

    @cached_property
    def asks(self) -> bool:
        """Whether the pilot begins, and asks a station that gives clearances for something."""
        return self.tower and not self.reply and bool(self.modelled & rules.ASKING) and not self.emergency

    @cached_property
    def added(self) -> frozenset[str]:
        """What who begins may say here beside what he may say anywhere."""
        return (frozenset() if self.tower else rules.ADDED_ALONE) | (rules.ADDED_URGENT if self.emergency else set())

    @cached_property
    def taken_back(self) -> frozenset[tuple[str, tuple[str, str, str]]]:
        """What the station itself took back: `cancel take-off`."""
        void = [back for back in self.heard.taken_back if back.word != "negative"]  # `negative, QNH 1017` gives it
        return frozenset((back.word, each.same) for back in void for each in back.of(self.heard.things))
