import json
import subprocess
import sys

import openpyxl
import pytest

import worlds
from worlds import exported

ALL = "all\nright\n" * 20  # one of the two marks each question, the other is not understood or marks the next


def oral(place, *more, typed=ALL):
    return place.does("exam", "--by", "Ina Vesper", "--seed", 3, *more, typed=typed)


def test_an_oral_through_a_pipe_is_marked_question_by_question_and_told_at_its_end(place):
    shown = oral(place, "--questions", 4)
    assert shown.startswith("Oral of me: 4 questions, 4 to be right; examiner Ina Vesper.")
    assert "Question 4 of 4" in shown
    assert "4 of 4 right, 4 are needed: passed." in shown
    assert "no licence" in shown
    entries = exported(place)
    assert [(each["what"], each["marked_by"]) for each in entries] == [("oral", "instructor")] * 4
    given = json.loads(entries[0]["given"])
    assert (given["by"], given["questions"], given["seed"]) == ("Ina Vesper", 4, 3)


def test_the_instructor_sees_the_answer_and_what_fails_it(place):
    shown = oral(place, "--questions", 13, typed="")
    seen = oral(place, "--questions", 13)
    assert "Left with 13 questions to go" in shown
    assert "Push early (a must)" in seen
    assert "Hold the push (fails the answer if said)" in seen


def test_an_oral_left_goes_on_with_the_next_question(place):
    first = oral(place, "--questions", 4, typed="all\nright\nstop\n")
    again = oral(place, "--questions", 4)
    assert "Question 1 of 4" in first
    assert "It goes on at question" in again
    assert "Question 1 of 4" not in again
    assert len(exported(place)) == 4


def test_what_is_no_mark_is_said_and_asked_again(place):
    shown = oral(place, "--questions", 1, typed="zzz\nback\n?\n" + ALL)
    assert "Not understood" in shown
    assert "Nothing was marked yet." in shown
    assert "takes the last mark back" in shown
    assert "1 of 1 right" in shown


def test_the_sheet_is_written_to_a_file_and_another_ending_is_refused(place, tmp_path):
    out = tmp_path / "oral.html"
    result = place("exam", "--by", "X", "--questions", 2, "--out", out, typed="note <b>late</b>\n" + ALL)
    assert result.stderr == f"Written: {out}\n"
    assert "&lt;b&gt;late&lt;/b&gt;" in out.read_text()
    assert "Signature" in out.read_text()
    assert place("exam", "--by", "X", "--out", tmp_path / "oral.docx").exit_code == 2


def test_the_log_holds_with_an_oral_and_a_mark_taken_back(place):
    oral(place, "--questions", 3, typed="all\nright\nback\n" + ALL)
    assert place("log", "verify").exit_code == 0


def test_the_sheet_says_what_was_missed_and_what_should_not_have_been_said(place):
    seen = oral(place, "--questions", 13, typed="1 4\n1\nwrong\n" * 13)
    assert "missed: Push briefly; Ease off. said: Hold the push." in " ".join(seen.split())
    assert "To read again" in seen
    assert "What the feet do (must): Lesson 1: The ground" in seen


def test_every_oral_stands_in_json_and_on_a_sheet_of_its_own_with_what_was_told_before_it(place, tmp_path):
    oral(place, "--questions", 3, typed="note late foot\nall\nright\n" + "none\nwrong\n" * 4)
    place.does("exam", "--by", "Tom Arden", "--questions", 5, "--seed", 4, typed="all\nright\nstop\n")
    found = json.loads(place.does("readiness", "--format", "json"))["students"][0]
    first, second = found["orals"]
    assert {name: first[name] for name in ("examiner", "questions", "asked", "right", "needed", "result")} == {
        "examiner": "Ina Vesper",
        "questions": 3,
        "asked": 3,
        "right": 1,
        "needed": 3,
        "result": "not passed",
    }
    assert (first["day"], first["known_told"], first["chance_told"]) == (worlds.DAY, None, None)
    assert len(first["wrong"]) == 2
    assert [remark.partition(": ")[2] for remark in first["remarks"]] == ["late foot"]
    assert (second["examiner"], second["asked"], second["result"]) == ("Tom Arden", 1, "not finished")
    assert (found["orals_finished"], found["oral_passed"], found["flown"]) == (1, False, [])
    assert place("readiness", "--out", tmp_path / "r.xlsx").exit_code == 0
    book = openpyxl.load_workbook(tmp_path / "r.xlsx")
    assert book.sheetnames == ["overview", "topics", "flown", "orals", "about"]
    head, *rows = book["orals"].iter_rows(values_only=True)
    sheet = [dict(zip(head, row, strict=True)) for row in rows]
    assert [(row["student"], row["result"], row["oral"]) for row in sheet] == [
        ("me", "not passed", first["oral"]),
        ("me", "not finished", second["oral"]),
    ]
    assert sheet[0]["wrong"] == "; ".join(first["wrong"])
    assert any(cell.value == "known_told" for cell in book["about"]["A"])


@pytest.mark.skipif(sys.platform == "win32", reason="it is killed as POSIX kills")
def test_a_mark_that_was_shown_is_kept_when_the_program_is_killed(place):
    command = [sys.executable, "-c", "from stickback.cli.main import main; main()", "--db", place.db]
    command += ["--course", place.course, "--today", worlds.DAY, "exam", "--by", "Ina Vesper", "--questions", "4"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as running:
        running.stdin.write(ALL[:10])
        running.stdin.flush()
        assert any("ight." in line for line in running.stdout)  # the mark of the first question
        running.kill()
    assert 1 <= len(exported(place)) <= 2
    assert "It goes on at question" in place.does("exam", "--by", "Ina Vesper", typed="")
