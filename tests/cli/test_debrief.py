import json
import re

import pytest

from worlds import answer_wrong, squeezed


def test_the_debrief_of_someone_who_answered_nothing_says_where_to_begin(place):
    assert place.does("debrief") == "\nNothing was answered yet; begin with `stickback review`.\n"


def test_the_debrief_of_someone_who_knows_it_all_says_so(place):
    place.does("review", "--topic", "eyes", typed="a sure\nb sure\nc sure\n" * 30)
    place.does("student", "set", "me", "--target", "0.7")
    place.raw("DROP TRIGGER entries_are_never_changed", 'UPDATE entries SET "right" = 1')
    assert place.does("debrief") == "\nNothing is weak today.\n"


def test_the_debrief_names_what_was_seen_in_flight_and_what_was_sure_but_wrong(school):
    shown = squeezed(school.does("debrief", today="2026-07-01"))
    assert "Seen in flight Taxiing: straight on without looking (1 June 2026): Where to look" in shown
    assert "Sure, but wrong, before today" in shown
    assert re.search(r"Where to look Lesson 1: The ground · .*· seen in flight.*? stickback lesson eyes", shown)


@pytest.mark.parametrize("confidence", ["guess", "think", "sure"])
def test_what_was_wrong_today_is_named_with_what_was_said_what_is_right_and_where_it_stands(place, confidence):
    answer_wrong(place, confidence)
    shown = place.does("debrief")
    assert "Nothing is weak" not in shown
    assert re.search(
        r"^Wrong today\n\n  Where do you look at bend \d\?\n    You said “Up”\. Right is: To the side\n"
        r"    Where to look  stickback lesson eyes\n",
        shown,
        re.MULTILINE,
    )
    (told,) = json.loads(place.does("debrief", "--json"))["wrong_today"]
    assert (told["given"], told["right"], told["read"]) == ("“Up”", ["To the side"], "stickback lesson eyes")
    assert "Wrong today" not in place.does("debrief", today="2026-06-02")


def test_what_was_sure_and_wrong_is_listed_once(place):
    answer_wrong(place, "sure")
    shown = place.does("debrief")
    assert shown.count("Where do you look at bend") == 1
    assert "before today" not in shown
    assert place.does("debrief", today="2026-06-02").count("Where do you look at bend") == 1


def test_who_did_not_know_is_told_so(place):
    place.does("review", "--topic", "eyes", "--questions", 1, "--seed", 1, typed="don't know\n")
    assert "You did not know. Right is: " in place.does("debrief")


def test_a_wrong_answer_taken_back_is_not_spoken_of(place):
    place.does("review", "--topic", "eyes", "--questions", 1, "--seed", 1, typed="don't know\n")
    place.does("undo")
    assert "Wrong today" not in place.does("debrief")


def test_no_list_of_the_debrief_shows_braces(place):
    place.does("review", "--topic", "swing", typed="sure\nnone\n" * 3 + "a sure\nb sure\nsure\nnone\n" * 8)
    assert "Wrong today" in place.does("debrief")
    for day in ("2026-06-01", "2026-06-02"):
        assert "{{" not in place.does("debrief", today=day) + place.does("debrief", "--json", today=day)


def test_what_was_wrong_today_is_not_called_known(place):
    place.does("review", "--topic", "eyes", "--seed", 1, typed="a sure\nb sure\nc sure\n" * 9)
    facts = re.search(r"Lesson 1: The ground · (.*)", place.does("debrief"))
    assert re.match(r"\d wrong today", facts[1])


def test_the_debrief_as_json_has_the_same_in_fields(school):
    found = json.loads(school.does("debrief", "--json", today="2026-07-01"))
    assert {key: found[key] for key in ("student", "date", "aircraft")} == {
        "student": "me",
        "date": "2026-07-01",
        "aircraft": "cawdale",
    }
    (error,) = found["errors"]
    assert error["error"] == "blind"
    weak = {one["topic"]: one for one in found["weak"]}
    assert weak["eyes"]["errors"] == ["blind"]
    assert weak["eyes"]["read"] == "stickback lesson eyes"
    assert all(one["known"] is None or 0 <= one["known"] <= 1 for one in weak.values())
    assert {one["question"] for one in found["sure_but_wrong"]} == {
        each for one in weak.values() for each in one["sure_but_wrong"]
    }


def test_the_debrief_of_a_lesson_is_about_that_lesson(school):
    found = json.loads(school.does("debrief", "2", "--json", today="2026-07-01"))
    assert {one["lesson"] for one in found["weak"]} <= {"take-off"}
    assert found["errors"] == []
    assert "it has ground, landing, take-off" in school.fails("debrief", "9")


def test_the_debrief_goes_by_the_day(school):
    early, late = (json.loads(school.does("debrief", "--json", today=day)) for day in ("2026-06-02", "2027-06-02"))
    early, late = ({one["topic"]: one["known"] for one in each["weak"]} for each in (early, late))
    assert all(late[topic] < known for topic, known in early.items() if known)
    assert any(early.values())
