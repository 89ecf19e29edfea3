"""What a kind of question must provide: how it is written, asked, kept and proved."""

from abc import ABC, abstractmethod
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import blake2b
from typing import ClassVar, Self, TypeAlias

from stickback.formulas.formula import FormulaError
from stickback.kinds.shown import UNKNOWN, Compared, Mark, Point, Shown, Unclear, Values
from stickback.reading.markup import Block, Section
from stickback.reading.problem import Problem, Severity


@dataclass(frozen=True)
class Draw:
    """One draw under which a question is tried before anyone is asked.

    Args:
        values: of an aeroplane, and those drawn.
        words: the draw, for the author: "x 3, y 4"; where nothing is drawn the sheet's file.
        thorough: else only what must be so whenever a course is read.
    """

    seed: int
    values: Values
    words: str
    thorough: bool


@dataclass(frozen=True)
class Fault:
    """What a kind finds wrong with a question once it is read.

    Args:
        key: of the question's block under which it stands; where there is none it is the whole question.
    """

    code: str
    message: str
    hint: str
    severity: Severity = "error"
    key: str = ""


@dataclass(frozen=True, kw_only=True)
class Written:
    """What a kind reads of a question.

    Args:
        section: the `##` section, its heading's attributes taken off.
        prompt: what stands before the first `###`.
        sections: the `###` sections by lower-case title.
        settings: attributes of the heading; `places` are their lines and columns.
        lines: the file's lines.
        broken: lines of it that are complained about already.
    """

    file: str
    section: Section
    prompt: tuple[Block, ...]
    sections: dict[str, Section]
    settings: dict[str, str]
    places: dict[str, tuple[int, int]]
    lines: tuple[str, ...]
    broken: frozenset[int]

    @property
    def answer(self) -> tuple[Block, ...]:
        """What stands under `### Answer`, if there is one."""
        section = self.sections.get("answer")
        return section.blocks if section else ()


# What a question's kind read of it, the blocks that stay as its prompt, and the problems.
Reading: TypeAlias = "tuple[Kind | None, tuple[Block, ...], list[Problem]]"


def alike(text: str) -> str:
    """What two texts have in common that a reader takes for one: a capital or a stop at the end parts nothing."""
    return text.casefold().rstrip(".")


