"""A figure that is asked for: a formula and its unit, as a block says them and as they come out on an aeroplane."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from stickback.formulas import formula
from stickback.formulas.formula import Formula, FormulaError, numbers
from stickback.kinds.fenced import Wrong
from stickback.kinds.protocol import Fault
from stickback.kinds.shown import Values
from stickback.reading import fill
from stickback.reading.places import Placed
from stickback.trade import units

KEYS = {
    "answer": "what is right: a number, a value or a formula",
    "unit": "its unit, which may be a {{ value }}; other units of the same quantity are converted",
}


@dataclass(frozen=True)
class Figure:
    """What is right, and its unit, which may hold a `{{ value }}`."""

    formula: Formula
    unit: str

    def __str__(self) -> str:
        """As an author wrote it."""
        return f"{self.formula.text} {self.unit}".strip()

    def value(self, values: Values) -> float:
        """The right figure in its unit.

        Errors: FormulaError when the formula has no value.
        """
        return self.formula.value(numbers(values, self.formula.names))

    def unit_of(self, values: Values) -> str:
        """Its unit, on this aeroplane."""
        return fill.plain(self.unit, values)

    def misfits(self, values: Values, measured: Mapping[str, str], sheet: str) -> Iterator[Fault]:
        """A unit that is not the one of the aeroplane's value: the figure would be marked as another.

        Args: as `Kind.misfits`.
        """
        found, name = self.formula.unit(measured)
        asked = units.name(self.unit_of(values))
        if not asked or not found or asked == found:
            return
        says = f"is in {found} on {sheet}" if name in measured else f"gives {found}"
        hint = f"write {found} as its unit"
        if name in measured and found == units.name(values.get("speed_unit", "")):
            hint = 'write `unit: "{{ speed_unit }}"`; on one line `{{ speed_unit }}`, without the quotes'
        yield Fault("number-unit", f"`{name}` {says}, and the answer is asked for in {asked}.", hint, key="unit")


def of(placed: Placed) -> Figure:
    """The figure of a block.

    Errors: Wrong.
    """
    unit = placed.text("unit")
    if unit and not fill.is_open(unit) and units.quantity(unit) is None:
        raise Wrong(f"'{unit}' is no unit.", "write such as kt, mph, ft, hPa, deg or %", "unit")
    return Figure(formula_of(placed.text("answer"), "answer"), unit)


def formula_of(text: str, *path: str) -> Formula:
    """A formula that gives a number, which stands under a path of keys.

    Errors: Wrong.
    """
    hint = "write a number, a value or a formula"
    try:
        made = formula.compile_(text, formula.names_in(text))
    except FormulaError as error:
        raise Wrong(error.message, error.hint or hint, *path, column=error.column) from None
    if made.condition:
        raise Wrong("This says yes or no, and a number is asked for.", hint, *path)
    return made
