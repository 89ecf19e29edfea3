import csv
import html
import io
import json
import os
from datetime import date, timedelta
from pathlib import Path

import openpyxl
import pytest

import worlds
from stickback.words import columns, terms

COLUMNS = [column.name for column in columns.COLUMNS if columns.STUDENT in column.rows]
TOPICS = [column.name for column in columns.COLUMNS if columns.TOPIC in column.rows]
DAY = date.fromisoformat(worlds.DAY)
ONE = {
    name: text for name, text in worlds.only("approach").items() if name not in {"eyes.md", "swing.md", "landing.md"}
}


def later(days):
    return (DAY + timedelta(days=days)).isoformat()


def printed(days):
    return terms.day(DAY + timedelta(days=days))


def rows(text):
    return list(csv.DictReader(io.StringIO(text.replace("\r\n", "\n"), newline="")))


def exported(place, *args, **env):
    return rows(place.does("readiness", "--format", "csv", *args, **env))


def exported_topics(place, *args, **env):
    return rows(place.does("readiness", "--topics", "--format", "csv", *args, **env))


def paged(place, name, *args, **env):
    """The lines of a student's page."""
    return place.does("--student", name, "readiness", *args, **env).splitlines()[1:]


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


@pytest.mark.parametrize(
    ("days", "how_far"),
    [(0, "(today)"), (-1, "(yesterday): the date has passed"), (14, "(in 14 days)"), (3653, "(in 3653 days)")],
    ids=["today", "yesterday", "in two weeks", "in ten years"],
)
def test_a_checkride_today_yesterday_and_in_ten_years_is_said_in_days(school, days, how_far):
    school.does("student", "set", "me", "--checkride", later(days), today="2026-05-01")
    name, below, verdict, *_ = paged(school, "me")
    assert (name, below) == ("me", f"Cawdale · differences sign-off {printed(days)} {how_far}")
    assert verdict == "  Verdict on theory: no estimate"


def test_a_date_that_is_no_checkride_is_not_called_one(school):
    assert paged(school, "me")[1] == f"Cawdale · on {printed(0)} (today)"


def test_what_is_known_fades_with_the_date_and_never_leaves_the_range_of_chances(school):
    own = [exported(school, "--on", later(days), student="me")[-1] for days in (0, 1, 14, 3653)]
    known = [float(row["known"]) for row in own]
    assert known == sorted(known, reverse=True)
    assert 0 < known[-1] < known[1] <= known[0] < 1
    assert all(0 <= float(row["pass_chance"]) <= 1 for row in own)


def test_the_figures_in_words_are_those_of_the_export(school):
    (row,) = exported(school, student="me")
    page = "\n".join(paged(school, "me"))
    known = " to ".join(f"{float(row[end]):.0%}".rstrip("%") for end in ("known_low", "known_high"))
    assert f"{float(row['known']):.0%} ({known}%)".replace("%", " %") in page
    assert f"{row['seen']} of {row['questions']} questions" in page
    assert row["verdict"] in page
    assert f"Next: {row['next']}." in page


def test_the_screen_has_a_line_for_each_student_and_says_what_it_is(school, monkeypatch):
    monkeypatch.setenv("COLUMNS", "100")
    head, names, *lines = school.does("readiness").splitlines()
    assert head.startswith("A small conversion · 2 students: 2 no estimate · 1 Jun 2026")
    assert names.split() == ["Name", "Aeroplane", "Date", "Left", "Verdict", "Known", "Pass", "Plan", "Open", "Next"]
    assert {line.split()[0] for line in lines[:2]} == {"Bea", "me"}
    assert " ".join(lines).endswith("A forecast of theory that informs the instructor; it certifies nothing.")


def test_the_nearest_date_comes_first_and_a_date_gone_by_behind_those_ahead(school):
    for name, days in (("Cas", 40), ("Dee", 9), ("Eve", -5)):
        school.does("student", "add", name, "--checkride", later(days), today="2026-05-01")
    assert [row["student"] for row in exported(school)] == ["Dee", "Cas", "Eve", "Bea", "me"]
    assert [row["days"] for row in exported(school)] == ["9", "40", "-5", "", ""]


def test_pages_follow_the_overview_on_request(school):
    said = school.does("readiness", "--pages")
    assert said.index("2 students") < said.index("\nBea\n")
    assert "\nme\n" in said


