import json


def test_where_nothing_is_answered_yet_that_is_said(blank):
    assert blank.does("questions") == "No question has been answered yet.\n"


def test_a_file_is_written_in_the_form_that_its_ending_names(school, tmp_path):
    assert school("questions", "--out", tmp_path / "q.csv").exit_code == 0
    assert school("questions", "--out", tmp_path / "q.json").exit_code == 0
    assert (tmp_path / "q.csv").read_text().startswith("question,topic,kind,")
    assert json.loads((tmp_path / "q.json").read_text())["questions"]


def test_a_file_with_another_ending_is_wrong_use_and_not_written(school, tmp_path):
    said = school.fails("questions", "--out", tmp_path / "q.pdf", status=2)
    assert "'q.pdf' ends in nothing that is known; write .csv or .json." in said
    assert not (tmp_path / "q.pdf").exists()


def test_text_for_the_terminal_is_not_written_into_a_file_of_another_form(school, tmp_path):
    said = school.fails("questions", "--format", "text", "--out", tmp_path / "q.csv", status=2)
    assert "A file holds these figures as csv or json; text is for the terminal." in said
    assert not (tmp_path / "q.csv").exists()
