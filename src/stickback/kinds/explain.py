"""Explain: said aloud, then marked by the student point by point against what an examiner listens for."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import ClassVar

from stickback.kinds import letters
from stickback.kinds.protocol import Kind, Reading, Written, alike
from stickback.kinds.shown import Compared, Mark, Point, Shown, Unclear, Values
from stickback.reading.markup import Block, Section
from stickback.reading.problem import At, Problem
from stickback.trade import units

MOST = 9  # points have the keys 1 to 9

_ALL = frozenset({"all", "both", "everything"})
_FILLERS = frozenset({"and", "i", "my", "no", "number", "numbers", "of", "point", "points", "said", "the", "them"})
_FIGURES = dict(zip(("one", "two", "three", "four", "five", "six", "seven", "eight", "nine"), "123456789", strict=True))
_TASK = re.compile(r"\[[ xX]?\]")
# Wholly in bold, whatever stop or footnote stands behind it; or beginning `Must:`, in bold or not.
_BOLD = re.compile(
    r"(\*\*\*?|___?)(?P<text>(?:(?!\*\*|__).)+)\1(?P<tail>[.:;,!]?(?:\[\^[^\]\s]+\])*[.:;,!]?)", re.DOTALL
)
_MUST = re.compile(r"(?:\*\*|__)?Must:(?:\*\*|__)?\s+(?P<text>.+)", re.IGNORECASE | re.DOTALL)
_NEARLY_MUST = re.compile(
    r"(?:\*\*|__)?(?:must ?[-–—] ?|[(\[]must[)\]]|(?-i:MUST\s))|.*[(\[]must[)\]]\W*$", re.IGNORECASE | re.DOTALL
)
_SHORT = 8  # words of a point that is hardly a sentence
_COUNTS = re.compile(
    r"[\d.]*\d|half|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|(?:thir|four|fif|six|seven|eigh|nine)teen"
    r"|twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety|hundred|thousand"
)


@dataclass(frozen=True)
class Explain(Kind):
    """A question to explain: what must or should be said, and what must not."""

    points: tuple[Point, ...]
    fails: tuple[Point, ...] = ()

    NAME: ClassVar = "explain"
    ALOUD: ClassVar = True
    RULES: ClassVar = (
        "A point wholly in **bold**, or beginning `Must:`, cannot be missed.",
        "Right when every must and three quarters of all points were said, and nothing under `### Fails if said`.",
    )
    EXAMPLE: ClassVar = "### Answer\n\n- **Stick back**\n- Feet alive\n- Eyes far ahead"

    @classmethod
    def reads(cls, written: Written) -> bool:
        """An `### Answer` whose first block is a bullet list or a paragraph."""
        return any(block.kind in {"bullets", "paragraph"} for block in written.answer[:1])

    @classmethod
    def parse(cls, written: Written) -> Reading:
        """The points of the answer and of what fails it."""
        section, failing = written.sections["answer"], written.sections.get("fails if said")
        problems = [*_form(written.file, section), *(_form(written.file, failing) if failing else [])]
        points, fails = _points(section), _points(failing) if failing else []
        many, line = len(points) + len(fails), section.heading.line
        problems = problems or [*_nearly_musts(written.file, section), *_twice(written.file, section)]
        if problems:
            return None, written.prompt, problems
        if many > MOST:
            message, hint = f"{many} points are more than can be listened for.", f"keep {MOST} at the most, or split it"
            return None, written.prompt, [Problem(At(written.file, line, 1), "answer-points", message, hint)]
        if not points:
            message, hint = "This answer has no point to listen for.", "write `- ` and a point"
            return None, written.prompt, [Problem(At(written.file, line, 1), "answer-empty", message, hint)]
        problems = list(_nearly_numbers(written.file, section, points))
        return (
            cls(tuple(points), tuple(Point(text=point.text, fails=True) for point in fails)),
            written.prompt,
            problems,
        )

    @property
    def numbered(self) -> dict[str, Point]:
        """The points to be said, then what fails the answer, by the numbers they are ticked with."""
        return {str(number): point for number, point in enumerate((*self.points, *self.fails), 1)}

    def describe(self) -> str:
        """How many points, how many of them a must."""
        many = "1 point" if len(self.points) == 1 else f"{len(self.points)} points"
        fails = f", {len(self.fails)} that fail it" if self.fails else ""
        return f"{many}, {sum(point.must for point in self.points)} must{fails}"

    def texts(self) -> tuple[str, ...]:
        """The points."""
        return tuple(point.text for point in self.numbered.values())

    def solution(self) -> tuple[str, ...]:
        """The points, each with what it means to leave it out or to say it."""
        return tuple(
            ("fails: " if point.fails else "must: " if point.must else "") + point.text
            for point in self.numbered.values()
        )

    def chosen(self, seed: int | None, kept: str) -> tuple[int, ...]:
        """The points said, by their numbers, which say nothing of a question that has changed."""
        return () if seed is None else tuple(int(number) for number in kept.split() if number in self.numbered)

    def show(self, seed: int, values: Values) -> Shown:
        """Nothing but the prompt: the answer is said aloud."""
        last = len(self.numbered)
        expects = f"the numbers of what you said, 1 to {last}, such as `1 2`; or `all` the points or `none`"
        return Shown(manner="aloud", expects=expects, bar=self._bar())

    def _bar(self) -> str:
        """Of how many points how many are enough, so that nobody fails for a point nobody asked for."""
        many, musts = len(self.points), sum(point.must for point in self.points)
        if many == 1:
            return "One point is listened for."
        enough = f"all {many} of them" if self._needed == many else f"{self._needed} of them"
        named = f", and {'the one' if musts == 1 else f'the {musts}'} that must be among them" if musts else ""
        return f"{many} points are listened for: right with {enough}{named if self._needed < many else ''}."

    @property
    def _needed(self) -> int:
        """Three quarters of the points."""
        return -(-3 * len(self.points) // 4)

    def understand(self, typed: str, values: Values) -> str | Unclear:
        """Numbers of the points said, in order: `1 3`; `all` of those to be said; `none`, stored as such."""
        if re.search(r"\d\s*(?:-|–|to)\s*\d", typed):
            return Unclear("a number with a dash may be two points, or all between them")
        words = [_FIGURES.get(word, word) for word in letters.words(typed) if word not in _FILLERS]
        if words in (["none"], ["nothing"]):
            return "none"
        every, but = [number for number, point in self.numbered.items() if not point.fails], list[str]()
        if words and words[0] in _ALL:
            words, but = (every, words[2:]) if words[1:2] in (["but"], ["except"]) else ([*every, *words[1:]], [])
        for word in (*words, *but):
            if word not in self.numbered:
                return Unclear(f"there is no point {word}" if word.isdecimal() else f"'{word[:40]}' means nothing here")
        said = sorted(set(words) - set(but))
        return " ".join(said) if said else Unclear("no number was typed")

    def mark(self, seed: int, given: str, values: Values) -> Mark:
        """Right with every must point, three quarters of all points and nothing that fails the answer."""
        said, points = set(given.split()), self.numbered
        heard = sum(number in said for number, point in points.items() if not point.fails)
        missed = any(point.must and number not in said for number, point in points.items())
        failed = any(point.fails and number in said for number, point in points.items())
        needed = self._needed
        right = not missed and not failed and heard >= needed
        few = (f"{heard} of {len(self.points)} points said, {needed} are needed.",) if heard < needed else ()
        return Mark(right, heard / len(self.points), few)

    def answer(self, seed: int, values: Values) -> tuple[Point, ...]:
        """The points to be said, then what fails the answer."""
        return tuple(self.numbered.values())

    def compare(self, seed: int, given: str, values: Values) -> Compared:
        """Which points were said; of those that fail the answer only what was."""
        heard = set(given.split())
        ticked = [replace(point, said=number in heard) for number, point in self.numbered.items()]
        return Compared("", tuple(point for point in ticked if point.said or not point.fails))

    def simulate(self, seed: int, values: Values, *, right: bool) -> str:
        """All that is to be said, or nothing."""
        return " ".join(number for number, point in self.numbered.items() if not point.fails) if right else "none"


def _form(file: str, section: Section) -> list[Problem]:
    """Whatever stands there beside one bullet list of single paragraphs, or one paragraph: it would be lost."""
    first, *more = section.blocks or (None,)
    wrong = [*more]
    if first is not None and first.kind not in {"bullets", "paragraph"}:
        wrong = [first, *more]
    elif first is not None and first.kind == "bullets":
        wrong += [child for item in first.children for child in item.children[1:]]
        wrong += [item for item in first.children if _TASK.match(_text(item))]
        wrong += [item for item in first.children if item.children and item.children[0].kind != "paragraph"]
    if not wrong:
        return []
    at = At(file, min(block.line for block in wrong), 1)
    if first is not None and any(_TASK.match(_text(item)) for item in first.children):
        message, hint = "Options stand above the first `###`, not under it.", "delete the heading above them"
        return [Problem(at, "answer-form", message, hint)]
    message = "This is not read: an answer is one bullet list, each point one paragraph."
    return [Problem(at, "answer-form", message, "put it into the list as a point, or under `### Why`")]


def _nearly_musts(file: str, section: Section) -> Iterator[Problem]:
    """Points that are meant as a must: `Must - `, `(must) `."""
    for block in section.blocks[0].children if section.blocks[0].kind == "bullets" else ():
        if _NEARLY_MUST.match(_text(block)):
            message, hint = "This is not read as a point that cannot be missed.", "begin it with `Must: `"
            yield Problem(At(file, block.line, 1), "answer-form", message, hint)


def _twice(file: str, section: Section) -> Iterator[Problem]:
    """Points that say what an earlier one says: who says it once is asked whether it was said twice."""
    said = set[str]()
    for block in section.blocks[0].children if section.blocks[0].kind == "bullets" else ():
        text = alike(_point(_text(block)).text)
        if text and text in said:
            message, hint = "This point stands there already.", "change or delete one of them"
            yield Problem(At(file, block.line, 1), "answer-points", message, hint)
        said.add(text)


def _nearly_numbers(file: str, section: Section, points: list[Point]) -> Iterator[Problem]:
    """One short point that says how much of something: `about four litres` may be meant as a number."""
    (point, *more), line = points, section.blocks[0].line
    words = re.findall(r"[\w°%/.]+", point.text.casefold())
    counted = (after for word, after in pairwise(words) if _COUNTS.fullmatch(word) and units.name(after))
    if not more and not point.must and len(words) <= _SHORT and any(counted):
        message = "Read as explain, with one point and none a must."
        hint = "for a number write such as `4 l ± 0.5`; for a point that must be said put it in **bold**"
        yield Problem(At(file, line, 1), "answer-points", message, hint, "warning")


def _points(section: Section) -> list[Point]:
    """One point an item; without a list the paragraph is the one point."""
    first = section.blocks[0] if section.blocks else None
    items = () if first is None else first.children if first.kind == "bullets" else (first,)
    return [_point(text) for text in map(_text, items) if text]


def _text(block: Block) -> str:
    paragraph = block.children[0] if block.children else block
    return " ".join(paragraph.text.split())


def _point(text: str) -> Point:
    if match := _MUST.fullmatch(text):
        return Point(text=match["text"], must=True)
    if match := _BOLD.fullmatch(text):
        return Point(text=match["text"] + match["tail"], must=True)
    return Point(text=text)
