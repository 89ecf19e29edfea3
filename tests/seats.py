"""Real processes at one database: the command itself with a student who types, and writers who answer on and on.

This file run as a program is such a writer.
"""

import json
import os
import subprocess
import sys
import threading
import time
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import behind
import worlds
from stickback.memory.entry import Entry
from stickback.refused import Refused
from stickback.services import desk, folder, marking, review
from stickback.services.review import Step
from stickback.services.today import Wish
from stickback.store import engine, log
from stickback.store.engine import Database
from stickback.study.student import Student

PROGRAM = (sys.executable, "-W", "error", "-c", "from stickback.cli.main import main; main()")
ALONE = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "PYTHONUTF8": "1", "COVERAGE_PROCESS_START": ""}
# Whatever is asked, one of these answers it; what a question does not take it explains.
TYPED = b"a think\nthink\n1\na b sure\n"
RIGHT, WRONG = "✓ Right", "✗ Not right"


def command(store: Database, course: Path, *words: object, student: str = "me", day: str = worlds.DAY) -> list[str]:
    """What starts a command in a process of its own."""
    options = ["--db", store.dialect.url, "--course", str(course), "--student", student, "--today", day]
    return [*PROGRAM, *options, *map(str, words)]


@dataclass
class Sitting:
    """A review in a process of its own, which types answers for as long as it lives.

    Args:
        marks: whether each answer was right, as far as that was shown.
    """

    running: subprocess.Popen[bytes]
    marks: list[bool] = field(default_factory=list)
    shown: list[str] = field(default_factory=list)
    errors: str = ""

    def read(self, until: int) -> None:
        """Reads until so many marks were shown, or the review ends."""
        assert self.running.stdout is not None
        while len(self.marks) < until and (line := self.running.stdout.readline()):
            self._take(line)

    def _take(self, raw: bytes) -> None:
        line = raw.decode(errors="replace")
        self.shown.append(line)
        if line.startswith((RIGHT, WRONG)) and line.endswith("\n"):
            self.marks.append(line.startswith(RIGHT))

    def end(self, *, kill: bool) -> int:
        """Kills it, or lets it end; gives how it ended. What stands in the pipe by then was shown."""
        if kill:
            self.running.kill()
        assert self.running.stdout is not None
        assert self.running.stderr is not None
        for line in self.running.stdout.readlines():
            self._take(line)
        self.errors = self.running.stderr.read().decode()
        status = self.running.wait()
        for pipe in (self.running.stdout, self.running.stderr):
            pipe.close()
        return status


def sit(store: Database, course: Path, student: str, *words: object, day: str = worlds.DAY) -> Sitting:
    """Begins a review through pipes; all that will be typed lies ready."""
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    line = command(store, course, "review", "--minutes", 120, *words, student=student, day=day)
    running = subprocess.Popen(line, env=os.environ | ALONE, **pipes)
    assert running.stdin is not None
    running.stdin.write(TYPED * 4 * worlds.QUESTIONS)
    running.stdin.close()
    return Sitting(running)


def by_student(store: Database) -> dict[str, list[Entry]]:
    """The answers of each student, in the order in which they were put."""
    found: dict[str, list[Entry]] = defaultdict(list)
    for name, entry in log.entries_of(store):
        if entry.what == "answer":
            found[name].append(entry)
    return {name: sorted(each, key=lambda entry: entry.id) for name, each in found.items()}


@dataclass(frozen=True)
class Written:
    """What writers were told that is stored: student, id and mark of each; what was refused; what else they said."""

    told: list[tuple[str, str, bool]]
    refused: list[str]
    errors: str


def write(store: Database, course: Path, writers: int, seconds: float) -> Written:
    """Lets writers answer at the same time, two of them for each student."""
    lines = [
        [sys.executable, "-W", "error", __file__, store.dialect.url, str(course), str(n // 2), str(seconds)]
        for n in range(writers)
    ]
    path = {"PYTHONPATH": str(Path(__file__).parent)}
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    started = [subprocess.Popen(line, env=os.environ | ALONE | path, text=True, **pipes) for line in lines]
    for each in started:
        assert each.stdout is not None
        assert each.stdout.readline() == "here\n"
    said: list[tuple[str, str]] = []
    threads = [threading.Thread(target=lambda each=each: said.append(each.communicate("go\n"))) for each in started]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    lines = [json.loads(line) for out, _ in said for line in out.splitlines()]
    told = [tuple(line) for line in lines if isinstance(line, list)]
    refused = [line for line in lines if isinstance(line, str)]
    return Written(told, refused, "".join(errors for _, errors in said))


def main(url: str, course: str, pair: str, seconds: str) -> None:
    """Answers for a time, round after round as another student; says of each answer that it is stored."""
    store, taught = engine.locate(url), folder.load(Path(course))
    store.prepare()
    print("here", flush=True)
    sys.stdin.readline()
    until, chance = time.monotonic() + float(seconds), 0
    for round_ in range(10**6):
        name = f"Writer {pair} {round_}"
        behind.put(store, Student(name=name, minutes=120))
        session = review.start(desk.desk(taught, store, name, date.fromisoformat(worlds.DAY)), Wish())
        while isinstance(step := review.ask(session), Step):
            if chance and time.monotonic() > until:
                return
            chance += 1
            given = step.question.body.simulate(step.seed, step.values, right=chance % 3 > 0)
            try:
                session, marked = marking.take(session, step, marking.Answer(given, "think", hinted=False, seconds=1.0))
            except Refused as refused:  # said in time, nothing stored: a file's lock has no queue
                print(json.dumps(refused.message), flush=True)
                continue
            print(json.dumps([name, step.asking, marked.mark.right]), flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
    engine.close()
