import csv
import io
import json
import os
import re
from datetime import date, timedelta
from pathlib import Path

import pytest

import worlds
from stickback.words import columns

COLUMNS = [column.name for column in columns.COLUMNS]
DAY = date.fromisoformat(worlds.DAY)
ONE = {
    name: text for name, text in worlds.only("approach").items() if name not in {"eyes.md", "swing.md", "landing.md"}
}


def later(days):
    return (DAY + timedelta(days=days)).isoformat()


def rows(text):
    return list(csv.DictReader(io.StringIO(text.replace("\r\n", "\n"), newline="")))


def exported(place, *args, **env):
    return rows(place.does("readiness", "--format", "csv", *args, **env))


def files(folder: Path):
    return {path.name for path in folder.iterdir()}


def written(place, path, *args):
    """Writes to a file; gives its bytes and what was said of it."""
    result = place("readiness", "--out", path, *args)
    assert (result.exit_code, result.stdout) == (0, ""), result.output
    return path.read_bytes(), result.stderr.splitlines()


# who and when


def test_a_school_without_students_has_nothing_to_export_and_says_what_to_do(place):
    for form in ("text", "csv", "json"):
        result = place("readiness", "--format", form)
        assert (result.exit_code, result.stdout) == (1, "")
        assert result.stderr == "No one studies here yet: `stickback student add NAME` adds a student.\n"


def test_nothing_is_written_for_a_school_without_students(place, tmp_path):
    assert place("readiness", "--out", tmp_path / "school.csv").exit_code == 1
    assert not (tmp_path / "school.csv").exists()


def test_everyone_is_exported_unless_a_student_is_named(school):
    assert {row["student"] for row in exported(school)} == {"Bea", "me"}
    assert {row["student"] for row in rows(school.does("--student", "Bea", "readiness", "--format", "csv"))} == {"Bea"}
    assert {row["student"] for row in exported(school, student="me")} == {"me"}


def test_an_unknown_student_is_refused(school):
    assert "There is no student 'Cas'" in school.fails("--student", "Cas", "readiness")


def test_the_date_is_the_one_asked_for_else_the_checkride_else_today(school):
    school.does("student", "set", "Bea", "--checkride", later(30))
    assert {(row["student"], row["date"]) for row in exported(school)} == {("Bea", later(30)), ("me", later(0))}
    assert {row["date"] for row in exported(school, "--on", later(7))} == {later(7)}


@pytest.mark.parametrize("day", ["soon", "2026-02-30", "1970-01-01", "2500-01-01"])
def test_what_is_no_date_is_wrong_use(school, day):
    assert day in school.fails("readiness", "--on", day, status=2)


def test_nothing_is_stored_by_looking(school):
    before = school.stored()
    exported(school)
    school.does("readiness")
    assert school.stored() == before


# words


def block(text, name):
    """The lines about a student."""
    lines = text.split("\n\n")
    return next(each for each in lines if each.startswith(f"{name} ·")).splitlines()


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (0, f"differences {later(0)} (today)"),
        (-1, f"differences {later(-1)} (1 days ago: the date has passed)"),
        (14, f"differences {later(14)} (in 14 days)"),
        (3653, f"differences {later(3653)} (in 3653 days)"),
    ],
    ids=["today", "yesterday", "in two weeks", "in ten years"],
)
def test_a_checkride_today_yesterday_and_in_ten_years_is_said_in_days(school, days, said):
    school.does("student", "set", "me", "--checkride", later(days), today="2026-05-01")
    head, verdict, facts, *_ = block(school.does("readiness"), "me")
    assert head == f"me · Cawdale · {said}".replace("(1 days", "(1 day")
    assert re.fullmatch(r"  Verdict: no estimate( · \d sure but wrong)?", verdict)
    assert re.fullmatch(r"  known \d+ % \(\d+ to \d+ % by how answers went\) · seen \d+ of 22", facts)


def test_a_date_that_is_no_checkride_is_not_called_one(school):
    assert block(school.does("readiness"), "me")[0] == f"me · Cawdale · on {later(0)} (today)"


def test_what_is_known_fades_with_the_date_and_never_leaves_the_range_of_chances(school):
    own = [exported(school, "--on", later(days), student="me")[-1] for days in (0, 1, 14, 3653)]
    known = [float(row["known"]) for row in own]
    assert known == sorted(known, reverse=True)
    assert 0 < known[-1] < known[1] == known[0] < 1  # today counts as the day after today's answers
    assert all(0 <= float(row["pass_chance"]) <= 1 for row in own)


