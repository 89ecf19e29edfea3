import pytest

from stickback.cli import options
from stickback.refused import Refused


def test_all_files_are_written_and_named(tmp_path, capsys):
    made = [(tmp_path / "a", b"1"), (tmp_path / "b", b"2")]
    options.write(made)
    assert [path.read_bytes() for path, _ in made] == [b"1", b"2"]
    assert capsys.readouterr().err == f"Written: {made[0][0]}\nWritten: {made[1][0]}\n"


def test_a_file_that_cannot_be_written_is_refused_and_none_is_left(tmp_path):
    with pytest.raises(Refused, match=r"nowhere.a cannot be written: No such file or directory\."):
        options.write([(tmp_path / "nowhere" / "a", b"1"), (tmp_path / "b", b"2")])
    assert list(tmp_path.iterdir()) == []
