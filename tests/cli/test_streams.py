"""What the program says: clean on a real terminal, and a sentence where it cannot be said.

This file run as a program is a shell of one thread: it forks the command again and again, as starting Python anew would
take longer than all the rest.
"""

import errno
import importlib
import itertools
import json
import os
import pkgutil
import pty
import re
import select
import subprocess
import sys
from pathlib import Path

import pytest

import every_command
from stickback import services, store, words
from stickback.cli import terminal
from stickback.cli.terminal import streams
from stickback.store import engine, people
from worlds import Place

# Colour, a title and a bell, the controls of one byte, direction, what nobody sees, a line written over.
HOSTILE = "A\x1b[31mB\x1b]0;C\x07D\x9b2JE\u202eF\u200bG\u2066H\ufeffI\x08J\rK\x00L"
# What the program itself may say to a terminal: how a text looks, a line written over, what is pasted.
OURS = re.compile(r"\x1b\[(?:[0-9;]*[mKFJ]|\?2004[hl])|\r")
KEYS, PATIENCE = (b"a", b"g", b"w", b" ", b"q"), 0.2  # seconds
COMMANDS = (
    (),
    ("student", "list"),
    ("log", "export"),
    ("log", "verify"),
    ("readiness",),
    ("readiness", "--format", "json"),
    ("debrief",),
    ("lesson",),
    ("lesson", "eyes"),
    ("questions",),
    ("check",),
    ("coverage",),
    ("undo",),
    ("find", "look"),
    ("review", "--questions", "1"),
    ("student", "add", "Cy"),
    ("--help",),
    ("review", "--help"),
    ("--student", HOSTILE.replace("\0", ""), "debrief"),
    ("lesson", HOSTILE.replace("\0", "")),
    ("--today", HOSTILE.replace("\0", "")),
    (HOSTILE.replace("\0", ""),),
)


def main(stdout, *lines):
    """Forks a run for each line of JSON; prints how each ended, its standard error and its screen."""
    from stickback.cli.main import main as program

    for package in (services, words, terminal, store):
        for module in pkgutil.iter_modules(package.__path__, f"{package.__name__}."):
            importlib.import_module(module.name)
    for line in lines:
        said, saying = os.pipe()
        child, screen = pty.fork() if stdout == "terminal" else (os.fork(), None)
        if not child:
            if screen is None:
                os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
            os.dup2(saying, 2)
            if stdout == "full":
                os.dup2(os.open("/dev/full", os.O_WRONLY), 1)
            elif stdout == "closed":
                os.close(1)
                sys.stdout = None
            sys.argv = ["stickback", *json.loads(line)]
            try:
                program()
            except SystemExit as end:  # quicker than taking everything down
                os._exit(int(end.code or 0))
        os.close(saying)
        shown = read(screen, itertools.cycle(KEYS)) if screen is not None else b""
        errors = read(said)
        status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        print(json.dumps([status, errors.decode(), shown.decode()]), flush=True)


def read(handle, keys=None):
    """Everything that comes until the other end is closed, which a terminal tells by an error.

    Whenever the other end waits the next key is pressed.
    """
    text = b""
    try:
        while True:
            if keys is not None and not select.select([handle], [], [], PATIENCE)[0]:
                os.write(handle, next(keys))
            elif piece := os.read(handle, 65536):
                text += piece
            else:
                break
    except OSError as error:
        if error.errno != errno.EIO:
            raise
    os.close(handle)
    return text