def test_the_figures_in_words_are_those_of_the_export(school):
    row = exported(school, student="me")[-1]
    verdict, facts = block(school.does("readiness"), "me")[1:3]
    known = " to ".join(f"{float(row[end]):.0%}".rstrip("%") for end in ("known_low", "known_high"))
    assert facts.startswith(f"  known {float(row['known']):.0%} ({known}% by how answers went)".replace("%", " %"))
    assert f"seen {row['seen']} of {row['questions']}" in facts
    assert ("sure but wrong" in verdict) is (row["sure_but_wrong"] != "0")
    assert row["verdict"] in verdict


def test_the_weakest_seen_topics_are_named_lowest_first(school):
    topics = [row for row in exported(school, student="me") if row["topic"] != "overall" and row["seen"] != "0"]
    weakest = sorted(topics, key=lambda row: float(row["known"]))[:3]
    lines = block(school.does("readiness"), "me")
    assert [line.split("%  ")[1] for line in lines[lines.index("  Weakest") + 1 :]] == [row["title"] for row in weakest]


def test_it_says_what_it_is_and_what_it_is_not(school):
    said = school.does("readiness").splitlines()
    assert "on the day, without further study" in "".join(said)
    assert said[-3].startswith("The oral is this school's own: 20 questions, 80 % to pass.")
    assert said[-1] == "A forecast of theory that informs the instructor; it certifies nothing."


def test_a_student_who_never_answered_is_said_to_have_seen_nothing(place):
    place.does("student", "add", "Fay")
    assert block(place.does("readiness"), "Fay")[1:] == ["  Nothing answered yet; 22 questions are unseen."]
    assert exported(place)[-1]["known"] == "0.05"


def test_a_course_with_one_question_is_spoken_of_in_the_singular(place, tmp_path):
    course = worlds.write(tmp_path / "course", ONE)
    place.does("student", "add", "Fay", course=course)
    text = place.does("readiness", course=course)
    assert block(text, "Fay")[1:] == ["  Nothing answered yet; 1 question is unseen."]


def test_a_course_with_one_question_stands_or_falls_with_it(place, tmp_path):
    course = worlds.write(tmp_path / "course", ONE)
    place.does("review", "--questions", 1, typed="b sure\nb sure\n", course=course)
    *topics, overall = exported(place, course=course)
    assert [(row["topic"], row["questions"]) for row in topics] == [
        ("feet", "1"),
        ("eyes", "0"),
        ("swing", "0"),
        ("three-point", "0"),
    ]
    assert overall["known"] == topics[0]["known"]
    assert [row["known"] for row in topics[1:]] == ["", "", ""]


def test_a_course_without_a_question_for_the_aeroplane_is_said_so(place, tmp_path):
    course = worlds.write(tmp_path / "course", {k: v for k, v in ONE.items() if k != "feet.md"})
    place.does("student", "add", "Fay", course=course)
    text = place.does("readiness", course=course)
    assert block(text, "Fay")[1:] == ["  No question of the course applies to this aeroplane."]
    assert exported(place, course=course)[-1]["known"] == ""


# forms


def test_the_csv_begins_with_the_columns_and_stands_alone_on_standard_output(school):
    text = school.does("readiness", "--format", "csv")
    assert text.splitlines()[0] == ",".join(COLUMNS)
    assert len(rows(text)) == 2 * 5


WORDS = {"null": "", "true": "yes", "false": "no"}  # how the CSV says what JSON says so


def json_text(row):
    """A row of the JSON, each value as text."""
    return {key: value if isinstance(value, str) else json.dumps(value) for key, value in row.items()}


def test_csv_and_json_say_the_same(school):
    found = json.loads(school.does("readiness", "--format", "json"))
    flat = [{"student": one["student"], **row} for one in found["students"] for row in one["rows"]]
    plain = [{key: WORDS.get(value, value) for key, value in json_text(row).items()} for row in flat]
    assert exported(school) == plain


def test_a_name_that_a_spreadsheet_would_run_is_made_harmless(place):
    place.does("student", "add", '=HYPERLINK(A1), "x"')
    assert exported(place)[0]["student"] == '\'=HYPERLINK(A1), "x"'
    assert json.loads(place.does("readiness", "--format", "json"))["students"][0]["student"] == '=HYPERLINK(A1), "x"'


