"""The persons of a school: who may come in, as what, and by which invitation; nobody registers alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from secrets import token_urlsafe
from typing import get_args

from stickback import acting
from stickback.acting import Role
from stickback.course.course import Course
from stickback.refused import Refused
from stickback.services import permission
from stickback.services import student as students
from stickback.store import acts, people, persons, sessions
from stickback.store.acts import Act
from stickback.store.engine import Database
from stickback.store.persons import Known
from stickback.study.student import ME

ROLES: tuple[Role, ...] = get_args(Role)
DAY = 86_400_000  # milliseconds
INVITED = 7 * DAY


@dataclass(frozen=True)
class Invited:
    """A person, and what goes into the address that lets the person in once."""

    known: Known
    token: str


def digest(token: str) -> str:
    """What is kept of something that only a browser may know."""
    return sha256(token.encode()).hexdigest()


def add(store: Database, course: Course, name: str, role: Role, instructs: Sequence[str], today: date) -> Invited:
    """A new person, or one who was removed and comes back, with an invitation; a student studies here from now on.

    Errors: Refused for a name that is taken or no name, and for students who are not there.
    """
    permission.check(store, "persons")
    students.check_name(name)
    if name == ME:
        raise Refused("`me` is whoever sits at a terminal; say the person's own name.")
    taken = persons.find(store, people.alike(name))
    if taken is not None:
        raise Refused(f"There is a person '{taken.person.name}' already; invite them anew.")
    check_instructs(store, role, instructs)
    if role == "student" and name not in people.everyone(store):
        students.add(store, course, name, {}, today)
    persons.save(store, name, people.alike(name), role, instructs)
    return invite(store, name)


def check_instructs(store: Database, role: Role, instructs: Sequence[str]) -> None:
    """Refuses students who are not there, or for one who instructs nobody."""
    if instructs and role != "instructor":
        raise Refused("Students are given to instructors; the school sees them all.")
    for each in instructs:
        people.find(store, each)


def find(store: Database, name: str) -> Known:
    """The person of a name.

    Errors: Refused when there is none.
    """
    found = persons.find(store, people.alike(name))
    if found is None:
        raise Refused(f"There is no person '{name}'.", "`stickback person list` says who there is")
    return found


def set_(store: Database, name: str, role: Role | None, instructs: Sequence[str], without: Sequence[str]) -> Known:
    """A person with another role, or with students given or taken away.

    Errors: Refused for persons and students who are not there.
    """
    permission.check(store, "persons")
    known = find(store, name)
    for each in without:
        if each not in known.students:
            raise Refused(f"{known.person.name} does not instruct {each}.")
    chosen = role or known.person.role
    if chosen != known.person.role:
        _check_other(known, "changes their own role")
    kept = [each for each in known.students if each not in without] if chosen == "instructor" else []
    check_instructs(store, chosen, instructs)
    own, students = known.person.name, sorted({*kept, *instructs})
    if (chosen, students) != (known.person.role, sorted(known.students)):
        persons.save(store, own, people.alike(own), chosen, students)
    return find(store, own)


def invite(store: Database, name: str) -> Invited:
    """Lets a person in anew, once, within seven days; what was sent before serves no more."""
    permission.check(store, "persons")
    known, token = find(store, name), token_urlsafe(32)
    persons.invite(store, known.person, digest(token), acts.moment() + INVITED)
    return Invited(known, token)


def revoke(store: Database, name: str) -> Known:
    """Takes back the invitation of a person that still serves.

    Errors: Refused where there is none.
    """
    permission.check(store, "persons")
    known = find(store, name)
    if not persons.take_back(store, known.person):
        raise Refused(f"{known.person.name} has no invitation that still serves.")
    return known


def sign_out(store: Database, name: str) -> int:
    """Signs a person out wherever they are signed in; gives on how many devices."""
    permission.check(store, "persons")
    known = find(store, name)
    signed = [each.digest for each in sessions.of(store, known.person)]
    sessions.end(store, known.person, signed, "signed out")
    return len(signed)


def _check_other(known: Known, what: str) -> None:
    """Refuses what would leave a school without whoever does it."""
    here = acting.now()
    if here is not None and here.key == known.person.key:
        raise Refused(f"Nobody {what}; another of the school does.")


def listed(store: Database) -> list[Known]:
    """Everyone who may come in, by name."""
    return [known for known in persons.everyone(store).values() if known.active]


def remove(store: Database, name: str, *, erase: bool = False) -> int:
    """Shuts a person out at once; or erases the person, and the student of the same name with every answer.

    Returns: the number of entries that were deleted.
    """
    permission.check(store, "persons")
    known = find(store, name)
    person = known.person
    _check_other(known, "shuts themselves out")
    if not erase:
        persons.remove(store, person)
        return 0
    return people.erase(store, person.name)


def waiting(store: Database) -> set[str]:
    """Whose invitations still serve, by name."""
    return persons.waiting(store)


def log(store: Database) -> list[Act]:
    """Who did what, the newest last."""
    return acts.read(store)