def runs(place, stdout, commands=COMMANDS):
    """How every command ended, with its standard error and its screen."""
    before = ["--db", str(place.db), "--course", str(place.course)]
    lines = [json.dumps([*before, *command]) for command in commands]
    settings = {"TERM": "xterm-256color", "PYTHONUTF8": "1", "STICKBACK_TODAY": "2026-06-02", "COLUMNS": "80"}
    settings["PYTHONPATH"] = str(Path(__file__).parents[1])
    done = subprocess.run(
        [sys.executable, "-W", "error", __file__, stdout, *lines],
        stdin=subprocess.DEVNULL,
        env=os.environ | settings,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return {command: json.loads(line) for command, line in zip(commands, done.stdout.splitlines(), strict=True)}


forks = pytest.mark.skipif(not hasattr(os, "fork"), reason="runs are forked, so that many of them are quick")


@forks
def test_what_came_from_outside_never_reaches_a_terminal_as_a_sign(school):
    """In names, zones, notes and ids of a database that someone wrote with another program, and in what was typed."""
    quoted = HOSTILE.replace("\0", "")
    drop = ("DROP TRIGGER entries_are_never_changed", "DROP TRIGGER entries_are_never_deleted")
    school.raw(
        *drop,
        f"UPDATE students SET name = 'x{quoted}' WHERE name = 'Bea'",
        f"UPDATE entries SET question = 'small/{quoted}' WHERE what = 'flown'",
        f"UPDATE entries SET given = '{quoted}' WHERE kind = 'explain'",
        f"UPDATE entries SET zone = '{quoted}' WHERE number = 2",
        f"UPDATE students SET aircraft = '{quoted}' WHERE name != 'me'",
    )
    folder = school.db.parent / "course"
    for path in school.course.rglob("*.md"):
        to = folder / path.relative_to(school.course)
        to.parent.mkdir(parents=True, exist_ok=True)
        to.write_text(path.read_text().replace("Look past it.", f"Look {quoted} past it."))
    for command, (_, errors, shown) in runs(Place(folder, school.db), "terminal").items():
        text = OURS.sub("", errors + shown).replace("\r\n", "\n")
        assert streams.clean(text) == text, command
        assert "Traceback" not in text, command


@forks
def test_colours_reach_a_terminal(school):
    """So the test above looks where signs would be seen."""
    assert any(OURS.search(shown) for _, _, shown in runs(school, "terminal", [()]).values())


@pytest.fixture
def every(school, tmp_path):
    """Every command there is, with the files that it takes."""
    tmp_path.joinpath("coming.jsonl").write_text(school.does("log", "export").replace('"Bea"', '"Dora"'), "utf-8")
    school.does("person", "add", "Ina", "--role", "school")
    school.does("backup", tmp_path / "kept.db")
    return [tuple(every_command.asked(run, tmp_path)) for run in every_command.RUNS]


@forks
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a disk that is always full")
def test_every_command_says_in_a_sentence_that_nothing_more_can_be_written(school, every):
    before = set(school.stored())
    for command, (status, errors, _) in runs(school, "full", every).items():
        full = "The output cannot be written: No space left on device."
        said = f"{school.db} holds students already" if command == ("demo",) else full
        assert (status, errors.count("\n")) == (1, 1), (command, errors)
        assert errors.startswith(f"Error: {said}"), command
    assert before <= set(school.stored())


@forks
def test_every_command_says_in_a_sentence_that_standard_output_is_closed_and_does_nothing(school, every):
    before = school.stored()
    for command, (status, errors, _) in runs(school, "closed", [*every, *COMMANDS]).items():
        assert (status, errors) == (1, "Error: Standard output is closed.\n"), command
    assert school.stored() == before
    assert "Cy" not in people.everyone(engine.locate(str(school.db)))


def test_an_export_says_everything_and_no_sign_reaches_the_screen(school):
    """What is escaped is the same to whoever reads it."""
    school.raw(
        "DROP TRIGGER entries_are_never_changed", "UPDATE entries SET given = 'a\u202eb\x9bc' WHERE what = 'flown'"
    )
    shown = school.does("log", "export")
    assert streams.clean(shown) == shown
    assert "a\u202eb\x9bc" in [json.loads(line).get("given") for line in shown.splitlines()]


@pytest.mark.parametrize("sign", HOSTILE[1::2] + "\u200e\u061c\u2028")
def test_a_sign_has_a_mark_in_its_place(sign):
    assert streams.clean(f"a{sign}b") == ("a\ufffdb" if not sign.isprintable() else f"a{sign}b")


@pytest.mark.parametrize("text", ["plain\n", "a\tb\r\n", "Zoë ✓ · “quoted” 日本", ""])
def test_a_text_is_left_as_it_is(text):
    assert streams.clean(text) == text


def test_what_is_read_on_a_screen_has_the_spaces_that_are_typed_to_find_it():
    assert streams.clean("61\xa0%") == "61 %"


if __name__ == "__main__":
    main(*sys.argv[1:])
