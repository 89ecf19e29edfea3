"""An answer whose mark was shown is on disk, whenever the program is killed.

This file run as a program is the student's shell: warm, with everything imported, it forks reviews and kills them. It
is a process of its own with one thread, as forking needs; the runner of the tests may have more.
"""

import gc
import json
import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import traceback
from contextlib import closing
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from stickback.cli.terminal import lines
from stickback.course import read as courses
from stickback.services import desk, review
from stickback.services.today import Wish
from stickback.store import engine

KILLS, SHELLS = 100, 2  # each shell kills its share, at the same time as the other
QUESTIONS = 3
MARKS = ("✓ Right.", "✗ Not right.")
ALONE = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "PYTHONUTF8": "1", "COVERAGE_PROCESS_START": ""}

# A choice takes the first line, an explanation the other two; what a question does not take it explains.
TYPED = b"a think\nthink\n1\n" * 2 * QUESTIONS
FILES = {
    "lesson-plan.md": "---\nid: t\ntitle: T\n---\n\n## Lesson {#lesson}\n\n### Topic {#topic}\n\nText.\n",
    "aircraft/quillon.md": "---\nname: Quillon\ncallsign: G-QTWB\npropeller: clockwise\nbrakes: heel\n"
    "tailwheel: skid\nspeed_unit: kt\n---\n",
    "deck.md": "---\ntopic: topic\n---\n"
    + "".join(
        f"\n## Which side at {n}? {{#side-{n}}}\n\n- [x] This\n- [ ] That\n\n### Why\n\nIt turns. The rest follows.\n"
        f"\n## Explain step {n}. {{#step-{n}}}\n\n### Answer\n\n- **Cause {n}**\n- Its side\n\n### Why\n\nIt is so.\n"
        for n in range(QUESTIONS)
    ),
}


def begin(session):
    """Forks a piped review; gives its process and our ends of its pipes. It stays until its input ends."""
    typed, typing = os.pipe()
    seen, shown = os.pipe()
    child = os.fork()
    if not child:
        try:
            os.dup2(typed, sys.stdin.fileno())
            os.dup2(shown, sys.stdout.fileno())
            os.closerange(min(typed, seen), max(typing, shown) + 1)
            lines.sit(session, Path())
            sys.stdin.read()
            os._exit(0)
        except BaseException:
            traceback.print_exc()
            os._exit(1)
    os.close(typed)
    os.close(shown)
    return child, os.fdopen(typing, "wb", buffering=0), os.fdopen(seen, "rb", buffering=0)


def watch(session, most=None):
    """How a review ended that was killed after so many bytes, and what it had shown; None lets it end by itself."""
    child, typing, seen = begin(session)
    with typing, seen:
        typing.write(TYPED)
        text = b""
        while most is not None and len(text) < most and (piece := seen.read(most - len(text))):
            text += piece
        if most is None:
            typing.close()
        else:
            os.kill(child, signal.SIGKILL)
        text += seen.readall()  # what stands in the pipe was shown
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), text


def main(prepared, number):
    """Prints for every review its database, how it ended and the number of marks it showed; the first is not killed."""
    taught = courses.read([(name, text.encode()) for name, text in FILES.items()])
    student = desk.desk(taught, engine.locate(str(prepared)), "me", date(2026, 6, 1))
    session = review.start(student, Wish(questions=QUESTIONS, seed=1))
    gc.disable()
    gc.freeze()
    moments = random.Random(number)

    def copied(name):
        path = shutil.copy(prepared, prepared.with_name(f"{number}-{name}.db"))
        return replace(session, desk=replace(student, database=engine.locate(str(path))))

    whole = copied("whole")
    status, text = watch(whole)
    ends = [(Path(whole.desk.database.name).name, status, marks(text))]
    for name in range(KILLS // SHELLS):
        killed = copied(name)
        status, shown = watch(killed, moments.randrange(len(text)))
        ends.append((Path(killed.desk.database.name).name, status, marks(shown)))
    print(json.dumps(ends))


def marks(text):
    return sum(line.startswith(MARKS) for line in text.decode(errors="ignore").splitlines())


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    """A folder for the databases, gone afterwards: there are hundreds."""
    folder = tmp_path_factory.mktemp("kill")
    engine.locate(str(folder / "prepared.db")).prepare()
    yield folder
    shutil.rmtree(folder)


@pytest.fixture(scope="module")
def ends(place):
    """The reviews of each shell: path of the database, how it ended, marks shown; the first one was not killed."""
    commands = [[sys.executable, "-W", "error", __file__, str(place / "prepared.db"), str(n)] for n in range(SHELLS)]
    pipes = {"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    shells = [subprocess.Popen(command, env=os.environ | ALONE, **pipes) for command in commands]
    said = [shell.communicate() for shell in shells]
    assert [(shell.returncode, error) for shell, (_, error) in zip(shells, said, strict=True)] == [(0, b"")] * SHELLS
    return [[(place / name, status, shown) for name, status, shown in json.loads(told)] for told, _ in said]


def stored(path):
    """The verdict on the file, the number of answers in it, and the number that the student's row counts."""
    with closing(sqlite3.connect(path)) as connection:
        (sound,) = connection.execute("PRAGMA integrity_check").fetchone()
        (answers,) = connection.execute("SELECT count(*) FROM entries WHERE what = 'answer'").fetchone()
        (counted,) = connection.execute("SELECT coalesce(sum(entries), 0) FROM students").fetchone()
    return sound, answers, counted


@pytest.mark.skipif(not hasattr(os, "fork"), reason="reviews are forked, so that hundreds of them are quick")
def test_a_review_killed_at_any_moment_has_stored_every_answer_whose_mark_it_showed(ends):
    killed = [review for reviews in ends for review in reviews[1:]]
    assert len(killed) == KILLS
    for path, status, shown in killed:
        sound, answers, counted = stored(path)
        assert (status, sound, counted) == (-signal.SIGKILL, "ok", answers)
        assert shown <= answers <= shown + 1


@pytest.mark.skipif(not hasattr(os, "fork"), reason="reviews are forked, so that hundreds of them are quick")
def test_a_review_that_is_not_killed_shows_and_stores_all_its_answers(ends):
    assert [(status, shown, stored(path)) for ((path, status, shown), *_) in ends] == [
        (0, QUESTIONS, ("ok", QUESTIONS, QUESTIONS))
    ] * SHELLS


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
