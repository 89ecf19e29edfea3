"""Hundreds of answers held against what the rule beside each says of them (`radio_tries.txt`)."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from stickback.radio import examiner
from stickback.radio.exchange import Exchange

TABLE = Path(__file__).with_name("radio_tries.txt")


@dataclass(frozen=True)
class Try:
    """An answer, and what is thought of it: `+` right, `~` right with a remark, `-` wrong."""

    exchange: Exchange
    worth: str
    rule: str
    said: str


def rules():
    """Every rule by name, with its source."""
    rows = [line.split(maxsplit=2) for line in TABLE.read_text().splitlines() if line.startswith("rule ")]
    return {name: text for _, name, text in rows}


def exchange(head, lines):
    phraseology, station, *more = head.split()
    said = {line[0]: line[1:].strip() for line in lines if line[:1] in {"<", "=", "*", "@"}}
    return Exchange(
        wanted=tuple(text.strip() for text in said.get("*", "").split(";") if text.strip()),
        callsign="N07TW" if phraseology == "faa" else "G-QTWA",
        phraseology=phraseology,
        station=station,
        heard=said.get("<", ""),
        model=said.get("=", ""),
        unable="unable" in more,
        name="Brackle",
        scene=said.get("@", ""),
    )


def tries():
    _, *blocks = TABLE.read_text().split("\n--- ")
    for block in blocks:
        head, *lines = block.splitlines()
        one = exchange(head, lines)
        for line in lines:
            if line[:2] in {"+ ", "- ", "~ "}:
                worth, rule, said = line.split(maxsplit=2)
                yield Try(one, worth, rule, said)


TRIES = tuple(tries())


@pytest.mark.parametrize("each", TRIES, ids=lambda each: f"{each.worth} {each.rule} {each.said}")
def test_an_answer_is_worth_what_the_rule_says(each):
    verdict = examiner.mark(each.exchange, each.said)
    assert verdict.right == examiner.right(each.exchange, each.said) == (each.worth != "-"), verdict.remarks
    assert bool(verdict.remarks) == (each.worth != "+" or each.rule == "letter"), verdict.remarks
