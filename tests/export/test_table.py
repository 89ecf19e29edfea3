import csv
import errno
import io
import json
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.export import table
from stickback.export.table import Table

ABOUT = {"course_revision": "1", "program": "stickback 0"}
SCHOOL = Table(
    ("student", "topic", "must", "recall"),
    (("Bea", "feet", True, 0.25), ("Bea", "eyes", False, None), ("Åsa", "feet", True, 1.0)),
    ABOUT,
)
FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "=cmd|' /C calc'!A0"]


def read(text):
    return list(csv.reader(io.StringIO(text, newline="")))


def one(cell):
    """How a cell comes back from the CSV text of a table that holds only it and another."""
    return read(table.as_csv(Table(("a", "b"), ((cell, "x"),), {})))[1][0]


# CSV


def test_a_csv_has_its_columns_as_a_head_and_lines_that_end_as_the_standard_says():
    assert table.as_csv(SCHOOL) == (
        "student,topic,must,recall\r\nBea,feet,yes,0.25\r\nBea,eyes,no,\r\nÅsa,feet,yes,1.0\r\n"
    )


@pytest.mark.parametrize("cell", FORMULAS)
def test_a_text_that_a_spreadsheet_would_run_is_made_harmless(cell):
    assert one(cell) == f"'{cell}"


@pytest.mark.parametrize("cell", ["a=1", "1+1", "Bea", "'=1", " x", "", "x@y"])
def test_any_other_text_stays_as_it_is(cell):
    assert one(cell) == cell


@pytest.mark.parametrize(("cell", "text"), [(-0.5, "-0.5"), (-3, "-3"), (None, ""), (True, "yes"), (1e-16, "1e-16")])
def test_figures_stay_figures_negative_ones_too(cell, text):
    assert one(cell) == text


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"], exclude_characters="\0")))
def test_commas_quotes_and_line_ends_survive_the_round_trip(cell):
    found = one(cell)
    assert found == (f"'{cell}" if cell.startswith(("=", "+", "-", "@", "\t", "\r")) else cell)


@pytest.mark.parametrize("cell", ['say "hold, off"', "two\nlines", "two\r\nlines", ",,", '"'])
def test_a_cell_that_needs_quotes_gets_them(cell):
    assert one(cell) == cell


@given(st.floats(0, 1))
def test_a_share_loses_no_digit(share):
    assert float(one(share)) == share


# JSON


def test_the_json_has_the_same_names_and_values_nested_by_student_with_what_is_about_them():
    assert json.loads(table.as_json(SCHOOL, "student")) == {
        **ABOUT,
        "students": [
            {
                "student": "Bea",
                "rows": [
                    {"topic": "feet", "must": True, "recall": 0.25},
                    {"topic": "eyes", "must": False, "recall": None},
                ],
            },
            {"student": "Åsa", "rows": [{"topic": "feet", "must": True, "recall": 1.0}]},
        ],
    }


def test_a_figure_that_json_cannot_hold_is_never_written():
    with pytest.raises(ValueError, match="not JSON compliant"):
        table.as_json(Table(("student", "recall"), (("Bea", float("nan")),), {}), "student")


def test_the_description_beside_a_csv_names_it_its_columns_and_what_is_about_them():
    found = json.loads(table.metadata(SCHOOL, "school.csv"))
    assert (found["@context"], found["url"]) == ("http://www.w3.org/ns/csvw", "school.csv")
    assert [column["name"] for column in found["tableSchema"]["columns"]] == list(SCHOOL.columns)
    assert found["notes"] == [ABOUT]


# writing


@pytest.fixture
def place(tmp_path):
    """A folder with one file in it, which holds `old`."""
    (tmp_path / "school.csv").write_bytes(b"old")
    return tmp_path


def everything(folder: Path):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def no_room(*_):
    raise OSError(errno.ENOSPC, "No space left on device")


def test_files_are_written_over_old_ones_and_beside_them(place):
    table.write_whole([(place / "school.csv", b"new"), (place / "school.json", b"also")])
    assert everything(place) == {"school.csv": b"new", "school.json": b"also"}


def test_a_new_file_may_be_read_by_whom_the_system_lets_read_new_files(place):
    (place / "plain").write_bytes(b"")
    table.write_whole([(place / "new.csv", b"new")])
    assert (place / "new.csv").stat().st_mode == (place / "plain").stat().st_mode


def test_a_file_named_without_a_folder_goes_into_the_one_where_one_is(place, monkeypatch):
    monkeypatch.chdir(place)
    table.write_whole([(Path("here.csv"), b"new")])
    assert everything(place)["here.csv"] == b"new"


@pytest.mark.parametrize("broken", ["replace", "fsync", "chmod"])
def test_what_cannot_be_written_leaves_the_old_file_and_nothing_else(place, monkeypatch, broken):
    target = os if broken == "fsync" else Path
    monkeypatch.setattr(target, broken, no_room)
    with pytest.raises(OSError, match="No space left"):
        table.write_whole([(place / "school.csv", b"new")])
    assert everything(place) == {"school.csv": b"old"}


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no disk that is always full")
def test_a_full_disk_leaves_the_old_file_and_nothing_else(place, monkeypatch):
    real = os.fdopen

    def full(handle, *rest):
        os.close(handle)
        return real(os.open("/dev/full", os.O_WRONLY), *rest)

    monkeypatch.setattr(os, "fdopen", full)
    with pytest.raises(OSError, match="No space left"):
        table.write_whole([(place / "school.csv", b"new" * 100_000)])
    assert everything(place) == {"school.csv": b"old"}


def test_an_interrupt_leaves_nothing_behind(place, monkeypatch):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        table.write_whole([(place / "school.csv", b"new")])
    assert everything(place) == {"school.csv": b"old"}


def test_a_folder_that_is_not_there_is_an_error_and_is_not_made(place):
    with pytest.raises(FileNotFoundError):
        table.write_whole([(place / "nowhere" / "school.csv", b"new")])
    assert everything(place) == {"school.csv": b"old"}


def test_a_reader_sees_the_old_file_until_the_new_one_is_whole(place, monkeypatch):
    seen = []
    real = os.fsync

    def look(handle):
        seen.append((place / "school.csv").read_bytes())
        real(handle)

    monkeypatch.setattr(os, "fsync", look)
    table.write_whole([(place / "school.csv", b"new")])
    assert seen == [b"old"]
