"""README and DEVELOPERS tell the truth: samples load, commands run, modules and problem codes are all explained."""

import re
import shlex
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from stickback.cli.main import cli, modules
from stickback.course import read as courses
from stickback.reading.problem import CODES, as_text
from stickback.services import demo, folder
from test_floors import FLOORS

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()


def samples(language):
    """The fenced blocks of the README in a language."""
    return [body for _, body in re.findall(rf"^(````?){language}\n(.*?)^\1$", README, re.MULTILINE | re.DOTALL)]


def course_with(deck):
    """The shipped plan, sheets and sources with one other deck."""
    shipped = folder.shipped()
    names = ["lesson-plan.md", "sources.md", "aircraft/brackle.md", "aircraft/pendlewick.md"]
    # What a newcomer begins with stands in the decks that are left out here.
    files = [(name, re.sub(rb"(?m)^begin: .*\n", b"", (shipped / name).read_bytes())) for name in names]
    pictures = [path.relative_to(shipped).as_posix() for path in shipped.glob("figures/*")]
    return courses.read([*files, ("deck.md", deck.encode())], pictures)


def test_the_sample_deck_loads_without_a_problem():
    read = course_with(samples("markdown")[0])
    assert read.problems == ()
    assert sorted(read.questions) == ["tail-up-sharp", "tail-up-swing"]


def test_the_sample_problem_is_printed_as_the_readme_shows_it():
    deck = samples("markdown")[1]
    (problem,) = course_with(deck).problems
    assert as_text(problem, deck.split("\n")[problem.line - 1]) == samples("text")[0].rstrip("\n")


@pytest.fixture(scope="module")
def runner(tmp_path_factory):
    """Runs one command line after the other on one database."""
    database = tmp_path_factory.mktemp("readme") / "readme.db"
    return CliRunner(
        env={"STICKBACK_DB": str(database), "STICKBACK_TODAY": "2026-11-25", "XDG_DATA_HOME": str(database.parent)}
    )


def test_every_command_of_the_readme_runs_in_its_order(runner, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    real = demo.cast
    monkeypatch.setattr(
        demo, "cast", lambda day: tuple(replace(one, days=one.days[-1:], flown=()) for one in real(day))
    )
    for line in "".join(samples("sh")).splitlines():
        name, *arguments = shlex.split(line)
        assert name == "stickback"
        typed = "a\nguess\nnone\n" * 20 if "review" in arguments else None
        result = runner.invoke(cli, arguments, input=typed)
        assert (line, result.exit_code, result.exception) == (line, 0, None), result.output


def test_every_command_is_in_the_readme():
    for command in modules():
        assert f"stickback {command}" in README or f"`{command}" in README, command


def test_the_two_lines_for_a_fresh_clone_are_there():
    run, test = re.findall(r"^    (python3 -m venv .*)$", README, re.MULTILINE)
    assert run.endswith(".venv/bin/stickback review")
    assert test.endswith(".venv/bin/pytest")


def test_every_package_is_explained_in_its_order():
    named = re.findall(r"^- `([a-z_.]+)`: ", DEVELOPERS, re.MULTILINE)
    assert named == list(FLOORS[1:])


def test_every_file_that_a_way_through_the_house_names_is_there():
    ways = DEVELOPERS.partition("Three ways through the house")[2].partition("## Words")[0]
    named = re.findall(rf"`((?:{'|'.join(FLOORS)})/[a-z_/]+)`", ways)
    assert len(named) > 60
    assert [name for name in named if not (ROOT / f"src/stickback/{name}.py").is_file()] == []


def test_every_problem_code_is_explained():
    rows = re.findall(r"^\| `([a-z-]+)` \| (.+) \|$", DEVELOPERS, re.MULTILINE)
    assert dict(rows) == CODES


def test_the_library_versions_that_formulas_name_are_the_ones_installed():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert "fsrs>=6.3.2,<7" in project["dependencies"]


def test_the_readme_opens_with_two_pictures_that_are_there_and_say_what_they_show():
    pictures = re.findall(r"^!\[(.{60,})\]\((\S+)\)$", README.partition("## ")[0], re.MULTILINE)
    assert [Path(path).name for _, path in pictures] == ["review.png", "board.png"]
    assert all((ROOT / path).is_file() for _, path in pictures)
