import json


def test_progress_is_a_table_of_lessons_and_weeks(school):
    shown = school.does("progress")
    assert "of the course known" in shown
    assert "The whole course" in shown


def test_the_same_as_json_and_as_a_picture(school, tmp_path):
    found = json.loads(school.does("progress", "--json"))
    assert found["weeks"][-1]["known"] > 0
    school("progress", "--svg", str(tmp_path / "p.svg"))
    assert "Known now:" in (tmp_path / "p.svg").read_text()


def test_where_nothing_was_answered_it_says_so(place):
    assert "Nothing was answered yet" in place.does("progress")