@pytest.mark.parametrize(
    ("name", "form"), [("a.csv", "csv"), ("a.json", "json"), ("a.txt", "text"), ("a", "text"), ("a.b.csv", "csv")]
)
def test_the_form_of_a_file_follows_from_its_ending(school, tmp_path, name, form):
    content, _ = written(school, tmp_path / name)
    assert content.removeprefix(b"\xef\xbb\xbf").decode().replace("\r\n", "\n") == school.does(
        "readiness", "--format", form
    )


def test_an_ending_in_capitals_is_the_same_ending(school, tmp_path):
    content, _ = written(school, tmp_path / "SCHOOL.CSV")
    assert content.decode("utf-8-sig").startswith("student,date,")


def test_a_form_that_is_asked_for_goes_before_the_ending(school, tmp_path):
    content, _ = written(school, tmp_path / "school.txt", "--format", "json")
    assert json.loads(content)["course"] == "small"


def test_a_csv_file_is_marked_as_unicode_for_spreadsheets_and_has_its_description_beside_it(school, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    content, said = written(school, folder / "school.csv")
    assert content.startswith(b"\xef\xbb\xbfstudent,date,")
    assert content.count(b"\r\n") == len(content.splitlines())
    assert files(folder) == {"school.csv", "school.csv-metadata.json"}
    assert said == [f"Written: {folder / 'school.csv'}", f"Written: {folder / 'school.csv-metadata.json'}"]
    about = json.loads((folder / "school.csv-metadata.json").read_text())
    assert about["url"] == "school.csv"
    assert [column["name"] for column in about["tableSchema"]["columns"]] == list(COLUMNS)


@pytest.mark.parametrize("name", ["school.json", "school.csv"])
def test_every_export_carries_where_it_is_from(school, tmp_path, name):
    written(school, tmp_path / name)
    about = json.loads((tmp_path / name.replace(".csv", ".csv-metadata.json")).read_text())
    about = about["notes"][0] if "notes" in about else about
    assert about["course"] == "small"
    assert about["course_digest"]
    assert about["program"].startswith("stickback ")
    assert about["aircraft"] == {"Bea": "dunmere", "me": "cawdale"}
    assert about["questions_left_out"] == 0
    assert about["topics_without_questions"] == {"cawdale": [], "dunmere": []}
    assert about["calibration"]["school"]["predictions"] == 0
    assert set(about["calibration"]["students"]) == {"Bea", "me"}


# files that cannot be written


@pytest.fixture
def out(tmp_path):
    """A folder with an older export in it."""
    made = tmp_path / "out"
    made.mkdir()
    (made / "school.csv").write_bytes(b"old")
    return made


def test_a_folder_that_is_not_there_is_said_in_a_sentence(school, out):
    said = school.fails("readiness", "--out", out / "no" / "school.csv")
    assert said == f"{out / 'no' / 'school.csv'} cannot be written: No such file or directory."


def test_a_folder_is_no_file_to_write(school, out):
    assert "is a directory" in school.fails("readiness", "--out", out, status=2)


@pytest.mark.parametrize("form", ["csv", "json", "text"])
def test_a_full_disk_leaves_the_old_file_and_no_leftovers(school, out, monkeypatch, form):
    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    said = school.fails("readiness", "--format", form, "--out", out / "school.csv")
    assert said == f"{out / 'school.csv'} cannot be written: No space left on device."
    assert (out / "school.csv").read_bytes() == b"old"
    assert files(out) == {"school.csv"}


def test_a_table_and_its_description_are_replaced_both_or_neither(school, out, monkeypatch):
    real = Path.replace

    def second_fails(self, target):
        if target.name.endswith("-metadata.json"):
            raise OSError(5, "Input/output error")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", second_fails)
    school.fails("readiness", "--out", out / "school.csv")
    assert files(out) == {"school.csv"}
    assert (out / "school.csv").read_bytes() == b"old"


def test_predicted_against_observed_is_drawn_on_request(school, tmp_path):
    drawn = tmp_path / "drawn.svg"
    result = school("readiness", "--format", "csv", "--svg", str(drawn))
    assert (result.exit_code, result.stderr) == (0, f"Written: {drawn}\n")
    assert result.stdout.startswith("student,")
    assert "Predicted against observed" in drawn.read_text("utf-8")
