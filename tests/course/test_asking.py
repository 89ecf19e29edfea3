import pytest

from stickback.course import asking
from stickback.formulas.formula import FormulaError

QUESTION = """\
---
title: T
topic: yaw-causes
---

## Read back {{#q{rules}}}

> {{{{ callsign_short }}}}, **runway {{{{ runway }}}}**.

```given
runway: 06 | 24
{where}```
"""


def asked(course, rules="", where="", sheet="quillon", tries=10):
    read = course(QUESTION.format(rules=rules, where=where))
    return asking.values(read.questions["q"], 1, read.sheets[sheet], tries)


def test_the_values_are_those_of_the_sheet_and_those_drawn(course):
    values = asked(course)
    assert (values["callsign"], values["approach_speed"]) == ("G-QTWB", "60")
    assert values["runway"] in {"06", "24"}


@pytest.mark.parametrize(
    ("rules", "short"), [("", "G-WB"), (" phraseology=icao", "G-WB"), (" phraseology=faa", "G-TWB")]
)
def test_the_callsign_is_shortened_as_the_phraseology_does_it(course, rules, short):
    assert asked(course, rules)["callsign_short"] == short


def test_what_cannot_be_drawn_in_so_many_tries_is_an_error(course):
    read = course(QUESTION.format(rules="", where="where: runway > 6\n"))
    with pytest.raises(FormulaError):
        asking.values(read.questions["q"], 1, read.sheets["quillon"], 0)