def test_a_student_who_never_answered_is_said_to_have_seen_nothing(place):
    place.does("student", "add", "Fay")
    assert paged(place, "Fay")[2] == "  Nothing answered yet; 22 questions are unseen."
    assert exported(place)[-1]["known"] == "0.05"


def test_a_course_with_one_question_is_spoken_of_in_the_singular(place, tmp_path):
    course = worlds.write(tmp_path / "course", ONE)
    place.does("student", "add", "Fay", course=course)
    assert paged(place, "Fay", course=course)[2] == "  Nothing answered yet; 1 question is unseen."


def test_a_course_with_one_question_stands_or_falls_with_it(place, tmp_path):
    course = worlds.write(tmp_path / "course", ONE)
    place.does("review", "--questions", 1, typed="b sure\nb sure\n", course=course)
    topics, (overall,) = exported_topics(place, course=course), exported(place, course=course)
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
    assert paged(place, "Fay", course=course)[2] == "  No question of the course applies to this aeroplane."
    assert exported(place, course=course)[-1]["known"] == ""


# flown


def test_errors_open_are_counted_and_named_in_every_form(school):
    school.does("flown", 1, "--error", "blind", "--by", "Ina Vesper", student="Bea")
    (row,) = exported(school, student="Bea")
    assert (row["open_errors"], row["errors"], row["last_flown"]) == ("1", "blind", later(0))
    assert "1 error open" in "\n".join(paged(school, "Bea"))
    found = json.loads(school.does("readiness", "--format", "json", student="Bea"))["students"][0]
    assert (found["errors"], found["flown"][0]["record"]) == (["blind"], "Ina Vesper")


def test_a_flight_raises_nothing_that_is_known(school):
    before = exported(school, student="Bea")[0]
    school.does("flown", 1, "--standard", "met", "--full-stop", 9, "--by", "instructor", student="Bea")
    after = exported(school, student="Bea")[0]
    assert {name for name in before if before[name] != after[name]} == {"last_flown"}


# weeks


def test_week_by_week_it_says_what_was_known_then(school):
    found = rows(school.does("readiness", "--weekly", "--format", "csv", today=later(21)))
    assert [row["date"] for row in found if row["student"] == "me"] == [later(days) for days in (0, 7, 14, 21)]
    assert school.does("readiness", "--weekly", today=later(21)).splitlines()[0].split()[:3] == [
        "Name",
        "Then",
        "Known",
    ]
    assert "Week by week is a table" in school.fails("readiness", "--weekly", "--format", "html", status=2)


def test_a_day_gone_by_shows_what_was_known_then(school):
    assert exported(school, today="2026-05-31", student="me")[0]["answers"] == "0"
    assert exported(school, student="me")[0]["answers"] != "0"


# forms


def test_the_csv_begins_with_the_columns_and_stands_alone_on_standard_output(school):
    text = school.does("readiness", "--format", "csv")
    assert text.splitlines()[0] == ",".join(COLUMNS)
    assert len(rows(text)) == 2


def test_topics_have_a_row_for_each_student_and_topic(school):
    text = school.does("readiness", "--topics", "--format", "csv")
    assert text.splitlines()[0] == ",".join(TOPICS)
    assert len(rows(text)) == 2 * 4


def as_text(value):
    """A value of JSON as CSV writes it."""
    if isinstance(value, list):
        return "; ".join(value)
    if value is None or isinstance(value, bool):
        return {None: "", True: "yes", False: "no"}[value]
    return str(value)


def test_csv_and_json_say_the_same(school):
    found = json.loads(school.does("readiness", "--format", "json"))["students"]
    topics = [{"student": one["student"], **row} for one in found for row in one["topics"]]
    whole = [{name: one[name] for name in COLUMNS} for one in found]
    assert exported(school) == [{name: as_text(value) for name, value in one.items()} for one in whole]
    assert exported_topics(school) == [{name: as_text(value) for name, value in one.items()} for one in topics]


def test_a_name_that_a_spreadsheet_would_run_is_made_harmless(place):
    place.does("student", "add", '=HYPERLINK(A1), "x"')
    assert exported(place)[0]["student"] == '\'=HYPERLINK(A1), "x"'
    assert json.loads(place.does("readiness", "--format", "json"))["students"][0]["student"] == '=HYPERLINK(A1), "x"'


