"""Everything saved in one file, and put back."""

import worlds


def test_a_backup_says_what_it_holds_and_is_put_back(school, tmp_path):
    saved = school.does("backup", tmp_path / "saved.db")
    assert saved.startswith(f"{tmp_path / 'saved.db'} holds 8 entries of 2 students; fingerprint ")
    export = school.does("log", "export")
    school.does("student", "remove", "Bea", "--erase", typed="y\n")
    before = school.stored()
    said = school.fails("restore", tmp_path / "saved.db")
    assert said.endswith("saved.db was not taken: it holds Bea, erased here since; --bring-back takes it all the same.")
    assert school.stored() == before
    restored = school.does("restore", tmp_path / "saved.db", "--bring-back")
    assert saved.partition("fingerprint")[2].rstrip(".\n") in restored
    assert "What was there before is kept: " in restored
    assert school.does("log", "export") == export
    assert "WRONG" not in school.does("log", "verify")


def test_a_backup_can_be_looked_into(school, tmp_path):
    school.does("backup", tmp_path / "saved.db")
    assert school.does("student", "list", db=tmp_path / "saved.db") == school.does("student", "list")


def test_a_backup_in_which_something_is_wrong_is_not_taken_until_told(school, tmp_path):
    school.does("backup", tmp_path / "saved.db")
    saved = worlds.Place(school.course, tmp_path / "saved.db")
    saved.raw("DROP TRIGGER entries_are_never_changed", "UPDATE entries SET seconds = 1 WHERE what = 'answer'")
    before = school.stored()
    said = school.fails("restore", saved.db)
    assert f"{saved.db} was not taken: guards: entries_are_never_changed, and " in said
    assert "--anyway takes it all the same" in said
    assert school.stored() == before
    school.does("restore", saved.db, "--anyway")
    assert len(school.stored()) == len(before)
    assert school.stored() != before


def test_a_file_that_is_not_there_is_no_backup(school, tmp_path):
    assert school.fails("restore", tmp_path / "nothing.db") == f"There is no file {tmp_path / 'nothing.db'}."
