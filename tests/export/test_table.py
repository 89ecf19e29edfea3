import csv
import io
import json
from datetime import date

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.export import table
from stickback.export.table import Column, Table

ABOUT = {"course_revision": "1", "program": "stickback 0"}


def columns(**types):
    return tuple(Column(name, type_, "share" * (type_ == "number"), f"a {name}", str) for name, type_ in types.items())


SCHOOL = Table(
    columns(student="string", topic="string", must="boolean", recall="number"),
    (("Bea", "feet", True, 0.25), ("Bea", "eyes", False, None), ("Åsa", "feet", True, 1.0)),
    ABOUT,
)
FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "=cmd|' /C calc'!A0"]


def read(text):
    return list(csv.reader(io.StringIO(text, newline="")))


def one(cell):
    """How a cell comes back from the CSV text of a table that holds only it and another."""
    return read(table.as_csv(Table(columns(a="string", b="string"), ((cell, "x"),), {})))[1][0]


# CSV


def test_a_csv_has_its_columns_as_a_head_and_lines_that_end_as_the_standard_says():
    assert table.as_csv(SCHOOL) == (
        "student,topic,must,recall\r\nBea,feet,yes,0.25\r\nBea,eyes,no,\r\nÅsa,feet,yes,1.0\r\n"
    )


@pytest.mark.parametrize("cell", FORMULAS)
def test_a_text_that_a_spreadsheet_would_run_is_made_harmless(cell):
    assert one(cell) == f"'{cell}"


@pytest.mark.parametrize("cell", ["a=1", "1+1", "Bea", "'tis", " x", "", "x@y"])
def test_any_other_text_stays_as_it_is(cell):
    assert one(cell) == cell


@pytest.mark.parametrize("cell", [*FORMULAS, "＝1", "＋1", "－1", "＠x", "'=1", "''＝1", "'", "'tis", "Bea", ""])
def test_a_guarded_cell_reads_as_it_was(cell):
    assert table.plain(one(cell)) == cell


@pytest.mark.parametrize(("cell", "text"), [(-0.5, "-0.5"), (-3, "-3"), (None, ""), (True, "yes"), (1e-16, "1e-16")])
def test_figures_stay_figures_negative_ones_too(cell, text):
    assert one(cell) == text


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"], exclude_characters="\0")))
def test_commas_quotes_and_line_ends_survive_the_round_trip(cell):
    found = one(cell)
    risky = cell.lstrip("'").startswith(("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠"))
    assert found == (f"'{cell}" if risky else cell)
    assert table.plain(found) == cell


@pytest.mark.parametrize("cell", ['say "hold, off"', "two\nlines", "two\r\nlines", ",,", '"'])
def test_a_cell_that_needs_quotes_gets_them(cell):
    assert one(cell) == cell


@given(st.floats(0, 1))
def test_a_share_loses_no_digit(share):
    assert float(one(share)) == share


# JSON


OUTER = Table(columns(student="string", errors="strings"), (("Bea", ("a", "b")), ("Åsa", ())), ABOUT)


def test_the_json_has_the_same_names_and_values_nested_by_student_with_what_is_about_them():
    assert json.loads(table.as_json(OUTER, {"topics": SCHOOL}, "student")) == {
        **ABOUT,
        "students": [
            {
                "student": "Bea",
                "errors": ["a", "b"],
                "topics": [
                    {"topic": "feet", "must": True, "recall": 0.25},
                    {"topic": "eyes", "must": False, "recall": None},
                ],
            },
            {"student": "Åsa", "errors": [], "topics": [{"topic": "feet", "must": True, "recall": 1.0}]},
        ],
    }


def test_a_figure_that_json_cannot_hold_is_never_written():
    with pytest.raises(ValueError, match="not JSON compliant"):
        table.as_json(Table(columns(student="string", recall="number"), (("Bea", float("nan")),), {}), {}, "student")


def test_the_description_beside_a_csv_names_it_its_columns_and_what_is_about_them():
    found = json.loads(table.metadata(SCHOOL, "school.csv"))
    assert (found["@context"], found["url"]) == ("http://www.w3.org/ns/csvw", "school.csv")
    assert [column["name"] for column in found["tableSchema"]["columns"]] == list(SCHOOL.names)
    assert found["notes"] == [ABOUT]


def test_the_description_says_type_range_unit_and_meaning_of_each_column():
    *_, must, recall = json.loads(table.metadata(SCHOOL, "school.csv"))["tableSchema"]["columns"]
    assert (must["dc:description"], must["datatype"]) == ("a must", {"base": "boolean", "format": "yes|no"})
    assert recall["datatype"] == {"base": "number", "minimum": 0, "maximum": 1}
    assert recall["schema:unitText"] == "share"


def test_several_texts_of_a_cell_are_parted_as_the_description_says():
    (_, errors) = json.loads(table.metadata(OUTER, "a.csv"))["tableSchema"]["columns"]
    assert errors["datatype"] == {"base": "string"}
    assert read(table.as_csv(OUTER))[1][1].split(errors["separator"]) == ["a", "b"]


def test_a_text_that_holds_the_mark_between_texts_does_not_become_two():
    made = Table(columns(a="strings", b="string"), ((("one; two", "three"), "x"),), {})
    assert read(table.as_csv(made))[1][0] == "one, two; three"


def test_the_description_says_the_range_and_the_words_of_a_column():
    left = Column("days", "integer", "day", "left", str, least=0)
    verdict = Column("verdict", "string", "", "said", str, words=("sound", "not yet"))
    days, said = json.loads(table.metadata(Table((left, verdict), (), {}), "a.csv"))["tableSchema"]["columns"]
    assert days["datatype"] == {"base": "integer", "minimum": 0}
    assert said["datatype"] == {"base": "string", "format": "sound|not yet"}
    assert table.told(left) == "left; integer, day, 0 or more"
    assert table.told(verdict) == "said; string, sound · not yet"
    assert table.told(SCHOOL.columns[3]) == "a recall; number, share, 0 to 1"


# workbook


def sheets(tables):
    return openpyxl.load_workbook(io.BytesIO(table.as_workbook(tables, [("course", "small")], date(2026, 6, 1))))


def test_a_workbook_says_of_each_column_what_it_means_and_where_two_sheets_differ_on_which():
    asked = Table((Column("questions", "integer", "", "that count", str), *columns(name="string")), (), {})
    put = Table((Column("questions", "integer", "", "that were put", str), *columns(name="string")), (), {})
    about = sheets({"overview": asked, "orals": put})["about"]
    assert dict(about.iter_rows(min_row=3, values_only=True)) == {
        "questions (overview)": "that count; integer",
        "name": "a name; string",
        "questions (orals)": "that were put; integer",
    }


def test_a_column_of_a_workbook_is_as_wide_as_its_texts_also_where_a_cell_has_several():
    book = sheets({"overview": Table(columns(a="strings", b="string"), ((("a" * 20, "b" * 20), "x"),), {})})
    widths = book["overview"].column_dimensions
    assert widths["A"].width > 40 > widths["B"].width
