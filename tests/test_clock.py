from contextlib import suppress
from datetime import UTC, date, datetime, timedelta
from uuid import RFC_4122, UUID

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stickback.clock import (
    Clock,
    clock_for,
    day_date,
    day_number,
    iso_moment,
    machine_now,
    machine_zone,
    study_day,
    uuid7,
    zone,
)
from stickback.refused import Refused

ZONES = (
    *("UTC", "Europe/London", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu", "Pacific/Kiritimati"),
    *("America/Sao_Paulo", "Africa/Casablanca", "Antarctica/Troll", "+05:45", "-11:00"),
)
GAPS = [timedelta(days=days, hours=hours) for days, hours in ((0, 0.5), (0, 1), (0, 2), (1, -0.5), (1, -1), (1, -2))]
zones = st.sampled_from(ZONES)
days = st.dates(date(2020, 1, 1), date(2035, 12, 31))
moments = st.integers(1_577_836_800, 2_082_758_400).map(lambda seconds: datetime.fromtimestamp(seconds, UTC))
milliseconds = st.integers(0, 4_102_444_800_000)  # to the year 2100


def at(text):
    return datetime.fromisoformat(text)


def fixed(text):
    return lambda: at(text)


@pytest.mark.parametrize("name", ["Europe/London", "+02:00", "-0330", "UTC"])
def test_a_zone_may_be_named_or_be_an_offset(name):
    assert at("2026-01-01T12:00Z").astimezone(zone(name)).utcoffset() == {
        "+02:00": timedelta(hours=2),
        "-0330": -timedelta(hours=3, minutes=30),
    }.get(name, timedelta())


@pytest.mark.parametrize("name", ["", "London", "Europe", "../../etc/passwd", "/etc/localtime", "+25:00", "+", "a\0b"])
def test_what_is_no_zone_is_refused_by_name(name):
    with pytest.raises(Refused) as caught:
        zone(name)
    assert f"'{name}'" in caught.value.message


@given(st.text())
@example("\udcff")
@example("x" * 5000)
def test_any_text_is_a_zone_or_is_refused(name):
    with suppress(Refused):
        assert at("2026-01-01T12:00Z").astimezone(zone(name)).utcoffset() is not None


def test_the_machine_says_its_zone_in_the_environment(monkeypatch):
    monkeypatch.setenv("TZ", "Asia/Kathmandu")
    assert machine_zone() == "Asia/Kathmandu"


@pytest.mark.parametrize("name", ["", "Nowhere/At/All", "../up", "CET-1CEST,M3.5.0,M10.5.0/3"])
def test_the_machine_has_a_zone_whatever_the_environment_says(monkeypatch, name):
    monkeypatch.setenv("TZ", name)
    assert machine_zone() != name
    assert at("2026-01-01T12:00Z").astimezone(zone(machine_zone())).utcoffset() is not None


def test_the_clock_of_the_machine_is_aware_and_in_utc():
    assert machine_now().utcoffset() == timedelta()


@pytest.mark.parametrize(
    ("moment", "where", "day"),
    [
        ("2026-06-02T02:59:59+01:00", "Europe/London", "2026-06-01"),
        ("2026-06-02T03:00:00+01:00", "Europe/London", "2026-06-02"),
        ("2026-06-01T23:30:00+00:00", "Pacific/Kiritimati", "2026-06-02"),
        ("2026-06-02T01:00:00+00:00", "America/New_York", "2026-06-01"),
        ("2026-03-29T02:30:00+00:00", "Europe/London", "2026-03-29"),  # clocks went forward an hour before
        ("2026-10-25T02:59:00+00:00", "Europe/London", "2026-10-24"),  # and back
    ],
)
def test_a_study_day_starts_at_three_by_the_clock_on_the_wall(moment, where, day):
    assert study_day(at(moment), zone(where)) == date.fromisoformat(day)


def test_days_are_counted_from_1970():
    assert [day_number(date(1970, 1, 1)), day_number(date(1970, 1, 31)), day_number(date(1969, 12, 31))] == [0, 30, -1]


@given(st.dates())
def test_a_day_and_its_number_are_the_same_thing(day):
    assert day_date(day_number(day)) == day


def test_a_moment_is_written_in_utc_with_milliseconds():
    assert [iso_moment(0), iso_moment(1_767_225_600_007)] == ["1970-01-01T00:00:00.000Z", "2026-01-01T00:00:00.007Z"]


@given(milliseconds)
def test_a_written_moment_keeps_every_millisecond(moment):
    assert (at(iso_moment(moment)) - at("1970-01-01T00:00Z")) / timedelta(milliseconds=1) == moment


def test_the_uuid_of_the_standards_example():
    """RFC 9562, appendix A.6."""
    assert uuid7(0x017F22E279B0, 0xCC3 << 62 | 0x18C4DC0C0C07398F) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


@given(milliseconds, milliseconds, st.integers(0, 2**74 - 1), st.integers(0, 2**74 - 1))
def test_uuids_sort_by_time(first, second, bits, others):
    assert (uuid7(first, bits) < uuid7(second, others)) == ((first, bits) < (second, others))


def test_uuids_of_the_same_millisecond_differ_and_are_of_version_7():
    made = [UUID(uuid7(1)) for _ in range(20)]
    assert len(set(made)) == 20
    assert {(each.version, each.variant) for each in made} == {(7, RFC_4122)}


def test_a_clock_tells_the_moment_and_the_study_day():
    clock = Clock("Europe/London", source=fixed("2026-06-02T01:30Z"))
    assert (clock.now, clock.today) == (at("2026-06-02T01:30Z"), date(2026, 6, 1))


def test_a_clock_without_a_day_is_that_of_the_machine():
    clock = clock_for("UTC", None, fixed("2026-06-02T12:00Z"))
    assert (clock.shift, clock.today) == (timedelta(), date(2026, 6, 2))


@given(zones, days, moments)
@example("Europe/London", date(2026, 3, 29), at("2026-06-02T02:30Z"))
@example("Australia/Lord_Howe", date(2026, 10, 4), at("2026-06-02T16:40Z"))
@example("Antarctica/Troll", date(2026, 1, 10), at("2026-06-02T01:30Z"))
def test_a_clock_for_a_day_is_on_that_day_and_hardly_moved_within_it(where, day, moment):
    clock = clock_for(where, day, lambda: moment)
    assert clock.today == day
    assert abs(clock.shift - timedelta(days=round(clock.shift / timedelta(days=1)))) <= timedelta(hours=2)


@pytest.mark.parametrize("where", ["America/Nuuk", "Antarctica/Casey", "Antarctica/Vostok", "America/Santiago"])
@given(days, moments)
def test_a_clock_for_a_day_is_on_that_day_where_offsets_change_for_other_reasons(where, day, moment):
    assert clock_for(where, day, lambda: moment).today == day


@given(zones, days, moments)
def test_a_clock_for_a_day_keeps_the_time_on_the_wall_unless_that_day_lacks_it(where, day, moment):
    now, then = (at.astimezone(zone(where)) for at in (moment, clock_for(where, day, lambda: moment).now))
    assert abs((then.replace(tzinfo=None) - now.replace(tzinfo=None)) % timedelta(days=1)) in {timedelta(), *GAPS}


def test_a_clock_for_a_day_goes_on_as_that_of_the_machine_does():
    times = iter([at("2026-06-02T12:00Z"), at("2026-06-02T12:00Z"), at("2026-06-02T13:30Z")])
    clock = clock_for("UTC", date(2026, 7, 9), lambda: next(times))
    assert clock.now == at("2026-07-09T13:30Z")
