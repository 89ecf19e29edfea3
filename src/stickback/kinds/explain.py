"""Explain: said aloud, then marked by the student point by point against what an examiner listens for."""

import re
from dataclasses import dataclass

from stickback.kinds.mark import Mark, Part, Point, Reading, Shown
from stickback.markup import Block, Section
from stickback.problem import Problem

NAME = "explain"
MOST = 9  # points have the keys 1 to 9

_BOLD = re.compile(r"\*\*((?:(?!\*\*).)+)\*\*[.:;]?$|__((?:(?!__).)+)__[.:;]?$", re.DOTALL)
_MUST = re.compile(r"Must:\s+", re.IGNORECASE)


@dataclass(frozen=True)
class Explain:
    """The body of an explain question: what must or should be said, and what must not."""

    points: tuple[Point, ...]
    fails: tuple[Point, ...] = ()


def reads(part: Part) -> bool:
    """An `### Answer` whose first block is a bullet list or a paragraph."""
    section = part.parts.get("answer")
    return bool(section and section.blocks and section.blocks[0].kind in {"bullets", "paragraph"})


def parse(part: Part) -> Reading:
    """The points of the answer and of what fails it."""
    points = _points(part.parts["answer"])
    fails = [Point(point.text, fails=True) for point in _points(part.parts.get("fails if said"))]
    heading = part.parts["answer"].heading
    if len(points) + len(fails) > MOST:
        message = f"{len(points) + len(fails)} points are more than can be listened for."
        hint = f"split the question, or keep {MOST} at the most"
        return None, part.prompt, [Problem(part.file, heading.line, 1, "answer-points", message, hint)]
    if not points:
        message = "This answer has no point to listen for."
        return (
            None,
            part.prompt,
            [Problem(part.file, heading.line, 1, "answer-empty", message, "write `- ` and a point")],
        )
    return Explain(tuple(points), tuple(fails)), part.prompt, []


def _points(section: Section | None) -> list[Point]:
    """One point an item; without a list the paragraph is the one point."""
    blocks = section.blocks if section else ()
    items = [item for block in blocks if block.kind == "bullets" for item in block.children]
    if not items:
        items = [block for block in blocks if block.kind == "paragraph"][:1]
    return [_point(text) for text in map(_text, items) if text]


def _text(block: Block) -> str:
    paragraphs = block.children or (block,)
    return " ".join(" ".join(paragraph.text.split()) for paragraph in paragraphs if paragraph.kind == "paragraph")


def _point(text: str) -> Point:
    if match := _BOLD.fullmatch(text):
        return Point(match[1] or match[2], must=True)
    rest = _MUST.sub("", text, count=1) if _MUST.match(text) else text
    return Point(rest, must=rest != text)


def _body(body: object) -> Explain:
    assert isinstance(body, Explain)  # noqa: S101 - the table of kinds pairs bodies with modules
    return body


def describe(body: object) -> str:
    """How many points, how many of them a must."""
    points = _body(body).points
    many = "1 point" if len(points) == 1 else f"{len(points)} points"
    fails = len(_body(body).fails)
    return f"{many}, {sum(point.must for point in points)} must" + (f", {fails} that fail it" if fails else "")


def chance(body: object) -> float:
    """Nobody explains by guessing."""
    _body(body)
    return 0.0


def present(body: object, seed: int) -> Shown:
    """Nothing but the prompt: the answer is said aloud."""
    _body(body)
    return Shown("aloud")


def understand(body: object, text: str) -> str | None:
    """Numbers of the points said, in order: `1 3`; `all` of those to be said; `none`, stored as such."""
    explain = _body(body)
    word = text.strip().casefold()
    if word in {"all", "none"}:
        return " ".join(str(n) for n in range(1, len(explain.points) + 1)) if word == "all" else "none"
    numbers = re.split(r"[\s,;]+", word) if word else []
    known = {str(n) for n in range(1, len(explain.points) + len(explain.fails) + 1)}
    if not numbers or not set(numbers) <= known:
        return None
    return " ".join(sorted(set(numbers)))


def expects(body: object) -> str:
    """The numbers there are."""
    last = len(answer(body, 0))
    return f"the numbers of what you said, 1 to {last}, such as `1 2`; or `all` or `none`"


def mark(body: object, seed: int, given: str) -> Mark:
    """Right with every must point, three quarters of all points and nothing that fails the answer."""
    explain = _body(body)
    said = {int(number) for number in given.split() if number.isdecimal()}
    points = dict(enumerate(answer(body, seed), 1))
    heard = sum(number in said for number, point in points.items() if not point.fails)
    missed = any(point.must and number not in said for number, point in points.items())
    failed = any(point.fails and number in said for number, point in points.items())
    right = not missed and not failed and 4 * heard >= 3 * len(explain.points)
    return Mark(right, heard / len(explain.points))


def answer(body: object, seed: int) -> tuple[Point, ...]:
    """The points to be said, then what fails the answer."""
    explain = _body(body)
    return (*explain.points, *explain.fails)


def texts(body: object) -> tuple[str, ...]:
    """The points."""
    return tuple(point.text for point in answer(body, 0))
