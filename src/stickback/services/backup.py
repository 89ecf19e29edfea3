"""A backup of everything in one file, and back from it once it was checked."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from stickback.course.course import Course
from stickback.refused import Refused
from stickback.services import verify
from stickback.store import acts, backup, damage, log, schools
from stickback.store.engine import Database
from stickback.store.sqlite import SQLite


@dataclass(frozen=True)
class Held:
    """What a database holds in all its schools: the fingerprint of one of them tells whether two hold the same."""

    schools: int
    students: int
    entries: int
    fingerprint: str


def held(store: Database) -> Held:
    """What a database holds."""
    found = schools.listed(store)
    students, entries = sum(one.students for one in found), sum(one.entries for one in found)
    return Held(len(found), students, entries, log.fingerprint(store))


def save(store: Database, file: Path) -> Held:
    """Saves a database in a file that is one too; says what was saved.

    Errors: Refused when there is nothing to save, and for a file that is there already or cannot be written.
    """
    backup.save(store, file)
    acts.told(store, "saved")
    return held(replace(store, dialect=SQLite(file)))


def restore(store: Database, course: Course, file: Path, *, anyway: bool, back: bool) -> tuple[Held, str | None]:
    """Puts a backup in the place of a database; says what it holds, and where what was there before is kept.

    Args:
        anyway: also one in which something does not hold.
        back: also one that brings students back who were erased since.
    Errors: Refused for a file that is no backup, in which something does not hold or somebody is who was erased since,
        and where nothing can be written.
    """
    with backup.coming(file) as copy, _row_named(file, copy):
        checks = [check for school in schools.everyone(copy) for check in verify.verify(school, course)]
        wrong = [f"{check.name}: {each}" for check in checks for each in check.wrong]
        if wrong and not anyway:
            more = f", and {len(wrong) - 1} more" if len(wrong) > 1 else ""
            raise Refused(
                f"{file} was not taken: {wrong[0]}{more}; `stickback --db {file} log verify` lists it, and --anyway "
                "takes it all the same."
            )
        if (erased := backup.erased_since(store, copy)) and not back:
            who = ", ".join(erased)
            raise Refused(
                f"{file} was not taken: it holds {who}, erased here since.", "--bring-back takes it all the same"
            )
        kept = backup.put_back(store, copy)
    acts.told(store, "put back")
    return held(store), kept


@contextmanager
def _row_named(file: Path, copy: Database) -> Iterator[None]:
    """What fails for a row of a file that the program never wrote is said of that row, as it is for a database."""
    try:
        yield
    except Refused:
        raise
    except Exception as error:
        found = (damage.behind(school) for school in (copy, *schools.everyone(copy)))
        if (said := next(filter(None, found), None)) is None:
            raise
        raise Refused(f"{file} was not taken: {said}") from error
