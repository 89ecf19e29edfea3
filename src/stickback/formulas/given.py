"""`given` block: values drawn anew for each asking from its seed, so that an answer can always be marked again.

Each name has a list `a | b` or a range `from to … step …`; `let` derives more by formulas, `where` keeps only draws
that make sense. They are drawn in `formulas.draw`.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from stickback.formulas import formula
from stickback.formulas.formula import Formula, FormulaError
from stickback.reading import places
from stickback.reading.places import Placed
from stickback.reading.problem import At, Place, Problem

MOST = 10_000  # values of one name
LET, WHERE = "let", "where"  # keys that are no names
LINES = 40  # names drawn, names derived and conditions together

_RANGE = re.compile(r"\s*(-?\d+(?:\.\d+)?)\s+to\s+(-?\d+(?:\.\d+)?)(?:\s+step\s+(\d+(?:\.\d+)?))?\s*")
_NEARLY = re.compile(r"\s*-?\d+(?:\.\d+)?\s+to\s[^|]*")
# What nobody means as one value: `10–24`, `06, 15`, `8 to 12` inside a list.
_NO_VALUE = re.compile(r"\d\s*+(?:[-–—−]|\.{2,}|…|,|;|/|\bor\b|\band\b|\bto\b)\s*+-?\d|^from\s")
_COMPARED = re.compile(r"[<>]|[=!]=")
_LONGEST = 16  # characters of an end of a range, or of its step
NAME = re.compile(r"[a-z][a-z0-9_]*")


@dataclass(frozen=True)
class Draws:
    """What is drawn for a question.

    Args:
        lists: the texts each name is drawn from.
        derived: names worked out from them, in order.
        where: conditions a draw must meet.
        places: line and column in the file of every value, and of every name under the path plus `""`.
    """

    lists: dict[str, tuple[str, ...]] = field(default_factory=dict)
    derived: tuple[tuple[str, Formula], ...] = ()
    where: tuple[Formula, ...] = ()
    places: dict[tuple[str, ...], Place] = field(default_factory=dict, compare=False)

    def place(self, name: str) -> Place:
        """Where a name stands that is drawn or derived."""
        return self.places[(name, "") if name in self.lists else (LET, name, "")]

    @property
    def possible(self) -> int:
        """How many draws there are, whether they meet the conditions or not."""
        return math.prod(map(len, self.lists.values()))

    @cached_property
    def defines(self) -> frozenset[str]:
        """The names a question may use beside those of the sheet."""
        return frozenset([*self.lists, *(name for name, _ in self.derived)])

    @cached_property
    def needs(self) -> frozenset[str]:
        """Values of the aircraft sheet that the formulas use."""
        return self.uses - self.defines

    @cached_property
    def uses(self) -> frozenset[str]:
        """All names that the formulas use."""
        used = [*(made for _, made in self.derived), *self.where]
        return frozenset(name for each in used for name in each.names)

    def place_of(self, condition: Formula) -> Place:
        """Where a condition stands: alone, or in a list."""
        return self.places.get((WHERE, str(self.where.index(condition))), self.places[WHERE,])

    def behind(self, condition: Formula) -> set[str]:
        """All names that decide a condition: its own, and those from which these are worked out."""
        used = set(condition.names)
        for name, made in reversed(self.derived):
            used |= made.names if name in used else set()
        return used

    @cached_property
    def early(self) -> tuple[Formula, ...]:
        """The conditions on what is drawn alone, which are looked at before anything is derived."""
        derived = {name for name, _ in self.derived}
        return tuple(condition for condition in self.where if derived.isdisjoint(condition.names))

    @cached_property
    def late(self) -> tuple[Formula, ...]:
        """The other conditions."""
        return tuple(condition for condition in self.where if condition not in self.early)


def read(text: str, file: str, first_line: int) -> tuple[Draws, list[Problem]]:
    """The block and what is wrong with it.

    Args:
        text: the YAML inside the fence; its first line is `first_line` of the file.
    """
    placed, problems = places.read(text, file, first_line, "block")
    reader = _Reader(file, placed, problems)
    lists = {name: reader.list_of(name) for name in placed.data if name not in {LET, WHERE}}
    let = placed.data.get(LET, {})
    derived = [(name, reader.formula(LET, name)) for name in let] if isinstance(let, dict) else []
    for name, _ in derived:
        reader.new_name(name, lists)
    if not isinstance(let, dict):
        reader.wrong((LET,), "`let` holds one `name: formula` a line.", "put each name on a line of its own")
    conditions = [reader.condition(*path) for path in reader.paths_of_where()]
    if len(lists) + len(derived) + len(conditions) > LINES:
        reader.wrong((), f"This block has more than {LINES} names and conditions.", "make it two questions")
    made = tuple((name, each) for name, each in derived if each is not None)
    where = tuple(each for each in conditions if each is not None)
    return Draws(lists, derived=made, where=where, places=placed.places), reader.problems


@dataclass
class _Reader:
    """The block while it is read; collects problems."""

    file: str
    placed: Placed
    problems: list[Problem]

    def wrong(self, path: tuple[str, ...], message: str, hint: str, column: int = 1) -> None:
        line, start = self.placed.value(*path)
        self.problems.append(Problem(At(self.file, line, start + column - 1), "given-form", message, hint))

    def list_of(self, name: str) -> tuple[str, ...]:
        text = self.placed.text(name)
        found = () if _NEARLY.fullmatch(text) else tuple(part.strip() for part in text.split("|"))
        if match := _RANGE.fullmatch(text):
            found = _range(match)
        if not NAME.fullmatch(name):
            self.wrong((name, ""), f"'{name}' is no name.", "use lower-case letters, digits and `_`")
        elif wrong := _no_list(text, found):
            self.wrong((name,), *wrong)
        else:
            self.doubled(name, found)
            return found
        return ()

    def doubled(self, name: str, found: tuple[str, ...]) -> None:
        """Warns of a value that stands in a list more than once."""
        again = next((value for number, value in enumerate(found) if value in found[:number]), None)
        if again is not None:
            message = f"'{again}' stands in this list more than once, and would be drawn oftener than the others."
            at = At(self.file, *self.placed.value(name))
            self.problems.append(Problem(at, "given-doubled", message, "write each value once", "warning"))

    def new_name(self, name: str, lists: Mapping[str, object]) -> None:
        """Says what is wrong with the name of something derived."""
        path, hint = (LET, name, ""), "use lower-case letters, digits and `_`"
        if not NAME.fullmatch(name):
            self.wrong(path, f"'{name}' is no name.", hint)
        elif name in lists:
            self.wrong(path, f"'{name}' is drawn already.", "give what is derived another name")

    def paths_of_where(self) -> list[tuple[str, ...]]:
        where = self.placed.data.get(WHERE, [])
        if isinstance(where, list):
            return [(WHERE, str(number)) for number in range(len(where))]
        if not isinstance(where, str):
            self.wrong((WHERE,), "`where` holds one condition, or a list of them.", "write such as `wind > 5`")
        return [(WHERE,)] if isinstance(where, str) else []

    def condition(self, *path: str) -> Formula | None:
        made = self.formula(*path, such="wind > 5")
        if made is None or made.condition:
            return made
        self.wrong(path, "This is a number where a condition is needed.", "compare it, as in `wind > 5`")
        return None

    def formula(self, *path: str, such: str = "wind + 5") -> Formula | None:
        text = self.placed.text(*path)
        try:
            return formula.compile_(text, formula.names_in(text))
        except FormulaError as error:
            self.wrong(path, error.message, error.hint or f"write such as `{such}`", error.column)
            return None


def _no_list(text: str, found: tuple[str, ...]) -> tuple[str, str] | None:
    """What is wrong with what a name is drawn from, and what to write."""
    hint = "write `06 | 24`, or `8 to 24 step 2`"
    if match := _RANGE.fullmatch(text):
        if not found and float(match[1]) > float(match[2]):
            return "This range runs backwards.", f"write `{match[2]} to {match[1]}`"
        if not found:
            return "This range holds no value, or too many.", "write such as `010 to 360 step 10`"
        if float(found[-1]) != float(match[2]):
            step = f" step {match[3]}" if match[3] else ""
            message = f"This range ends at {found[-1]} and never reaches {match[2]}."
            return message, f"write `{match[1]} to {found[-1]}{step}`"
        return None
    if not all(found):
        return "This is no list of values.", hint
    if _COMPARED.search(text):
        return "This is a condition, not a list of values.", "write it as `where: …`"
    if _NEARLY.fullmatch(text) or any(map(_NO_VALUE.search, found)):
        return "This is read neither as a range nor as a list.", hint
    return None


def _range(match: re.Match[str]) -> tuple[str, ...]:
    if max(len(text or "") for text in match.groups()) > _LONGEST:
        return ()
    low, high, step = float(match[1]), float(match[2]), float(match[3] or 1)
    count = int((high - low) / step + 1e-9) + 1 if step > 0 and high >= low else 0
    if not 0 < count <= MOST:
        return ()
    decimals = max(len(text.partition(".")[2]) for text in (match[1], match[3] or ""))
    # `010 to 360` is printed with three figures throughout.
    width = len(match[1]) if match[1].startswith("0") and len(match[1]) > 1 else 0
    return tuple(f"{low + step * number:0{width}.{decimals}f}" for number in range(count))
