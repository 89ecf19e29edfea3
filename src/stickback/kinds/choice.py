"""Choice: a task list with one or more right options; right when the set ticked is the set marked."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from stickback.formulas import draw
from stickback.kinds import letters
from stickback.kinds.protocol import Draw, Fault, Kind, Reading, Written, alike
from stickback.kinds.shown import LETTERS, Compared, Mark, Point, Shown, Unclear, Values
from stickback.reading import fill, markup
from stickback.reading.markup import Block
from stickback.reading.problem import At, Problem

MOST = 6  # options have the keys a to f; g, s and t say how sure one is

_TASK = re.compile(r"\[([ xX])\](?:[ \t\xa0]++|$)")
# Anything an author may have meant as an option. What the parser did not read as one is a mistake.
_LOOKS = re.compile(
    r"[ \t\xa0>]*+(?:(?:[-*+•–—]|(?:\d{1,2}|[A-Za-z])[.)])[ \t\xa0]*+"
    r"(?:\[[ \t\xa0]*+\S?[ \t\xa0]*+\]|\([ \t\xa0]*+[xX✓✗]?[ \t\xa0]*+\))"
    r"|\[[ \t\xa0]*+[xX✓✗]?[ \t\xa0]*+\])(?![(\[:])"
)
_ALL = re.compile(r"(?:all|every one|everything|both)(?: of)?(?: (?:them|these|those|the above))?")
_ABSOLUTE = re.compile(r"\b(?:always|never|all|every)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Option:
    """One line of the task list."""

    text: str
    right: bool


@dataclass(frozen=True)
class Choice(Kind):
    """A choice question; `fixed` options are shown in the order they are written."""

    options: tuple[Option, ...]
    fixed: bool = False

    NAME: ClassVar = "choice"
    EXAMPLE: ClassVar = "- [x] To the left\n- [ ] To the right\n- [ ] Not at all"
    RULES: ClassVar = ("Two to six options. Right when the set that is ticked is the set marked with [x].",)
    ATTRIBUTES: ClassVar = {"order": (("fixed",), "options stay in the order they are written")}

    @classmethod
    def reads(cls, written: Written) -> bool:
        """A task list stands before the first `###`."""
        return any(map(cls.is_answer, written.prompt))

    @classmethod
    def is_answer(cls, block: Block) -> bool:
        """A task list."""
        return block.kind == "bullets" and any(map(_task, block.children))

    @classmethod
    def near_misses(cls, written: Written) -> list[Problem]:
        """Lines before the first `###` that look like an option and are not read as one."""
        tasks = filter(cls.is_answer, written.prompt)
        meant = {item.line for block in tasks for item in block.children if _task(item)}
        for fence in (block for block in markup.every(written.prompt) if block.kind == "fence"):
            meant.update(range(fence.line, fence.end + 1))
        message, hint = (
            "This line is not read as an option.",
            "write `- [x] ` or `- [ ] `, with one space before the text",
        )
        problems, last = [], 0
        first, end = written.section.heading.end + 1, max((block.end for block in written.prompt), default=0)
        for number in range(first, end + 1):
            match = _LOOKS.match(written.lines[number - 1])
            if match and number not in meant and number not in written.broken:
                column = len(match[0]) - len(match[0].lstrip(" \t\xa0>")) + 1
                if number > last + 1:  # those right below are written in the same way
                    problems.append(Problem(At(written.file, number, column), "choice-marker", message, hint))
                last = number
        return problems

    @classmethod
    def parse(cls, written: Written) -> Reading:
        """The options; every one is checked before the question is refused."""
        first, *more = filter(cls.is_answer, written.prompt)
        prompt = tuple(block for block in written.prompt if not cls.is_answer(block))
        if doubled := _doubled(written, more):
            return None, prompt, [doubled]
        options, problems = _options(written, first)
        if not problems:
            problems = _whole(written, first, options)
        fixed = written.settings.get("order") == "fixed"
        return (None if problems else cls(tuple(options), fixed)), prompt, problems

    @property
    def several(self) -> bool:
        """Whether more than one is right."""
        return sum(option.right for option in self.options) > 1

    def describe(self) -> str:
        """How many options, how many right."""
        return f"{len(self.options)} options, {sum(option.right for option in self.options)} right"

    def texts(self) -> tuple[str, ...]:
        """The options."""
        return tuple(option.text for option in self.options)

    def chance(self) -> float:
        """1/k with one right of k; 1/(2^k - 1) where several may be ticked, since ticking none is no answer."""
        return 1 / (2 ** len(self.options) - 1) if self.several else 1 / len(self.options)

    def _order(self, seed: int) -> list[int]:
        """Places of the options as shown: shuffled by the seed unless their order is fixed."""
        return list(range(len(self.options))) if self.fixed else draw.order(len(self.options), seed)

    def _lettered(self, seed: int) -> dict[str, Option]:
        """The options by their letters."""
        return {LETTERS[place]: self.options[index] for place, index in enumerate(self._order(seed))}

    def solution(self) -> tuple[str, ...]:
        """The right options, in whatever order they are written."""
        return tuple(sorted(option.text for option in self.options if option.right))

    def to_log(self, seed: int, given: str) -> str:
        """Letters as options of the file."""
        return letters.to_log(given, self._order(seed), self.texts())

    def from_log(self, seed: int, kept: str) -> str:
        """Options of the file as the letters they had."""
        return " ".join(sorted(letters.of_places(self.chosen(seed, kept), self._order(seed)).split()))

    def chosen(self, seed: int | None, kept: str) -> tuple[int, ...]:
        """The options ticked."""
        return letters.places(kept, () if seed is None else self._order(seed), self.texts())

    def show(self, seed: int, values: Values) -> Shown:
        """The options, shuffled."""
        last = LETTERS[len(self.options) - 1]
        options = tuple(option.text for option in self._lettered(seed).values())
        if self.several:
            return Shown(manner="several", expects=f"letters from a to {last}, such as `a {last}`", options=options)
        return Shown(manner="one", expects=f"one letter from a to {last}", options=options)

    def understand(self, typed: str, values: Values) -> str | Unclear:
        """Letters of options, in order, with single spaces: `b`, `a c`; `all` where several may be right."""
        known = LETTERS[: len(self.options)]
        if _ALL.fullmatch(" ".join(letters.words(typed))):
            found: list[str] | Unclear = list(known)
        elif between := letters.between(typed):
            return Unclear(f"'{between}' may be two options, or all between them")
        else:
            found = letters.understood(typed, known)
        if isinstance(found, Unclear):
            return found
        if len(set(found)) > 1 and not self.several:
            return Unclear("one option is asked for, and there are more")
        return " ".join(sorted(set(found)))

    def mark(self, seed: int, given: str, values: Values) -> Mark:
        """All or nothing: the set ticked equals the set marked."""
        right = {point.label for point in self.answer(seed, values)} == set(given.split())
        return Mark(right, float(right))

    def answer(self, seed: int, values: Values) -> tuple[Point, ...]:
        """The right options with the letters they had."""
        letter = {option: shown for shown, option in self._lettered(seed).items()}
        return tuple(Point(text=option.text, label=letter[option]) for option in self.options if option.right)

    def compare(self, seed: int, given: str, values: Values) -> Compared:
        """The letters given, and the right options by their letters."""
        points = sorted(self.answer(seed, values), key=lambda point: point.label)
        ticked = [self._lettered(seed)[letter].text.rstrip(".") for letter in given.split()]
        return Compared(given.replace(" ", ", "), tuple(points), later=" and ".join(f"“{text}”" for text in ticked))

    def simulate(self, seed: int, values: Values, *, right: bool) -> str:
        """The right letters; else the first wrong one."""
        wanted = sorted(point.label for point in self.answer(seed, values))
        others = (letter for letter in self._lettered(seed) if letter not in wanted)
        return " ".join(wanted) if right else next(others)

    def prove(self, drawn: Draw) -> Iterator[Fault]:
        """Options that differ as written must not read the same."""
        yield from super().prove(drawn)
        texts = self.texts()
        if any(map(fill.is_open, texts)) and len({fill.fill(text, drawn.values) for text in texts}) < len(texts):
            message = f"With {drawn.words} two options of this question read the same."
            yield Fault("value-same", message, "word one of them differently")

    def craft(self) -> Iterator[Fault]:
        """An option that shows by its length or its words what it is."""
        right = [option.text for option in self.options if option.right]
        wrong = [option.text for option in self.options if not option.right]
        if len(right) == 1 and len(right[0]) > 1.5 * max(map(len, wrong)) + 10:
            hint = "shorten it, or give the wrong ones as much to say"
            yield Fault("craft-longest", "The right option is by far the longest.", hint)
        absolute = [match for match in map(_ABSOLUTE.search, self.texts()) if match]
        if len(absolute) == 1 and len(self.options) > 2:
            message = f"One option alone says '{absolute[0][0]}', which gives it away."
            yield Fault("craft-absolute", message, "say it without the absolute word")

    @classmethod
    def habits(cls, written: Sequence[Self]) -> Iterator[tuple[int, Fault]]:
        """Fixed order in which the right option stands at one place too often."""
        fixed = [at for at, choice in enumerate(written) if choice.fixed]
        places = Counter([option.right for option in written[at].options].index(True) for at in fixed)
        place, many = places.most_common(1)[0] if places else (0, 0)
        if len(fixed) >= 8 and many > 0.6 * len(fixed):
            message = f"In {many} of {len(fixed)} questions of fixed order option {place + 1} is right."
            yield fixed[0], Fault("craft-position", message, "let the right option stand elsewhere too")


def _task(item: Block) -> re.Match[str] | None:
    if item.kind != "item" or not item.children or item.children[0].kind != "paragraph":
        return None
    return _TASK.match(item.children[0].text)


def _doubled(written: Written, more: list[Block]) -> Problem | None:
    """A second answer beside the options."""
    named = [written.sections[name].heading for name in ("answer", "fails if said") if name in written.sections]
    if named:
        message, hint = f"This question has both options and '{named[0].text.strip()}'.", "delete one of the two"
        return Problem(At(written.file, named[0].line, 1), "answer-doubled", message, hint)
    if more:
        message, hint = (
            "This question has two lists of options.",
            "put the options into one list: no text between them, and before each the same sign, `-`",
        )
        return Problem(At(written.file, more[0].line, 1), "answer-doubled", message, hint)
    return None


def _options(written: Written, block: Block) -> tuple[list[Option], list[Problem]]:
    options: dict[str, Option] = {}
    problems = []
    for item in block.children:
        match = _task(item)
        text = " ".join(item.children[0].text[match.end() :].split()) if match else ""
        if match is None:
            message, code, hint = "This item has no box.", "choice-marker", "begin it with `- [ ] ` or `- [x] `"
        elif not text:
            message, code, hint = "This option has no text.", "choice-blank", "write the text behind the box"
        elif len(item.children) > 1:
            message, code, hint = "An option is one paragraph.", "choice-long", "move the rest under `### Why`"
        elif (key := alike(text)) in options:
            message, code, hint = "This option stands there already.", "choice-doubled", "change or delete one of them"
        else:
            options[key] = Option(text, match[1] != " ")
            continue
        if item.line not in written.broken:
            problems.append(Problem(At(written.file, item.line, 1), code, message, hint))
    return list(options.values()), problems


def _whole(written: Written, block: Block, options: list[Option]) -> list[Problem]:
    if len(options) < 2:
        code, message, hint = "choice-few", "A choice needs two options at the least.", "add a wrong option: `- [ ] …`"
    elif len(options) > MOST:
        code, message = "choice-many", f"{len(options)} options are more than there are keys for."
        hint = f"keep the best, {MOST} at the most"
    elif not any(option.right for option in options):
        code, message, hint = "choice-no-right", "No option is marked as right.", "mark it: `- [x] …`"
    elif all(option.right for option in options):
        code, message, hint = "choice-no-wrong", "Every option is marked as right.", "add a wrong option: `- [ ] …`"
    else:
        return []
    return [Problem(At(written.file, block.line, 1), code, message, hint)]
