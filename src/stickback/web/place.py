"""What the server holds between requests: the course as its files are now, and what was made of each student's log."""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from threading import Lock

from starlette.concurrency import run_in_threadpool
from starlette.types import ASGIApp, Receive, Scope, Send

from stickback import clock
from stickback.course.course import Course
from stickback.services import desk as desks
from stickback.services import folder, review
from stickback.services.review import Session
from stickback.services.statements import Kept
from stickback.services.today import Wish
from stickback.store import people
from stickback.store.engine import Database
from stickback.store.people import Counter
from stickback.study.student import Student

MOST = 512  # sessions that are held; the one that was not used for longest makes room

_Stamp = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True)
class _Held:
    """A session, and the day on which it was begun."""

    session: Session
    day: date

    def holds(self, course: Course, student: Student, counter: Counter, day: date) -> bool:
        """Whether it is still of the course as it was read last, and all else is as it was."""
        desk = self.session.desk
        return desk.course is course and (desk.student, desk.counter, self.day) == (student, counter, day)


class Place:
    """One course and one database.

    Nothing here is needed but time: whatever is held is made anew once the student's counter, the settings, the day or
    a file of the course are others, or another database was put in the place of this one.
    """

    def __init__(self, course: Path, store: Database, today: Callable[[], date | None] = lambda: None) -> None:
        self.folder, self.store, self.today = course, store, today
        self.statements = Kept()
        self._lock = Lock()
        self._read: tuple[_Stamp, Course] | None = None
        self._sessions: OrderedDict[tuple[str, Wish], _Held] = OrderedDict()

    def course(self) -> Course:
        """The course, read again when one of its files has changed.

        Errors: Refused when its folder cannot be read.
        """
        with self._lock:
            stamp = folder.stamp(self.folder)
            if self._read is None or self._read[0] != stamp:
                self._read = (stamp, folder.load(self.folder))
            return self._read[1]

    def session(self, name: str, wish: Wish | None = None) -> Session:
        """A student's review as it stands: today's plan over everything in the log.

        Errors: Refused for a student that is not there, or whose aeroplane the course lacks.
        """
        wish, course = wish or Wish(), self.course()
        student, counter = people.standing(self.store, name)
        today = clock.clock_for(student.zone or clock.machine_zone(), self.today()).today
        with self._lock:
            kept = self._sessions.get((name, wish))
        if kept is not None and kept.holds(course, student, counter, today):
            return kept.session
        made = review.start(desks.desk(course, self.store, name, self.today()), wish)
        self._keep(name, wish, _Held(made, today))
        return made

    def hold(self, name: str, wish: Wish, session: Session) -> None:
        """Holds a session as it went on, with what this process has stored, so that no page need read the log."""
        with self._lock:
            kept = self._sessions.get((name, wish))
        if kept is not None:
            self._keep(name, wish, _Held(session, kept.day))

    def _keep(self, name: str, wish: Wish, kept: _Held) -> None:
        with self._lock:
            self._sessions[name, wish] = kept
            self._sessions.move_to_end((name, wish))
            while len(self._sessions) > MOST:
                self._sessions.popitem(last=False)


class Connected:
    """Everything that one request asks of the database goes through one connection, closed when it is answered."""

    def __init__(self, app: ASGIApp, store: Database) -> None:
        self.app, self.store = app, store

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes on; nobody waits while the disk takes what closing writes, for it is on disk already."""
        with self.store.held() as held:
            await self.app(scope, receive, send)
            await run_in_threadpool(held.close)