@pytest.mark.parametrize(
    ("name", "form"),
    [("a.csv", "csv"), ("a.json", "json"), ("a.html", "html"), ("a.htm", "html"), ("a.b.csv", "csv")],
)
def test_the_form_of_a_file_follows_from_its_ending(school, tmp_path, name, form):
    content, _ = written(school, tmp_path / name)
    assert content.removeprefix(b"\xef\xbb\xbf").decode().replace("\r\n", "\n") == school.does(
        "readiness", "--format", form
    )


@pytest.mark.parametrize("name", ["school", "school.doc", "school.csv.bak", "school.text", ".csv"])
def test_an_ending_that_is_not_known_is_refused_and_nothing_written(school, tmp_path, name):
    said = school.fails("readiness", "--out", tmp_path / name, status=2)
    assert "write .txt, .csv, .json, .xlsx, .html or .pdf, or say --format" in said
    assert not (tmp_path / name).exists()


@pytest.mark.parametrize("form", ["xlsx", "pdf"])
def test_what_is_no_text_is_not_put_on_a_screen(school, form):
    assert "name one with --out" in school.fails("readiness", "--format", form, status=2)


def test_an_ending_in_capitals_is_the_same_ending(school, tmp_path):
    content, _ = written(school, tmp_path / "SCHOOL.CSV")
    assert content.decode("utf-8-sig").startswith("student,aircraft,")


def test_a_form_that_is_asked_for_goes_before_the_ending(school, tmp_path):
    content, _ = written(school, tmp_path / "school.txt", "--format", "json")
    assert json.loads(content)["course"] == "small"


def test_a_csv_file_is_marked_as_unicode_for_spreadsheets_and_has_its_description_beside_it(school, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    content, said = written(school, folder / "school.csv")
    assert content.startswith(b"\xef\xbb\xbfstudent,aircraft,")
    assert content.count(b"\r\n") == 3
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


@pytest.mark.parametrize("form", ["csv", "json", "text", "xlsx", "html", "pdf"])
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


@pytest.mark.parametrize("name", ["r.txt", "r.csv", "r.json", "r.xlsx", "r.html", "r.pdf"])
def test_the_same_database_and_date_give_the_same_bytes(school, tmp_path, name):
    made = []
    for folder in ("one", "other"):
        out = tmp_path / folder / name
        out.parent.mkdir()
        assert school("readiness", "--on", "2026-07-01", "--out", out).exit_code == 0
        made.append({path.name: path.read_bytes() for path in out.parent.iterdir()})
    assert made[0] == made[1]


EVIL = ("<script>alert(1)</script>", '=HYPERLINK("http://x")', '#panic("x") $x$ {{ 7 * 7 }}')


@pytest.mark.parametrize("word", EVIL)
def test_names_notes_and_decks_that_mean_harm_do_nothing_in_any_form(place, tmp_path, word):
    hostile = worlds.write(tmp_path / "course", {**worlds.COURSE, "lesson-plan.md": plan_with(word)})
    db = {"course": hostile, "student": word}
    place.does("student", "add", word, **db)
    place.does("flown", 1, "--by", word, "--note", word, "--error", "late-foot", **db)
    place("exam", "--by", word, "--questions", 1, "--seed", 3, typed=f"note {word}\nall\nwrong\n", **db)
    for name in ("r.html", "r.pdf", "r.xlsx", "r.csv", "r.json", "r.txt"):
        assert place("readiness", "--out", tmp_path / name, **db).exit_code == 0
    page = (tmp_path / "r.html").read_text()
    assert "<script" not in page
    assert html.escape(word, quote=False) in page.replace("&#34;", '"').replace("&#39;", "'")
    book = openpyxl.load_workbook(tmp_path / "r.xlsx")
    assert {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row} <= {"s", "n", "d"}
    assert not any(cell.hyperlink for sheet in book for row in sheet.iter_rows() for cell in row)
    with (tmp_path / "r.csv").open(encoding="utf-8-sig", newline="") as rows:
        assert not any(cell.startswith(("=", "+", "@")) for row in csv.reader(rows) for cell in row)


def plan_with(word):
    """The small lesson plan with a word in the titles of a lesson and a topic."""
    title = word.replace("{{", "{ {").replace("}}", "} }")
    return worlds.PLAN.replace("Where to look", f"Where {title}").replace("Lesson 1: The ground", f"Lesson 1: {title}")
