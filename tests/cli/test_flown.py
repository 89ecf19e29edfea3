import json

import pytest

from worlds import exported


def test_a_flown_lesson_is_recorded_with_what_is_behind_its_errors(place):
    shown = place.does(
        "flown", "ground", "--error", "late-foot", "--error", "blind", "--by", "instructor", "--note", "gusty"
    )
    assert "Lesson 1: The ground, 1 June 2026; said to be the instructor's." in shown
    assert "Taxiing: the foot comes late: behind it What the feet do, Why the nose swings" in shown
    (entry,) = exported(place)
    assert (entry["what"], entry["question"], entry["marked_by"]) == ("flown", "small/ground", "instructor")
    assert json.loads(entry["given"]) == {"errors": ["late-foot", "blind"], "note": "gusty"}


def test_an_error_that_the_plan_does_not_have_is_refused_with_those_of_the_lesson(place):
    assert "late-foot, blind" in place.fails("flown", "1", "--error", "loop")
    assert place.fails("flown", "7").endswith("it has ground, landing, take-off.")
    assert place.stored() == []


@pytest.mark.parametrize("note", ["x" * 20_000, "\udcff"], ids=["long", "no text"])
def test_a_note_that_no_log_can_hold_is_refused_in_one_sentence(place, note):
    place.fails("flown", "1", "--note", note)
    assert place.stored() == []


def test_a_flight_of_another_day_is_recorded_with_what_was_counted(place):
    told = ["--dual", "--wind", "240/12", "--full-stop", 4, "--wheel", 1]
    shown = place.does("flown", "1", "--on", "2026-05-30", "--by", "Ina Vesper", *told)
    assert (
        "30 May 2026; said to be Ina Vesper's, dual, wind 240/12, 4 landings to a full stop, 1 wheel landing." in shown
    )
    (entry,) = exported(place)
    assert (entry["day"], entry["marked_by"]) == ("2026-05-30", "instructor")


def test_a_flight_that_is_still_to_come_is_refused(place):
    assert "still to come" in place.fails("flown", "1", "--on", "2026-06-02")
    assert place.stored() == []
