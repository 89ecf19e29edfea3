"""Mistakes that authors make, each in a course that has none: one problem at its cause, in these words.

`cases/authoring/mistakes.txt` lists them. Lines that begin with `%%` divide; the first says what the mistake is:

    %% A picture that is not there
    %% change: all.md
    attitude.png
    %% into
    atitude.png
    %% all.md:163:1 picture-missing There is no picture 'atitude.png' in the course folder.

`%% file: NAME` puts a whole file into the course instead. Characters that hide in an editor are written `<U+00A0>`, and
bytes that are no text `<byte E9>`.
"""

import re
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from stickback.course import craft, prove
from stickback.course import read as courses
from stickback.kinds.table import KINDS
from test_cases import content

AUTHORING = Path(__file__).parent / "cases" / "authoring"
COURSE = {
    path.relative_to(AUTHORING / "course").as_posix(): path.read_bytes()
    for path in (AUTHORING / "course").rglob("*")
    if path.is_file()
}


@dataclass
class Mistake:
    """A text that is found in a file and what is put in its place, or a whole file; and the problems told."""

    name: str
    file: str = ""
    parts: dict[str, str] = field(default_factory=dict)
    told: list[str] = field(default_factory=list)

    def course(self):
        """The course with the mistake in it."""
        files = {name: raw for name, raw in COURSE.items() if name.endswith(".md")}
        if "file" in self.parts:
            files[self.file] = content(self.parts["file"])
        else:
            find, put = (content(self.parts[part].removesuffix("\n")) for part in ("change", "into"))
            assert find in files[self.file]
            files[self.file] = files[self.file].replace(find, put, 1)
        return courses.read(files.items(), COURSE.keys() - files.keys(), prove.MANY)


def mistakes(text):
    found, part = [], ""
    for line in text.splitlines(keepends=True):
        if not line.startswith("%% "):
            found[-1].parts[part] += line
        elif match := re.fullmatch(r"%% (change|file): (\S+)\n", line):
            part, found[-1].file = match.groups()
            found[-1].parts[part] = ""
        elif line == "%% into\n":
            part = "into"
            found[-1].parts[part] = ""
        elif re.match(r"%% \S+:\d+:\d+ ", line):
            found[-1].told.append(line[3:].strip())
        elif line != "%% no problem\n":
            found.append(Mistake(line[3:].strip()))
    return found


ALL = mistakes((AUTHORING / "mistakes.txt").read_text(encoding="utf-8"))


def test_the_course_that_the_mistakes_are_made_in_has_no_problem():
    files = {name: raw for name, raw in COURSE.items() if name.endswith(".md")}
    read = courses.read(files.items(), COURSE.keys() - files.keys(), prove.MANY)
    assert read.problems == ()


@pytest.mark.parametrize("name", KINDS)
@pytest.mark.parametrize(("section", "told"), [("Why", []), ("Wyh", ["section-unknown"])])
def test_a_mistake_beside_an_answer_of_any_kind_is_told_and_nothing_else_is(name, section, told):
    question = f"---\ntopic: swing\n---\n\n## How? {{#one-more}}\n\n{KINDS[name].EXAMPLE}\n\n### {section}\n\nSo.\n"
    read = Mistake(name, "one-more.md", {"file": question}).course()
    assert [each.code for each in read.problems] == told
    assert told or read.questions["one-more"].kind == name


@pytest.mark.parametrize("mistake", ALL, ids=lambda mistake: mistake.name)
def test_a_mistake_is_told_at_its_cause_in_plain_words_and_nothing_else_is(mistake):
    problems = mistake.course().problems
    assert [f"{each.file}:{each.line}:{each.column} {each.code} {each.message}" for each in problems] == mistake.told
    assert [each for each in problems if not each.hint] == []


def test_a_question_that_does_not_say_why_is_told_only_to_who_asks_for_craft():
    mistake = next(each for each in ALL if each.name == "A question that does not say why")
    found = craft.problems(mistake.course())
    assert [(each.line, each.code) for each in found if each.code == "craft-why"] == [(6, "craft-why")]