class Kind(ABC):
    """A kind of question; its instances are what was read of a question. It takes plain values, never a course.

    An answer has three forms: `typed` by a person, `given` once it is understood, `kept` in the log.
    """

    NAME: ClassVar[str]
    EXAMPLE: ClassVar[str]  # what stands below the heading of a small question of this kind
    MORE_EXAMPLES: ClassVar[tuple[str, ...]] = ()  # of questions with their headings, for what that does not show
    RULES: ClassVar[tuple[str, ...]] = ()  # what an author should know beside that, a sentence each
    KEYS: ClassVar[Mapping[str, str]] = {}  # of its fenced block, each with what it means
    # Attributes that only a heading of this kind may have, each with the values it takes and what it means.
    ATTRIBUTES: ClassVar[Mapping[str, tuple[tuple[str, ...], str]]] = {}
    ALOUD: ClassVar[bool] = False  # whether its answer is said aloud, and then ticked point by point
    DRAWS: ClassVar[int] = 120  # after which a question of this kind has been tried enough

    # How it is written

    @classmethod
    @abstractmethod
    def reads(cls, written: Written) -> bool:
        """Whether a question is written in this kind's form."""

    @classmethod
    @abstractmethod
    def parse(cls, written: Written) -> Reading:
        """The question, the blocks that stay as its prompt, and the problems; no question where there is an error."""

    @classmethod
    def near_misses(cls, written: Written) -> list[Problem]:
        """What looks like this kind's form and is not read as such: whatever follows from it is not told."""
        return []

    @classmethod
    def is_answer(cls, block: Block) -> bool:
        """Whether a block can only be the answer of a question, wherever it stands."""
        return False

    @abstractmethod
    def describe(self) -> str:
        """How the question was read, in a few words: "3 options, 1 right"."""

    @abstractmethod
    def texts(self) -> tuple[str, ...]:
        """All inline Markdown of it, one text at the least, for whoever looks for values in it."""

    def uses(self) -> frozenset[str]:
        """Names of the values that it uses outside its texts."""
        return frozenset()

    # How it is asked

    def chance(self) -> float:
        """The chance to be right by guessing, 0 to 1."""
        return 0.0

    @abstractmethod
    def show(self, seed: int, values: Values) -> Shown:
        """What the student sees, with the values of the sheet and those drawn for this asking."""

    @abstractmethod
    def understand(self, typed: str, values: Values) -> str | Unclear:
        """What a person typed, in the form that `mark` takes; or what was not understood of it."""

    @abstractmethod
    def mark(self, seed: int, given: str, values: Values) -> Mark:
        """What an understood answer was worth, under the seed and values it was shown with."""

    @abstractmethod
    def answer(self, seed: int, values: Values) -> tuple[Point, ...]:
        """What would have been right, in the order it is written."""

    @abstractmethod
    def compare(self, seed: int, given: str, values: Values) -> Compared:
        """An understood answer beside the right one."""

    def judge(self, seed: int, kept: str, values: Values) -> tuple[Mark, Compared]:
        """An answer of the log marked and laid beside the right one; not to know is an answer too."""
        if kept == UNKNOWN:
            return Mark(False, 0.0), replace(self.compare(seed, "", values), said="", later="")
        given = self.from_log(seed, kept)
        return self.mark(seed, given, values), self.compare(seed, given, values)

    # What the log keeps

    @abstractmethod
    def solution(self) -> tuple[str, ...]:
        """All that is right and nothing else: where this stays the same, a right answer stays right."""

    def key(self) -> str:
        """A digest of the right answer alone."""
        return blake2b("\n".join(self.solution()).encode(errors="replace"), digest_size=6).hexdigest()

    def to_log(self, seed: int, given: str) -> str:
        """An understood answer as the log keeps it: free of what was shuffled for one asking."""
        return given

    def from_log(self, seed: int, kept: str) -> str:
        """An answer of the log, of this program or an older one, as it was understood under its seed."""
        return kept

    def chosen(self, seed: int | None, kept: str) -> tuple[int, ...]:
        """The options or points that an answer of the log names, by their places in the file, from 1.

        Args:
            seed: under which letters are read; None where the question has changed since, so that they say nothing.
        """
        return ()

    @abstractmethod
    def simulate(self, seed: int, values: Values, *, right: bool) -> str:
        """An understood answer that is marked right, or one that is marked wrong, for those who only play a student."""

    # How well it is made

    def misfits(self, values: Values, measured: Mapping[str, str], sheet: str) -> Iterator[Fault]:
        """What does not fit one aeroplane, whatever is drawn.

        Args:
            values: of its sheet; `measured` are the units of those that have one.
            sheet: its file, to be named.
        """
        yield from ()

    def prove(self, drawn: Draw) -> Iterator[Fault]:
        """What goes wrong under one draw; of any kind, that the right answer has no value or is not marked right."""
        try:
            said = self.simulate(drawn.seed, drawn.values, right=True)
            right = self.mark(drawn.seed, said, drawn.values).right
        except (FormulaError, ValueError, KeyError) as error:
            message, hint = (
                f"the answer has no value: {error}",
                "mend the formula, or leave such draws out with `where`",
            )
        else:
            message = f"the right answer '{said}' is not marked right."
            hint = "widen what is accepted, or leave such draws out with `where`"
            if right:
                return
        yield Fault("answer-fails", f"With {drawn.words} {message}", hint, key="answer")

    def craft(self) -> Iterator[Fault]:
        """What makes it worse than it could be."""
        yield from ()

    @classmethod
    def habits(cls, written: Sequence[Self]) -> Iterator[tuple[int, Fault]]:
        """What all questions of this kind in a course give away together, and the place of the one to tell it at."""
        yield from ()
