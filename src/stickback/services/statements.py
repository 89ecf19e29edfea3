"""What is stated of each student on a date, from the answers of all; a server keeps what it stated until it changes."""

from collections import OrderedDict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from threading import Lock
from typing import NamedTuple

from stickback import clock
from stickback.course.course import Course
from stickback.memory.columns import Columns
from stickback.readiness import statement
from stickback.readiness.rehearsal import Rehearsal
from stickback.readiness.standings import of_answers
from stickback.readiness.statement import Case, Statement, numbers
from stickback.services import desk as desks
from stickback.services import plans
from stickback.services.plans import Group, SoFar
from stickback.store import log, parameters, people
from stickback.store.engine import Database
from stickback.store.people import NOTHING_STORED, Counter
from stickback.study.student import Student

MOST = 2_000  # statements that are kept, some ten kilobytes each; the one that was not looked at for longest makes room


class _Key(NamedTuple):
    """All that a statement hangs on: of which school, in which course, of whom and when, and how far the log is."""

    store: Database
    course: str
    case: Case
    counter: Counter


class Kept:
    """Statements made before: each is made anew once anything that it hangs on is another. It may go at any time."""

    def __init__(self, most: int = MOST) -> None:
        self._most = most
        self._there: OrderedDict[_Key, Statement] = OrderedDict()
        self._looking, self._making = Lock(), Lock()

    def all(self, keys: Sequence[_Key], make: Callable[[list[int]], list[Statement]]) -> list[Statement]:
        """The statements of some keys; those that are missing are made, and nobody makes others meanwhile.

        Args:
            make: the statements of some places.
        """
        found = self._look(keys)
        if len(found) < len(keys):
            with self._making:  # who asked again for what takes long waits for it
                found = self._look(keys)
                if missing := [at for at in range(len(keys)) if at not in found]:
                    made = dict(zip(missing, make(missing), strict=True))
                    self._keep({keys[at]: one for at, one in made.items()})
                    found |= made
        return [found[at] for at in range(len(keys))]

    def _look(self, keys: Sequence[_Key]) -> dict[int, Statement]:
        with self._looking:
            found = {at: self._there[key] for at, key in enumerate(keys) if key in self._there}
            for at in found:
                self._there.move_to_end(keys[at])
        return found

    def _keep(self, made: dict[_Key, Statement]) -> None:
        with self._looking:
            self._there.update(made)
            while len(self._there) > self._most:
                self._there.popitem(last=False)


def cases_of(students: Sequence[Student], on: date | None, today: date | None) -> list[Case]:
    """Each student for the date of all, else the checkride, else the student's own today (`--today` for all)."""
    todays = [clock.clock_for(one.zone or clock.machine_zone(), today).today for one in students]
    return [Case(one, now, on or one.checkride or now) for one, now in zip(students, todays, strict=True)]


def statements(
    store: Database, course: Course, cases: Sequence[Case], so_far: SoFar = plans.quiet, kept: Kept | None = None
) -> list[Statement]:
    """What is stated of every student, with the chance to pass today and what comes of keeping to the plan.

    Args:
        so_far: is told of the plans, which take longest, how many are done and of how many.
        kept: what was stated before, and keeps what is stated now.
    Errors: Refused for a student whose aeroplane the course does not have.
    """
    # Before the log: what comes between is seen later.
    counters = people.counters(store, [one.student.name for one in cases])
    keys = [_Key(store, course.revision, one, counters.get(one.student.name, NOTHING_STORED)) for one in cases]
    return (kept or Kept()).all(keys, lambda places: _made(store, course, [cases[at] for at in places], so_far))


def _made(store: Database, course: Course, cases: Sequence[Case], so_far: SoFar) -> list[Statement]:
    """The statements from the log."""
    columns = answers_of(store, [one.student for one in cases]).until(numbers(one.today for one in cases))
    found: dict[int, Statement] = {}
    rehearsals: dict[int, Rehearsal] = {}
    for group in groups(course, columns, cases):
        found |= zip(group.cases, stated(group, today=True), strict=True)
        rehearsals |= plans.rehearsals(course, group)
    for at, outcome in plans.outcomes(rehearsals, so_far).items():
        found[at] = replace(found[at], if_kept=outcome)
    return [found[at] for at in range(len(cases))]


def answers_of(store: Database, students: Sequence[Student]) -> Columns:
    """All answers of some students, under the parameters adopted for each."""
    return log.columns(store, parameters.adopted(store, [one.name for one in students]))


def groups(course: Course, columns: Columns, cases: Sequence[Case]) -> Iterator[Group]:
    """The students in groups that are asked the same.

    Errors: Refused for a student whose aeroplane the course does not have.
    """
    alike: dict[tuple[str, str, bool], dict[int, Case]] = {}
    for place, one in enumerate(cases):
        student = one.student
        asked = desks.sheet_of(course, student).id, student.phraseology, student.abroad
        alike.setdefault(asked, {})[place] = one
    for members in alike.values():
        pool = desks.pool(course, next(iter(members.values())).student)
        names = {place: one.student.name for place, one in members.items()}
        yield Group(pool, members, columns, of_answers(course, pool.questions, columns, names))


def stated(group: Group, *, today: bool) -> list[Statement]:
    """What is stated of a group by their answers alone, with the chance to pass today where it is asked for."""
    foretold = [group.columns.memory.foretold[place] for place in group.cases]
    return statement.stated(list(group.cases.values()), group.pool.sheet, group.standings, foretold, today=today)
