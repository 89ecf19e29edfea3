"""Personal memory parameters: fitted in a process of its own to a student's answers, adopted where that proves better.

Whatever goes wrong with a fit leaves everything as it was. What is adopted changes no entry: the memory is folded anew.
"""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np

from stickback import amount, clock
from stickback.clock import Clock
from stickback.memory import curve, tune
from stickback.memory.curve import DEFAULTS
from stickback.memory.tune import Answer, Fit
from stickback.refused import Refused
from stickback.store import acts, log, parameters
from stickback.store.engine import Database
from stickback.study.student import Student

SECONDS = 120  # for one fit: a hundred times what 20,000 answers take
COMMAND = (sys.executable, "-P", "-m", "stickback.memory.fit")  # -P: nothing of the folder one stands in is imported

Ask = Callable[[str], str]
What = Literal["adopted", "kept", "back"]


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What came of tuning for a student.

    Args:
        what: `adopted` a new set, `kept` what was in force, or went `back` to the set before it or to the defaults.
        why: in words, the end of a sentence.
        answers: how many graded answers there are.
        sharper: by which share predictions got better on answers not seen before; None where nothing was fitted.
        personal: whether a set of the student's own is in force now.
    """

    student: str
    what: What
    why: str
    answers: int
    sharper: float | None = None
    personal: bool = False


@dataclass(frozen=True)
class Attempt:
    """What was found out about a student before anything is stored; `fit` is None where none came about."""

    answers: int
    why: str
    fit: Fit | None = None


def in_child(text: str, command: Sequence[str] = COMMAND, seconds: float = SECONDS) -> str:
    """What the process that fits replies; what it says on standard error, a backtrace perhaps, is for no one.

    Errors: OSError, subprocess.SubprocessError when it cannot start, fails, is killed or takes too long.
    """
    run = subprocess.run(  # noqa: S603 - this interpreter and a module of ours
        command, input=text, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, timeout=seconds, check=True
    )
    return run.stdout


def tuned(
    store: Database, students: Sequence[Student], today: date | None = None, ask: Ask = in_child
) -> Iterator[Outcome]:
    """Tunes for each of these students, several at once, and says what came of it in their order.

    Errors: Refused when the database cannot be read or written.
    """
    pool = ThreadPoolExecutor(max_workers=os.cpu_count())  # its threads only wait for processes
    try:
        attempts = [pool.submit(attempt, store, one.name, ask) for one in students]
        for one, found in zip(students, attempts, strict=True):
            yield _settled(store, one, found.result(), _clock(one, today))
    finally:
        pool.shutdown(cancel_futures=True)


def attempt(store: Database, name: str, ask: Ask = in_child) -> Attempt:
    """Fits a student's parameters where that is due and there is enough to fit to; stores nothing."""
    answers = graded(store, name)
    many, tried = len(answers), parameters.sets(store, name).tried
    if why := tune.short_of(answers):
        return Attempt(many, why)
    if not tune.due(many, tried):
        return Attempt(many, f"last tried at {tried} graded answers, next at {tune.due_at(tried)}, has {many}")
    fit = fitted(answers, ask)
    return Attempt(many, "" if fit else "no fit came of these answers", fit)


def fitted(answers: Sequence[Answer], ask: Ask = in_child) -> Fit | None:
    """What a fit comes to; None when the process that fits fails in any way, or finds what the memory cannot follow."""
    try:
        fit = tune.understood(ask(tune.request(answers, DEFAULTS)))
    except (OSError, subprocess.SubprocessError, ValueError, RecursionError):
        return None
    return fit if curve.usable(fit.parameters or DEFAULTS) else None


def graded(store: Database, name: str) -> list[Answer]:
    """The answers that moved a student's memory, in the order of their days."""
    found = log.columns(store, {name: DEFAULTS})
    at = found.moving[np.lexsort((found.moving, found.day[found.moving]))]
    return list(zip(*(column[at].tolist() for column in (found.history, found.day, found.grade)), strict=True))


def _settled(store: Database, student: Student, found: Attempt, now: Clock) -> Outcome:
    """Stores what an attempt came to; a set that the gate refused counts as tried too, so that luck gets no second go.

    Where the gate refuses, the defaults are in force again: the set before was let through on less evidence.
    """
    name, fit = student.name, found.fit
    personal = parameters.sets(store, name).in_force != DEFAULTS
    if fit is None:
        return Outcome(student=name, what="kept", why=found.why, answers=found.answers, sharper=None, personal=personal)
    parameters.adopt(store, name, fit.parameters if fit.better else DEFAULTS, found.answers, now)
    acts.told(store, "tuned", name)
    what: What = "adopted" if fit.better else "back" if personal else "kept"
    return Outcome(
        student=name, what=what, why=_judged(fit), answers=found.answers, sharper=fit.sharper, personal=fit.better
    )


def _judged(fit: Fit) -> str:
    share, unseen = percent(fit.sharper), f"on {fit.tested} answers not seen before"
    return f"predictions {share} sharper {unseen}" if fit.better else f"a fit predicts {share} worse {unseen}"


def undone(store: Database, student: Student, today: date | None = None) -> Outcome:
    """Puts the set before the one in force back in force; nothing is deleted.

    Errors: Refused when nothing was adopted over the defaults.
    """
    before = parameters.sets(store, student.name).before
    if before is None:
        raise Refused(f"{student.name} has the defaults: there is nothing to go back from.")
    many = len(graded(store, student.name))
    parameters.adopt(store, student.name, before, many, _clock(student, today))
    acts.told(store, "untuned", student.name)
    why = f"the next fit is due at {tune.due_at(many)} graded answers, has {many}"
    return Outcome(student=student.name, what="back", why=why, answers=many, sharper=None, personal=before != DEFAULTS)


def percent(share: float) -> str:
    """A share by its size alone, in words."""
    return f"less than {amount.percent(0.01)}" if abs(share) < 0.01 else amount.percent(abs(share))


def _clock(student: Student, today: date | None) -> Clock:
    return clock.clock_for(student.zone or clock.machine_zone(), today)
