"""`--today` may lie before what is in the log: every command does its work for that day, or says why not."""

import csv
import io
import shutil
from pathlib import Path

import pytest
import uvicorn
from click.testing import Result

import every_command
import worlds
from every_command import ASKED, MORE, RUNS
from worlds import Place, Typist

DAYS = ("2026-05-31", "2026-05-01", "1971-01-01")  # the day before the first answer, a month, the first of all

NO_DATES = "UPDATE students SET checkride = NULL, next_on = NULL"


def test_what_stands_behind_a_command_belongs_to_one_that_there_is():
    assert MORE.keys() <= ASKED.keys()


@pytest.fixture(scope="module")
def later(template: Place, tmp_path_factory: pytest.TempPathFactory) -> Place:
    """Entries of two days to come, some taken back, and beside them the files that commands take."""
    folder = tmp_path_factory.mktemp("later")
    place = template.copied(folder / "begun.db")
    place.does("student", "set", "Bea", "--minutes", 15, today="2026-06-05")
    place.does("student", "set", "me", "--checkride", "2026-06-20", "--next", 2, "--on", "2026-06-09")
    place.does("review", "--questions", 2, "--seed", 2, today="2026-06-05", typed=Typist())
    place.does("flown", 1, "--error", "late-foot", today="2026-06-05")
    place.does("undo", today="2026-06-05")
    place.does("person", "add", "Ina", "--role", "school")
    coming = place.does("log", "export", student="Bea").replace('"Bea"', '"Dora"')
    folder.joinpath("coming.jsonl").write_text(coming, "utf-8")
    place.does("backup", folder / "kept.db")
    return place.settled(folder / "school.db")


@pytest.fixture(autouse=True)
def _served_and_left(monkeypatch: pytest.MonkeyPatch) -> None:
    """A server is interrupted before its first request."""
    monkeypatch.setattr(uvicorn.Server, "run", lambda self, sockets: [each.close() for each in sockets])


RUN = pytest.mark.parametrize("run", RUNS, ids=lambda run: " ".join(run) or "glance")


def ran(later: Place, folder: Path, run: tuple[str, ...], day: str) -> tuple[Place, Result]:
    """A command run in a copy of the place on a day; whatever comes of it, no traceback."""
    folder.mkdir(exist_ok=True)
    for name in ("coming.jsonl", "kept.db"):
        shutil.copy(later.db.with_name(name), folder)
    place = later.copied(folder / "school.db")
    if day < "2000":
        place.raw(NO_DATES)  # a plan of half a century takes seconds to rehearse
    typed = Typist() if run[:1] == ("review",) else "all\nright\n" * 20
    result = place(*every_command.asked(run, folder), typed=typed, today=day)
    assert isinstance(result.exception, SystemExit | None), (day, result.exc_info)
    assert "Traceback" not in result.output, day
    return place, result


@RUN
def test_every_command_does_its_work_on_the_day_itself(later, tmp_path, run):
    """So what is asked above can be done, and the past alone stands in its way."""
    _, result = ran(later, tmp_path, run, "2026-06-05")
    expected = {("coverage",): (1, ""), ("demo",): (1, "students already; the demo needs a new file.\n")}
    status, says = expected.get(run, (0, ""))  # the course has gaps, and the database is not the demo's
    assert (result.exit_code, says in result.stderr) == (status, True), result.output


@RUN
def test_a_day_in_the_past_gives_its_answer_or_one_sentence(later, tmp_path, run):
    before = set(later.stored())
    for day in DAYS:
        place, result = ran(later, tmp_path / day, run, day)
        assert result.exit_code in {0, 1}, (day, result.output)
        if result.exit_code and result.stderr:
            assert worlds.sentence(result), day
        assert before <= set(place.stored()), day


LOOKS = [("progress", "--json"), ("debrief", "--json"), ("outlook", "--json"), ("readiness", "--format", "csv"), ()]


@pytest.mark.parametrize("run", LOOKS, ids=lambda run: " ".join(run) or "glance")
def test_a_day_looks_the_same_whether_or_not_anything_came_after_it(later, tmp_path, run):
    day, again = "2026-06-02", later.copied(tmp_path / "school.db")
    removed = "DROP TRIGGER entries_are_never_deleted"
    again.raw(removed, "DELETE FROM entries WHERE day > (SELECT min(day) FROM entries) AND what != 'void'")
    assert again.stored() != later.stored()
    assert told(again, run, day) == told(later, run, day)


def told(place, run, day):
    """What a command says, but for what the figures are sealed by."""
    shown = place.does(*run, today=day)
    if run[:1] != ("readiness",):
        return shown
    return [{k: v for k, v in row.items() if k != "fingerprint"} for row in csv.DictReader(io.StringIO(shown))]
