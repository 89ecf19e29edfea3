import subprocess
import sys
from pathlib import Path

import click
import pytest

import worlds
from stickback.cli import main as program


def test_every_command_has_help_whose_first_line_is_a_sentence(place):
    for name in program.modules():
        assert place.does(name, "--help").splitlines()[2].strip().endswith((".", ":")), name


def listed(shown):
    """The names under each title of the help, in their order."""
    found = {}
    for line in shown.partition("Show this message and exit.\n")[2].splitlines():
        if line.endswith(":"):
            rows = found.setdefault(line.removesuffix(":"), [])
        elif line:
            rows.append(line.split()[0])
    return found


def test_the_help_lists_the_commands_by_who_uses_them_those_of_every_day_first(place):
    found = listed(place.does("--help"))
    assert list(found) == ["Students", "Instructors", "The school", "Everyone"]
    assert [names[0] for names in found.values()] == ["review", "check", "student", "aircraft"]
    assert [name for names in found.values() for name in names] == list(program.modules())


def test_what_a_command_does_is_never_cut_off_in_the_list_of_eighty_columns(monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", "80")  # of which click leaves two free, and its runner for tests does not
    program.cli(["--help"], standalone_mode=False)
    assert "..." not in capsys.readouterr().out.partition("Options:")[2]


def test_a_module_is_a_command_when_it_says_for_whom(place):
    files = {path.stem.rstrip("_") for path in Path(program.__file__).parent.glob("[!_]*.py")}
    assert files - {*program.modules()} == {"main", "options", "today"}
    for name in ("main", "options", "today", "terminal", "terminal.keys", "../cli/undo", ""):
        assert program.Commands("stickback").get_command(click.Context(program.cli), name) is None


def test_no_two_commands_have_one_place_in_the_list():
    places = [(module.FOR, module.RANK) for module in program.modules().values()]
    assert len(set(places)) == len(places)


def test_help_loads_neither_the_reader_nor_the_database_nor_numpy():
    heavy = "{'numpy', 'sqlite3', 'sqlmodel', 'sqlalchemy', 'alembic', 'markdown_it', 'yaml', 'rich', 'fsrs'}"
    code = f"import sys; from stickback.cli.main import cli; cli(['--help'], standalone_mode=False); \
        print({heavy} & {{*sys.modules}}, file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr == "set()\n"


def test_the_version_is_the_one_of_the_package(place):
    assert place.does("--version").startswith("stickback, version ")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["nonsense"], "No such command 'nonsense'."),
        (["--nonsense"], "No such option"),
        (["review", "--minutes", "0"], "0 is not in the range"),
        (["review", "--questions", "many"], "'many' is not a valid integer"),
        (["brief"], "Missing argument 'LESSON'."),
        (["check", "--format", "xml"], "'text', 'json'"),
        (["student", "set", "me", "--checkride", "soon"], "'soon' is not a date"),
        (["--today", "1960-01-01"], "not in the years 1971 to 2199"),
        (["log", "nonsense"], "No such command 'nonsense'."),
    ],
    ids=" ".join,
)
def test_wrong_use_is_one_sentence_and_status_2(place, words, says):
    assert says in place.fails(*words, status=2)


@pytest.mark.parametrize("words", [["undo"], ["lesson", "nowhere"], ["--student", "Zoe"]], ids=" ".join)
def test_a_refusal_is_one_sentence_and_status_1(place, words):
    assert place.fails(*words).endswith((".", "adds one."))


def test_the_console_script_ends_with_the_status_of_the_command(monkeypatch, place, capsys):
    monkeypatch.setattr(sys, "argv", ["stickback", "--db", str(place.db), "undo"])
    with pytest.raises(SystemExit) as ended:
        program.main()
    assert (ended.value.code, capsys.readouterr()) == (1, ("", "Error: There is nothing to take back.\n"))


def test_each_option_before_the_command_may_stand_in_the_environment(school):
    by_option = worlds.run(
        *(
            "--db",
            school.db,
            "--course",
            school.course,
            "--student",
            "Bea",
            "--today",
            "2026-07-01",
            "debrief",
            "--json",
        )
    )
    assert by_option.stdout == school.does("debrief", "--json", student="Bea", today="2026-07-01")
    assert '"student": "Bea",\n  "date": "2026-07-01",\n  "aircraft": "dunmere"' in by_option.stdout


def test_bytes_that_are_no_text_are_shown_as_a_mark(place):
    assert "'�'" in place("lesson", "\udcff").stderr.replace("?", "�")


def test_without_a_command_the_day_is_shown(place):
    assert "stickback review   starts it" in place.does()
