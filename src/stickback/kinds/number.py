"""Number: a figure, marked within a tolerance after its unit is converted; known slips are told apart and explained."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar

from stickback.formulas.formula import Formula, FormulaError, numbers
from stickback.kinds import fenced, written_number
from stickback.kinds.figure import Figure
from stickback.kinds.protocol import Draw, Fault, Kind, Reading, Written
from stickback.kinds.shown import Compared, Mark, Point, Shown, Unclear, Values
from stickback.reading.problem import At, Problem
from stickback.trade import figures, units
from stickback.trade.figures import Measured, Unread
from stickback.trade.units import EXACT, Tolerance


@dataclass(frozen=True)
class Number(Kind):
    """A number question.

    Args:
        figure: what is right; its sign says a side where it is `sided`, positive from the right.
        slips: (formula of a wrong figure, what to say of it).
    """

    figure: Figure
    tolerance: Tolerance
    sided: bool
    slips: tuple[tuple[Formula, str], ...]

    NAME: ClassVar = "number"
    RULES: ClassVar = (
        "In one line: `{{ approach_speed }} {{ speed_unit }} ± 2`, or `65 kt ± 5 %`.",
        "A formula stands in a fenced `number` block, its names without braces.",
        "There an answer that begins with `crosswind(` asks for its side too, left or right.",
    )
    KEYS: ClassVar = written_number.KEYS
    EXAMPLE: ClassVar = "### Answer\n\n```number\nanswer: 65\nunit: kt\ntolerance: 2\n```"

    @classmethod
    def reads(cls, written: Written) -> bool:
        """An `### Answer` with a fenced `number` block, or one line such as `65 kt ± 2`."""
        return any(map(written_number.is_written, written.answer[:1]))

    @classmethod
    def parse(cls, written: Written) -> Reading:
        """The formula of the answer, its unit, tolerance and slips."""
        in_a_line = written_number.in_a_line
        return fenced.read(written, cls, "number-form", lambda placed: cls(*written_number.parts(placed)), in_a_line)

    @classmethod
    def near_misses(cls, written: Written) -> list[Problem]:
        """A line that says a number, in a form that would make it a point to be said aloud."""
        alone = written.answer if len(written.answer) == 1 else ()
        nearly = filter(written_number.is_nearly_written, alone)
        return [Problem(At(written.file, each.line, 1), "number-form", *written_number.cause(each)) for each in nearly]

    def describe(self) -> str:
        """The formula, with its unit."""
        return str(self.figure)

    def texts(self) -> tuple[str, ...]:
        """The unit, which may hold a value; what the formulas use is in `uses`."""
        return (self.figure.unit,)

    def solution(self) -> tuple[str, ...]:
        """The formula, its unit and its tolerance."""
        return (self.figure.formula.text, self.figure.unit, f"{self.tolerance.size:g} {self.tolerance.way}")

    def uses(self) -> frozenset[str]:
        """Names that the formulas use."""
        formulas = (self.figure.formula, *(slip for slip, _ in self.slips))
        return frozenset(name for each in formulas for name in each.names)

    def show(self, seed: int, values: Values) -> Shown:
        """Nothing but the prompt: the figure is typed."""
        expects = "a figure with its unit" if self.figure.unit else "a figure"
        return Shown(
            manner="line",
            expects=f"{expects} and side, left or right" if self.sided else expects,
            pad=(*units.offered(self.figure.unit_of(values)), *(("left", "right") if self.sided else ())),
            figure=True,
        )

    def understand(self, typed: str, values: Values) -> str | Unclear:
        """Anything that holds one figure, as it was typed."""
        try:
            figures.read(typed, self.figure.unit_of(values), sided=self.sided)
        except Unread as error:
            return Unclear(str(error))
        return " ".join(typed.split())

    def mark(self, seed: int, given: str, values: Values) -> Mark:
        """Within the tolerance, in the unit or any other of the same quantity; with its side, where it has one."""
        unit, right = self.figure.unit_of(values), self.figure.value(values)
        try:
            said = figures.read(given, unit, sided=self.sided)
        except Unread as error:
            return Mark(False, 0.0, (f"Not understood: {error}.",))
        if said.unit and unit and units.quantity(said.unit) != units.quantity(unit):
            return Mark(False, 0.0, (f"{said.unit} is a unit of something else: the answer is in {unit}.",))
        value = units.convert(said.value, said.unit, unit) if said.unit and unit else said.value
        if not self._close(value, right, unit):
            return Mark(False, 0.0, self._why_wrong(said, value, right, unit, values))
        if self._told(said, unit, values):
            return Mark(False, 0.0, (f"That is the figure you were told; the answer is in {unit}.",))
        return self._sides(said, right, unit)

    def _close(self, said: float, right: float, unit: str) -> bool:
        """Whether a figure is within the tolerance of another, sides left out."""
        if self.sided:
            said, right = abs(said), abs(right)
        return self.tolerance.covers(said, right, unit)

    def _told(self, said: Measured, unit: str, values: Values) -> bool:
        """Whether a figure of the question was typed back in its own unit, and never put into the one asked for."""
        if not said.unit or said.unit == units.name(unit):
            return False
        found = numbers(values, self.uses())
        return any(name in found and abs(found[name] - said.value) < EXACT for name in self.figure.formula.names)

    def _sides(self, said: Measured, right: float, unit: str) -> Mark:
        """The figure is right: what is to be said of its side and unit."""
        side = self._side(right)
        if side and said.side != side:
            amiss = "not" if said.side else "missing"
            return Mark(False, 0.0, (f"The figure is right, the side is {amiss}: it comes from the {side}.",))
        silent = unit and not said.unit and units.quantity(unit) != "angle"
        return Mark(True, 1.0, (f"Say the unit too: {unit}.",) if silent else ())

    def _side(self, right: float) -> str:
        """The side of the answer, where it has one."""
        return ("left" if right < 0 else "right") if self.sided and abs(right) > EXACT else ""

    def _why_wrong(self, said: Measured, value: float, right: float, unit: str, values: Values) -> tuple[str, ...]:
        """The slip behind a wrong figure, where it can be told."""
        found = numbers(values, self.uses())
        for slip, words in self.slips:
            try:
                missed = slip.value(found)
            except FormulaError:  # this slip cannot be made with these values
                continue
            if self._close(value, missed, unit):
                return (words,)
        if said.unit and self._close(said.value, right, unit):
            return (f"The figure is right in {unit}, not in {said.unit}.",)
        for other in units.siblings(unit):
            if not said.unit and self._close(units.convert(value, other, unit), right, unit):
                return (f"That is the figure in {other}; the answer is in {unit}.",)
        if not self.sided and right and self._close(-value, right, unit):
            return ("The figure is right, its sign is not.",)
        return ()

    def answer(self, seed: int, values: Values) -> tuple[Point, ...]:
        """The right figure, printed no finer than the tolerance asks."""
        right, unit = self.figure.value(values), self.figure.unit_of(values)
        side = self._side(right)
        figure = self.tolerance.printed(abs(right) if self.sided else right, unit)
        return (Point(text=f"{figure} {unit}".strip() + (f" from the {side}" if side else "")),)

    def compare(self, seed: int, given: str, values: Values) -> Compared:
        """What was typed, and the right figure."""
        return Compared(f"“{given}”", self.answer(seed, values))

    def simulate(self, seed: int, values: Values, *, right: bool) -> str:
        """The right figure, or one that lies far off."""
        if right:
            return self.answer(seed, values)[0].text
        value = self.figure.value(values)
        unit = self.figure.unit_of(values)
        off = (abs(value) + sign * far * (self.tolerance.slack(value) + 1) for far in (3, 10, 45) for sign in (1, -1))
        tried = (f"{figure:.6f} {unit}" for figure in off if figure >= 0)
        understood = (each for each in tried if isinstance(self.understand(each, values), str))
        return next(each for each in understood if not self.mark(seed, each, values).right)

    def misfits(self, values: Values, measured: Mapping[str, str], sheet: str) -> Iterator[Fault]:
        """A unit that is not the one of the aeroplane's value: the number would be marked as another."""
        yield from self.figure.misfits(values, measured, sheet)

    def craft(self) -> Iterator[Fault]:
        """A figure with a unit of which nothing but the very figure is right, so that it is right in no other unit."""
        if self.figure.unit and not self.tolerance.size:
            hint = "say how far off it may be, such as 1, or 0.5 where a rule lays it down"
            yield Fault("craft-exact", "This figure is measured, and its tolerance is nought.", hint)

    def prove(self, drawn: Draw) -> Iterator[Fault]:
        """The right figure must mark right, and no slip may lie within its tolerance."""
        yield from super().prove(drawn)
        try:
            slip = self.slipped(drawn.values)
        except (FormulaError, ValueError, KeyError) as error:
            message = f"With {drawn.words} a slip has no value: {error}"
            yield Fault("answer-fails", message, "leave such draws out with `where`", key="slips")
            return
        if slip:
            message = f"With {drawn.words} the slip '{slip}' would be marked right."
            hint = "leave such draws out with `where`, or narrow the tolerance"
            yield Fault("number-ambiguous", message, hint, key="slips")

    def slipped(self, values: Values) -> str:
        """The words of a slip whose figure is within the tolerance of the right one; empty when none is.

        Errors: FormulaError when the answer or a slip has no value.
        """
        found = numbers(values, self.uses())
        unit, right = self.figure.unit_of(values), self.figure.value(values)
        return next((words for slip, words in self.slips if self._close(slip.value(found), right, unit)), "")
