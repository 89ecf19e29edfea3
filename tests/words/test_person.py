from datetime import date

from stickback.memory.entry import Entry
from stickback.words import person


def test_a_flight_in_ones_own_log_is_told_by_what_was_said_of_it_and_by_nothing_empty():
    given = '{"by": "Ina Vesper", "errors": [], "note": "", "seat": "dual", "full_stop": 3}'
    one = Entry(id="1", what="flown", day=date(2026, 6, 1), at=0, zone="UTC", question="c/take-off", given=given)
    assert person.entry(one) == (
        *("2026-06-01", "recorded a flight", "c/take-off"),
        *("by Ina Vesper; seat dual; full stop 3", "-", "-"),
    )
