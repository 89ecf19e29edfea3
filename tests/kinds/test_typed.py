"""What people type, from tables beside this file named like their kinds: every form with its verdict and its rule.

`right` and `wrong` are understood and marked; `again` is asked again with what was not understood, and never fails.
What is clear is marked, however it is dressed; what can be read in two ways is asked again. Every question stands
before its table as a deck has it; in sequences `{1}` stands for the letter that the first step was shown with. A kind
to which few forms are typed says them in its test module.
"""

import re
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from parts import part_of
from stickback.kinds.protocol import Kind
from stickback.kinds.shown import Unclear
from stickback.kinds.table import KINDS

TABLES = sorted(Path(__file__).parent.glob("*.md"))
SECTION = re.compile(
    r"^## (?P<title>.+?)\n\n````markdown(?P<settings>.*?)\n(?P<body>.+?)\n````\n(?P<rest>.+?)(?=^## |\Z)",
    re.MULTILINE | re.DOTALL,
)
ROW = re.compile(r"^\| (?:`(?P<typed>.*)` )?\| (?P<verdict>right|wrong|again) \| (?P<rule>.+) \|$", re.MULTILINE)
SEED = 7


@dataclass(frozen=True)
class Asked:
    """A question, and what is typed in answer to it."""

    title: str
    body: Kind
    values: dict[str, str] = field(hash=False)


def body_of(kind, text, settings):
    part = part_of(f"## Which? {{#which}}\n\n{text}\n", **settings)
    body, _, problems = next(each for each in KINDS.values() if each.reads(part)).parse(part)
    assert (body.NAME, problems) == (kind, [])
    return body


def forms():
    """Every row of the tables with its question."""
    for path in TABLES:
        for match in SECTION.finditer(path.read_text()):
            settings = dict(each.split("=") for each in match["settings"].split())
            with_ = re.search(r"^With (.+)\.$", match["rest"], re.MULTILINE)
            values = dict(re.findall(r"(\w+): ([\w-]+)", with_[1] if with_ else ""))
            asked = Asked(match["title"], body_of(path.stem, match["body"], settings), values)
            for row in ROW.finditer(match["rest"]):
                yield asked, row["typed"] or "", row["verdict"], row["rule"]


FORMS = list(forms())


def lettered(asked, typed):
    """What is typed, with the letters that the steps of a sequence were shown with."""
    letters = ["", *(point.label for point in asked.body.answer(SEED, asked.values))]
    plain = re.sub(r"\\u([0-9a-f]{4})", lambda match: chr(int(match[1], 16)), typed)
    return re.sub(r"\{(\d)\}", lambda match: letters[int(match[1])], plain)


@pytest.mark.parametrize(
    ("asked", "typed", "verdict"),
    [pytest.param(asked, typed, verdict, id=f"{asked.title}: {typed}") for asked, typed, verdict, _ in FORMS],
)
def test_what_is_typed_gets_its_verdict(asked, typed, verdict):
    found = asked.body.understand(lettered(asked, typed), asked.values)
    if isinstance(found, Unclear):
        assert verdict == "again", found.why
        assert found.why
    else:
        mark = asked.body.mark(SEED, found, asked.values)
        assert verdict == ("right" if mark.right else "wrong"), (found, mark.remarks)


def test_what_is_understood_is_understood_as_itself():
    for asked, typed, _, _ in FORMS:
        found = asked.body.understand(lettered(asked, typed), asked.values)
        assert isinstance(found, Unclear) or asked.body.understand(found, asked.values) == found


def test_no_row_of_the_table_is_passed_over():
    lines = [line for path in TABLES for line in path.read_text().splitlines()]
    heads = sum(line == "| typed | verdict | rule |" for line in lines)
    assert len(FORMS) == sum(line.startswith("| ") for line in lines) - 2 * heads
    assert len(FORMS) >= 300
    assert {asked.body.NAME for asked, *_ in FORMS} == set(KINDS)


def test_a_rule_says_more_than_the_form_and_belongs_to_one_verdict():
    verdicts = {}
    for asked, _, verdict, rule in FORMS:
        verdicts.setdefault((asked.title, rule), set()).add(verdict)
    assert [key for key, found in verdicts.items() if len(found) > 1] == []
