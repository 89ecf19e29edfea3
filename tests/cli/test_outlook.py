import json
import os
import re
import subprocess
import sys

import pytest

from worlds import Typist

EIGHTY = 80


@pytest.fixture
def ahead(school):
    """A place whose `me` has a date nine days ahead."""
    school.does("student", "set", "me", "--checkride", "2026-06-10", "--minutes", 2)
    return school


def rows(shown):
    return [line for line in shown.splitlines() if line.rstrip().endswith("|")]


def test_every_day_to_the_date_has_a_line_with_its_figures(ahead):
    shown = ahead.does("outlook")
    assert "Differences sign-off on 10 June 2026 (in 9 days)" in shown
    assert len(rows(shown)) == 9
    assert rows(shown)[0].startswith("  Mon 01 Jun ")
    assert rows(shown)[-1].startswith("  Tue 09 Jun ")


def test_the_chart_fits_eighty_columns_and_needs_neither_colour_nor_signs_beyond_ascii(ahead):
    shown = ahead.does("outlook")
    assert max(map(len, shown.splitlines())) <= EIGHTY
    assert all(line.isascii() for line in shown.splitlines())
    assert "\x1b" not in shown


def test_on_a_screen_too_narrow_for_the_chart_the_figures_stand_alone(ahead, monkeypatch):
    monkeypatch.setenv("COLUMNS", "40")
    shown = ahead.does("outlook")
    assert max(map(len, shown.splitlines())) <= 40
    assert re.search(r"^  Mon 01 Jun +\d+ +\d+ +\d+ %$", shown, re.MULTILINE)
    assert "o is what is known" not in shown


def test_the_middle_stands_in_its_band_where_the_share_says(ahead):
    told = json.loads(ahead.does("outlook", "--json"))["days"]
    for line, day in zip(rows(ahead.does("outlook")), told, strict=True):
        bar = line.partition("|")[2].rstrip("|\n")
        wide = len(line.partition("|")[2]) - 1
        assert bar.index("o") == int(day["known"] * wide)
        marked = [at for at, sign in enumerate(bar) if sign in "=o"]
        assert (marked[0], marked[-1]) == (int(day["known_low"] * wide), int(day["known_high"] * wide))


def test_a_long_way_is_shown_in_at_most_fifteen_lines_that_end_on_the_last_day(ahead):
    for date, last in (("2026-06-16", "Mon 15 Jun"), ("2026-06-17", "Tue 16 Jun"), ("2026-09-20", "Sat 19 Sep")):
        ahead.does("student", "set", "me", "--checkride", date)
        shown = ahead.does("outlook")
        found = rows(shown)
        assert 2 <= len(found) <= 16
        assert (found[0][2:12], found[-1][2:12]) == ("Mon 01 Jun", last)
        assert ("Not every day is shown" in " ".join(shown.split())) == (date != "2026-06-16")


def test_it_says_plainly_whether_the_minutes_are_enough_and_how_many_would_be(ahead):
    ahead.does("student", "set", "me", "--checkride", "2026-06-03", "--minutes", 1)
    told = json.loads(ahead.does("outlook", "--json"))
    assert (told["plan"], told["short_by"]) == ("enough", 0)
    assert "1 minute a day is enough." in ahead.does("outlook")


def test_what_no_minutes_reach_is_said_too(ahead):
    ahead.does("student", "set", "me", "--checkride", "2026-06-01")
    shown = " ".join(ahead.does("outlook").split())
    assert "Differences sign-off on 1 June 2026 (today)" in shown
    assert "2 minutes a day cannot be enough, and no number of minutes a day would be by then." in shown


def test_it_certifies_nothing(ahead):
    assert "it certifies nothing" in ahead.does("outlook")


def test_a_lesson_alone_is_looked_to_by_its_title(school):
    school.does("student", "set", "me", "--next", "2", "--on", "2026-06-04")
    shown = school.does("outlook")
    assert "Lesson 2: Take-off on 4 June 2026 (in 3 days)" in shown
    assert "an oral about this lesson and those before it" in " ".join(shown.split())


def test_why_names_each_of_todays_questions_with_its_reason(ahead):
    told = json.loads(ahead.does("outlook", "--json"))["asked_today"]
    shown = ahead.does("outlook", "--why").partition("Why today's questions")[2]
    assert len(told) >= 5
    said = re.findall(r"\n    (\S.*?)(?=\n  \S|\n*$)", shown, re.DOTALL)
    assert [one["why"] for one in told] == [" ".join(each.split()) for each in said]
    assert "Why today's questions" not in ahead.does("outlook")


def test_the_picture_is_written_and_says_the_same(ahead, tmp_path):
    path = tmp_path / "outlook.svg"
    result = ahead("outlook", "--svg", path)
    assert (result.exit_code, result.stderr) == (0, f"Written: {path}\n")
    told = json.loads(ahead.does("outlook", "--json"))["days"]
    svg = path.read_text()
    assert f"to {told[-1]['known']:.0%} on 9 Jun".replace("%", "\xa0%") in svg
    assert svg.startswith("<svg ")


def test_a_picture_that_cannot_be_written_is_one_sentence(ahead, tmp_path):
    assert "cannot be written" in ahead.fails("outlook", "--svg", tmp_path / "nowhere" / "outlook.svg")


def test_the_outlook_is_the_same_to_the_byte_in_another_process(ahead):
    def run(seed):
        env = os.environ | {"PYTHONHASHSEED": seed, "PYTHONUTF8": "1", "STICKBACK_TODAY": "2026-06-01"}
        code = "from stickback.cli.main import main; main()"
        command = [sys.executable, "-c", code, "--db", ahead.db, "--course", ahead.course, "outlook", "--json"]
        return subprocess.run(command, env=env, capture_output=True, check=True).stdout

    assert run("1") == run("2")
    assert json.loads(run("3")) == json.loads(ahead.does("outlook", "--json"))


def test_looking_ahead_changes_nothing(ahead):
    before = ahead.stored()
    ahead.does("outlook")
    assert ahead.stored() == before


def test_after_todays_review_today_holds_nothing_more(ahead):
    ahead.does("review", typed=Typist())
    first, second, *_ = json.loads(ahead.does("outlook", "--json"))["days"]
    assert (first["questions"], second["questions"] > 0) == (0, True)


def test_without_a_date_it_says_what_the_minutes_reach_in_four_weeks(school):
    shown = school.does("outlook")
    assert "What 10 minutes a day reach by 28 June 2026" in shown
    assert next(line.split()[0] for line in shown.splitlines() if " of 3" in line and "%" in line) == "now"
    assert "`stickback student set me --sign-off DATE`" in " ".join(shown.split())
    assert "certifies nothing" in shown


def test_without_a_date_the_weeks_are_data_and_a_picture_too(school, tmp_path):
    told = json.loads(school("outlook", "--json", "--svg", tmp_path / "weeks.svg").stdout)
    assert (told["date"], len(told["weeks"]), told["lessons"]) == (None, 5, 3)
    assert (tmp_path / "weeks.svg").read_text().startswith("<svg")
    assert "Why today's questions" in school.does("outlook", "--why")
