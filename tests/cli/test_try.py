import json


def test_a_question_is_shown_with_its_answer_and_why(place):
    shown = place.does("try", "approach")
    assert "approach · choice" in shown
    assert shown.index("Right\n") < shown.index("Why\n")


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


def test_a_file_that_is_not_there_is_refused(place):
    assert "cannot be read" in place.fails("try", "approach", "--answers", "/nowhere/answers")
