"""Each rule that makes an answer wrong is taken out once, and the table of tries notices.

A rule is a check, a word that takes something back, or a row of the grammar: with one of them gone, some try of
`radio_tries.txt` is no longer worth what its rule says.
"""

from dataclasses import replace

import pytest

from reference.test_radio_tries import TRIES
from stickback.radio import examiner, faults, grammar, readback, rules, things
from stickback.radio.exchange import Exchange


@pytest.fixture(autouse=True)
def nothing_kept():
    """What was taken to pieces with a rule is not kept for a run without it, nor the other way round."""
    things.said.cache_clear()
    yield
    things.said.cache_clear()


def noticed():
    """Whether some try comes out otherwise than it should."""
    fresh = {}
    for each in TRIES:
        one = fresh.setdefault(id(each.exchange), replace(each.exchange))  # nothing reckoned with the rule is kept
        if examiner.mark(one, each.said).right != (each.worth != "-"):
            return True
    return False


CHECKS = [
    *((faults, name, lambda *_: iter(())) for name in ("_claimed", "_taken_back", "_asked", "_called", "_unaccounted")),
    (faults, "_take_off", lambda *_: iter(())),
    (faults, "refusal", lambda *_: iter(())),
    (faults, "_unseen", lambda *_: False),
    (faults, "_goes_on", lambda *_: True),
    (readback, "_unit", lambda *_: ""),
    (examiner, "_callsign", lambda *_: ([], [])),
    (Exchange, "placed", lambda *_: frozenset({"first", "last"})),
    (Exchange, "own_in", lambda *_: set()),
    (things, "corrected", lambda tokens, _: tokens),
    (things, "_station", lambda *_: None),
    (rules, "UNITS", {kind: set(rules.UNITS["figure"]) for kind in rules.UNITS}),
    (rules, "PERMITTED", frozenset()),
    (rules, "STAYS", frozenset()),
    (rules, "SPOIL", frozenset()),
]


def test_nothing_is_noticed_where_nothing_is_taken_out():
    assert not noticed()


@pytest.mark.parametrize(("module", "name", "without"), CHECKS, ids=lambda each: each if isinstance(each, str) else "")
def test_a_check_taken_out_is_noticed(module, name, without, monkeypatch):
    monkeypatch.setattr(module, name, without)
    assert noticed()


@pytest.mark.parametrize("word", rules.TAKES_BACK)
def test_a_word_that_no_longer_takes_back_is_noticed(word, monkeypatch):
    monkeypatch.delitem(rules.TAKES_BACK, word)
    assert noticed()


@pytest.mark.parametrize("kind", dict.fromkeys(kind for kind, _ in grammar.ROWS if kind != "own"))
def test_a_kind_of_thing_that_is_no_longer_heard_is_noticed(kind, monkeypatch):
    monkeypatch.setattr(grammar, "GRAMMAR", grammar.compiled(row for row in grammar.ROWS if row[0] != kind))
    assert noticed()


@pytest.mark.parametrize("kind", sorted(rules.HARMLESS - {"own"}))
def test_what_is_harmless_is_needed(kind, monkeypatch):
    monkeypatch.setattr(rules, "HARMLESS", rules.HARMLESS - {kind})
    assert noticed()


@pytest.mark.parametrize("act", rules.BROUGHT)
def test_what_an_act_brings_with_it_is_needed(act, monkeypatch):
    monkeypatch.delitem(rules.BROUGHT, act)
    assert noticed()
