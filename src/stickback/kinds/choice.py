"""Choice: a task list with one or more right options; right when the set ticked is the set marked."""

import re
from dataclasses import dataclass
from string import ascii_lowercase

from stickback.formulas import draw
from stickback.kinds.protocol import Mark, Part, Point, Reading, Shown, Values
from stickback.reading import markup
from stickback.reading.markup import Block
from stickback.reading.problem import Problem

NAME = "choice"
MOST = 6  # options have the keys a to f; g, s and t say how sure one is

_TASK = re.compile(r"\[([ xX])\](?:[ \t\xa0]++|$)")
# Anything an author may have meant as an option. What the parser did not read as one is a mistake.
_LOOKS = re.compile(
    r"[ \t\xa0>]*+(?:(?:[-*+•–—]|\d{1,2}[.)])[ \t\xa0]*+"
    r"(?:\[[ \t\xa0]*+\S?[ \t\xa0]*+\]|\([ \t\xa0]*+[xX✓✗]?[ \t\xa0]*+\))"
    r"|\[[ \t\xa0]*+[xX✓✗]?[ \t\xa0]*+\])(?![(\[:])"
)


@dataclass(frozen=True)
class Option:
    """One line of the task list."""

    text: str
    right: bool


@dataclass(frozen=True)
class Choice:
    """The body of a choice question; `fixed` options are shown in the order they are written."""

    options: tuple[Option, ...]
    fixed: bool = False


def near_misses(part: Part) -> list[Problem]:
    """Lines before the first `###` that look like an option and are not read as one."""
    meant = {item.line for block in lists(part.prompt) for item in block.children if _task(item)}
    for fence in (block for block in markup.every(part.prompt) if block.kind == "fence"):
        meant.update(range(fence.line, fence.end + 1))
    message, hint = "This line is not read as an option.", "write `- [x] ` or `- [ ] `, with one space before the text"
    problems = []
    for number in range(part.section.heading.end + 1, max((block.end for block in part.prompt), default=0) + 1):
        match = _LOOKS.match(part.lines[number - 1])
        if match and number not in meant and number not in part.broken:
            column = len(match[0]) - len(match[0].lstrip(" \t\xa0>")) + 1
            problems.append(Problem(part.file, number, column, "choice-marker", message, hint))
    return problems


def _task(item: Block) -> re.Match[str] | None:
    if item.kind != "item" or not item.children or item.children[0].kind != "paragraph":
        return None
    return _TASK.match(item.children[0].text)


def _is_tasks(block: Block) -> bool:
    return block.kind == "bullets" and any(map(_task, block.children))


def lists(blocks: tuple[Block, ...]) -> list[Block]:
    """The task lists among some blocks."""
    return [block for block in blocks if _is_tasks(block)]


def reads(part: Part) -> bool:
    """A task list stands before the first `###`."""
    return any(map(_is_tasks, part.prompt))


def parse(part: Part) -> Reading:
    """The options; every one is checked before the question is refused."""
    first, *more = lists(part.prompt)
    prompt = tuple(block for block in part.prompt if not _is_tasks(block))
    if more:
        message = "This question has two lists of options."
        hint = "put the options into one list, without text between them"
        return None, prompt, [Problem(part.file, more[0].line, 1, "answer-doubled", message, hint)]
    options, problems = _options(part, first)
    if not problems:
        problems = _whole(part, first, options)
    fixed = part.settings.get("order") == "fixed"
    return (None if problems else Choice(tuple(options), fixed)), prompt, problems


def _options(part: Part, block: Block) -> tuple[list[Option], list[Problem]]:
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
        elif text in options:
            message, code, hint = "This option stands there already.", "choice-doubled", "change or delete one of them"
        else:
            options[text] = Option(text, match[1] != " ")
            continue
        if item.line not in part.broken:
            problems.append(Problem(part.file, item.line, 1, code, message, hint))
    return list(options.values()), problems


def _whole(part: Part, block: Block, options: list[Option]) -> list[Problem]:
    if len(options) < 2:
        code, message, hint = "choice-few", "A choice needs two options at the least.", "add a wrong option: `- [ ] …`"
    elif len(options) > MOST:
        code, message = "choice-many", f"{len(options)} options are more than there are keys for."
        hint = f"keep the best, {MOST} at the most"
    elif not any(option.right for option in options):
        code, message, hint = "choice-no-right", "No option is marked as right.", "mark it: `- [x] …`"
    else:
        return []
    return [Problem(part.file, block.line, 1, code, message, hint)]


def _body(body: object) -> Choice:
    assert isinstance(body, Choice)  # noqa: S101 - the table of kinds pairs bodies with modules
    return body


def describe(body: object) -> str:
    """How many options, how many right."""
    options = _body(body).options
    return f"{len(options)} options, {sum(option.right for option in options)} right"


def chance(body: object) -> float:
    """1/k with one right of k; 1/(2^k - 1) where several may be ticked, since ticking none is no answer."""
    options = _body(body).options
    several = sum(option.right for option in options) > 1
    return 1 / (2 ** len(options) - 1) if several else 1 / len(options)


def _shown(body: object, seed: int) -> list[Option]:
    choice = _body(body)
    if choice.fixed:
        return list(choice.options)
    return [choice.options[index] for index in draw.order(len(choice.options), seed)]


def present(body: object, seed: int, values: Values) -> Shown:
    """The options, shuffled by the seed unless their order is fixed."""
    shown = _shown(body, seed)
    several = sum(option.right for option in shown) > 1
    return Shown("several" if several else "one", tuple(option.text for option in shown))


def understand(body: object, text: str) -> str | None:
    """Letters of options, in order, with single spaces: `b`, `a c`."""
    options = _body(body).options
    letters = re.findall(r"[^\s,;]", text.casefold())
    if not letters or not set(letters) <= set(ascii_lowercase[: len(options)]):
        return None
    if len(set(letters)) > 1 and sum(option.right for option in options) == 1:
        return None
    return " ".join(sorted(set(letters)))


def expects(body: object) -> str:
    """The letters there are."""
    options = _body(body).options
    last = ascii_lowercase[len(options) - 1]
    several = sum(option.right for option in options) > 1
    return f"letters from a to {last}, such as `a {last}`" if several else f"one letter from a to {last}"


def mark(body: object, seed: int, given: str, values: Values) -> Mark:
    """All or nothing: the set ticked equals the set marked."""
    right = {point.letter for point in answer(body, seed, values)} == set(given.split())
    return Mark(right, float(right))


def answer(body: object, seed: int, values: Values) -> tuple[Point, ...]:
    """The right options with the letters they had."""
    shown = zip(ascii_lowercase, _shown(body, seed), strict=False)
    return tuple(Point(option.text, letter) for letter, option in shown if option.right)


def texts(body: object) -> tuple[str, ...]:
    """The options."""
    return tuple(option.text for option in _body(body).options)
