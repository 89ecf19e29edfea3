"""Now, the zone and the study day; the only module that looks at the machine's clock."""

import os
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from pathlib import Path
from uuid import UUID
from zoneinfo import ZoneInfo

from stickback.refused import Refused

DAY_STARTS = 3  # o'clock; an answer at half past one belongs to the evening before
EPOCH = date(1970, 1, 1)


def zone(name: str) -> tzinfo:
    """The zone of an IANA name (`Europe/London`) or an offset (`+02:00`).

    Errors: Refused when there is no such zone.
    """
    try:
        if name[:1] in {"+", "-"}:
            return datetime.strptime(name, "%z").tzinfo or UTC
        return ZoneInfo(name)
    except (ValueError, KeyError, OSError):
        raise Refused(f"There is no time zone '{name}'; write one such as Europe/London or +01:00.") from None


def machine_zone() -> str:
    """The name of this machine's zone, or its offset where the name cannot be told."""
    link = Path("/etc/localtime")
    for name in (os.environ.get("TZ", ""), str(link.resolve()).partition("zoneinfo/")[2] if link.exists() else ""):
        try:
            ZoneInfo(name)
        except (ValueError, KeyError, OSError):
            continue
        return name
    offset = datetime.now().astimezone().utcoffset() or timedelta()
    return datetime.now(timezone(offset)).strftime("%z")


def study_day(at: datetime, where: tzinfo) -> date:
    """The date that an answer given at an aware moment belongs to, in a zone; a day starts at 03:00."""
    return (at.astimezone(where) - timedelta(hours=DAY_STARTS)).date()


def day_number(day: date) -> int:
    """Days since 1970-01-01, as the store and the arrays count them."""
    return (day - EPOCH).days


def day_date(number: int) -> date:
    """The date of a day number.

    Errors: Refused for a number that no log of ours holds.
    """
    try:
        return EPOCH + timedelta(days=number)
    except OverflowError:
        raise Refused(f"The log holds a day that cannot be ({number} after 1970-01-01).") from None


def iso_moment(milliseconds: int) -> str:
    """A moment in milliseconds since 1970 as ISO 8601 in UTC."""
    seconds, rest = divmod(milliseconds, 1000)
    at = datetime.fromtimestamp(seconds, UTC).replace(microsecond=1000 * rest)
    return at.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def random_bits() -> int:
    """The 74 bits of a UUIDv7 that are not time."""
    return secrets.randbits(74)


def uuid7(milliseconds: int, bits: int | None = None) -> str:
    """A UUID that sorts by time.

    Args:
        milliseconds: since 1970.
        bits: the 74 bits that are not time; drawn at random unless given.

    Source: RFC 9562, 5.7.
    """
    tail = random_bits() if bits is None else bits
    high, low = tail >> 62, tail & (2**62 - 1)
    return str(UUID(int=milliseconds << 80 | 7 << 76 | high << 64 | 2 << 62 | low))


def machine_now() -> datetime:
    """This moment by the machine's clock."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Clock:
    """Tells the moment and the study day for one student.

    Args:
        zone_name: the student's zone.
        shift: what is added to the machine's clock, so that moment and day agree under `--today`.
        source: where the moment comes from; `entropy`, the rest of an id.
    """

    zone_name: str
    shift: timedelta = timedelta()
    source: Callable[[], datetime] = machine_now
    entropy: Callable[[], int] = random_bits

    def new_id(self) -> str:
        """A UUIDv7 of now."""
        return uuid7(int(self.now.timestamp() * 1000), self.entropy())

    @property
    def now(self) -> datetime:
        """The aware moment, in UTC."""
        return self.source() + self.shift

    @property
    def today(self) -> date:
        """The study day of now."""
        return study_day(self.now, zone(self.zone_name))


def clock_for(zone_name: str, today: date | None, source: Callable[[], datetime] = machine_now) -> Clock:
    """The clock of a zone; moved to the same time on the wall of another study day when that is given."""
    plain = Clock(zone_name, source=source)
    if today is None:
        return plain
    now, where = plain.now, zone(zone_name)
    wall = now.astimezone(where) + (today - study_day(now, where))
    # Where clocks go forward that time is missing, and is read as one before the gap or one behind it.
    clocks = (Clock(zone_name, wall.replace(fold=fold) - now, source) for fold in (0, 1))
    return next((clock for clock in clocks if clock.today == today), plain)
