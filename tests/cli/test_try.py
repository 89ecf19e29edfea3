import json
import wave

from stickback.services import folder


def test_a_question_is_shown_with_its_answer_and_why(place):
    shown = place.does("try", "approach")
    assert "approach · choice" in shown
    assert shown.index("Right\n") < shown.index("Why\n")


def test_a_question_says_how_much_of_its_answer_is_enough(place):
    assert "3 points are listened for: right with all 3 of them." in place.does("try", "pushes")
    assert "listened for" not in place.does("try", "approach")


def test_answers_are_marked_a_line_each_and_nothing_is_recorded(place):
    found = [
        json.loads(line)
        for line in place.does(
            "try", "approach", "--format", "json", "--answers", "-", "--answer", "a", typed="b\n\nzz\n"
        ).splitlines()
    ]
    assert [each["given"] for each in found] == ["a", "b", "zz"]
    assert sum(each["right"] for each in found[:2]) <= 1
    assert [each["understood"] for each in found] == [True, True, False]
    assert place.stored() == []


def test_a_value_without_a_name_is_wrong_use(place):
    assert "NAME=VALUE" in place.fails("try", "approach", "--set", "8", status=2)


def test_radio_rules_that_nobody_has_are_wrong_use(place):
    assert "'xx' is not one of 'icao', 'uk', 'faa'" in place.fails("try", "approach", "--phraseology", "xx", status=2)


def test_a_file_that_is_not_there_is_refused(place):
    assert "cannot be read" in place.fails("try", "approach", "--answers", "/nowhere/answers")


def test_what_is_heard_is_written_as_sound(place, tmp_path):
    file = tmp_path / "said.wav"
    how = ("--speak", file, "--listen", "noise heavy, clipped")
    assert "Written: " in place.does("try", "read-backs-rt-taxi-limit", *how, course=folder.shipped())
    with wave.open(str(file)) as sound:
        assert sound.getnframes() > sound.getframerate()


def test_a_question_without_a_transmission_is_not_spoken(place, tmp_path):
    assert "Nothing is heard" in place.fails("try", "approach", "--speak", tmp_path / "said.wav")
    assert "none of them" in place.fails("try", "approach", "--speak", tmp_path / "said.wav", "--listen", "loud")
