from dataclasses import replace
from datetime import date

import pytest

from stickback import clock
from stickback.memory import seal
from stickback.memory.entry import Entry

AT = 1_772_000_000_000
SEALS = ["74360174b6b7f3b8", "1144f28bde9ed3a1"]


def flown(n):
    values = {"day": date(2026, 3, 1), "at": AT + n, "zone": "UTC", "question": "t/l", "given": str(n)}
    return Entry(id=clock.uuid7(AT + n, n), what="flown", **values)


def chain(many, device="d"):
    made, before = [], ""
    for number in range(1, many + 1):
        made.append(seal.sealed(flown(number), device, number, before))
        before = made[-1].seal
    return made


def test_a_seal_never_changes_from_one_version_to_the_next():
    """Two devices need not have the same version of the program."""
    assert [each.seal[:16] for each in chain(2)] == SEALS


def test_a_whole_chain_shows_nothing():
    assert seal.walk(chain(5)) == seal.Chain([], [], [])
    assert seal.walk([*chain(5), *chain(3, "other")][::-1]) == seal.Chain([], [], [])


@pytest.mark.parametrize("changes", [{"given": "x"}, {"number": 9}, {"device": "x"}, {"seal": "0" * 64}, {"id": "x"}])
def test_a_changed_entry_is_changed_or_stands_behind_nothing(changes):
    found = chain(5)
    found[2] = replace(found[2], **changes)
    shown = seal.walk(found)
    assert found[2] in [*shown.changed, *(entry for _, entry in shown.missing)]


def test_a_missing_entry_is_known_by_who_follows_it():
    found = chain(5)
    (gap,) = seal.walk([*found[:2], *found[3:]]).missing
    assert gap == (("d", 3), found[3])
    assert seal.walk(found[1:]).missing == [(("d", 1), found[1])]


def test_the_seal_of_what_was_given_up_fills_its_place():
    found = chain(5)
    rest = [*found[:2], *found[3:]]
    assert seal.walk(rest, [("d", 3, found[2].seal)]) == seal.Chain([], [], [])


def test_two_that_stand_at_one_place_are_no_fault_where_both_follow():
    found = chain(3)
    other = seal.sealed(flown(9), "d", 3, found[1].seal)
    shown = seal.walk([*found, other])
    assert (shown.changed, shown.missing) == ([], [])
    assert shown.twice == [(("d", 3), [found[2], other])]


def test_an_inserted_entry_that_follows_nothing_is_changed():
    found = chain(3)
    assert seal.walk([*found, replace(flown(9), device="d", number=3, seal="0" * 64)]).changed != []
