"""Every problem there is, by example: `cases/*.md` holds files of a course and the problems that are found in them.

Lines that begin with `%%` divide a case; all other lines are Markdown. The first line says what the case shows:

    %% An option without a space after its bullet
    %% file: deck.md
    -[x] Left
    %% 1:1 choice-marker

`%% file: NAME` begins a file; `%% no file: NAME` takes one of the default course away (see `conftest.py`).
`%% LINE:COLUMN CODE` expects a problem in the file above it, `%% NAME:LINE:COLUMN CODE` one elsewhere, `%% no problem`
none.
A first line that ends with `(strict)` asks for what `check --strict` says of the craft of questions too.
`%% repeat N` writes the next line N times, `<N>` counting. Characters that hide in an editor are written `<U+00A0>`.
"""

import ast
import re
from dataclasses import dataclass, field
from pathlib import Path

import pytest

import stickback
from stickback.course import craft
from stickback.reading.problem import CODES

CASES = sorted((Path(__file__).parent / "cases").glob("*.md"))
OF_LOGS = {"key-changed"}  # what a course and its answers say together: see `services/test_outdated.py`
OF_FOLDERS = {"file-place", "file-unread"}  # what lies in a folder, and is no text: see `services/test_folder.py`
PICTURES = ("figures/stick.svg",)
_EXPECTED = re.compile(r"(?:(\S+):)?(\d+:\d+) ([a-z-]+)")


@dataclass
class Case:
    """The files of a case, None for one that is taken away, and the problems expected."""

    name: str
    files: dict[str, str | None] = field(default_factory=dict)
    expected: list[str] = field(default_factory=list)

    @property
    def strict(self) -> bool:
        """Whether the craft of its questions is judged too."""
        return self.name.endswith("(strict)")


def cases(text, file):
    """The cases of a file; they are named by the line on which they begin."""
    found, current, times = [], None, 1
    for number, line in enumerate(text.splitlines(keepends=True), 1):
        if not line.startswith("%%"):
            found[-1].files[current] += "".join(line.replace("<N>", str(n)) for n in range(times))
            times = 1
            continue
        what, _, rest = line.removeprefix("%%").strip().partition(": ")
        if what == "file":
            current = rest
            found[-1].files[current] = ""
        elif what == "no file":
            found[-1].files[rest] = None
        elif what.startswith("repeat "):
            times = int(what.split()[1])
        elif match := _EXPECTED.fullmatch(line.removeprefix("%%").strip()):
            found[-1].expected.append(f"{match[1] or current}:{match[2]} {match[3]}")
        elif what != "no problem":
            found.append(Case(f"{file}:{number} {what}"))
    return found


def content(text):
    """A file of a case with the hidden characters in it; `<byte E9>` is no text at all."""
    if text is None:
        return None
    shown = re.sub(r"<U\+([0-9A-F]{4,6})>", lambda match: chr(int(match[1], 16)), text)
    return re.sub(r"<byte (..)>", lambda match: chr(0xDC00 + int(match[1], 16)), shown).encode(errors="surrogateescape")


ALL = [case for path in CASES for case in cases(path.read_text(encoding="utf-8"), path.name)]


@pytest.mark.parametrize("case", ALL, ids=lambda case: case.name)
def test_the_problems_of_a_case_are_found_and_no_others(course, case):
    made = course(others=PICTURES, **{name: content(text) for name, text in case.files.items()})
    found = sorted([*made.problems, *(craft.problems(made) if case.strict else ())])
    places = [f"{each.file}:{each.line}:{each.column} {each.code}" for each in found]
    assert places == sorted(case.expected, key=_place)


def _place(expected):
    file, line, column = expected.partition(" ")[0].rsplit(":", 2)
    return file, int(line), int(column), expected


def test_every_code_has_a_case_and_every_case_a_code():
    mistakes = (Path(__file__).parent / "cases" / "authoring" / "mistakes.txt").read_text(encoding="utf-8")
    told = re.findall(r"(?m)^%% \S+:\d+:\d+ ([a-z-]+) ", mistakes)
    assert {each.split()[-1] for case in ALL for each in case.expected} | {*told} | OF_FOLDERS | OF_LOGS == CODES.keys()


def literals(path):
    """The texts of a module that are written as a code is, in one of the areas of codes; without their list."""
    areas = "|".join({code.partition("-")[0] for code in CODES})
    statements = ast.parse(path.read_text(encoding="utf-8")).body
    listed = [one for one in statements if isinstance(one, ast.AnnAssign) and ast.unparse(one.target) == "CODES"]
    nodes = (node for one in statements if one not in listed for node in ast.walk(one))
    texts = [node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)]
    return {text for text in texts if re.fullmatch(rf"(?:{areas})(?:-[a-z]+)+", text)}


def test_the_codes_that_the_source_gives_are_those_that_are_listed():
    source = Path(stickback.__file__).parent
    given = {code for path in source.rglob("*.py") for code in literals(path)}
    assert given == CODES.keys()
