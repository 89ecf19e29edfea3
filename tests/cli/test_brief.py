import re

from worlds import squeezed


def test_the_brief_has_the_text_the_numbers_and_the_questions_of_the_lesson(school):
    shown = squeezed(school.does("brief", "1"))
    assert "Feet and eyes. Approach at 50 kt." in shown
    assert "This aeroplane: Cawdale name Cawdale callsign G-QTWD" in shown
    assert "The flight manual of the aeroplane you fly is the only source of its numbers." in shown
    assert re.search(r"What the feet do: 3 questions, \d seen, known \d+ %", shown)
    assert shown.endswith("stickback review --lesson ground asks them.")


def test_the_brief_does_not_give_the_answers_away(place):
    shown = place.does("brief", "2")
    assert "Cause 1" not in shown
    assert "Why the nose swings: 5 questions, 0 seen, known unseen" in shown


def test_a_brief_of_an_unknown_lesson_names_those_there_are(place):
    assert place.fails("brief", "9") == "The plan has no lesson '9'; it has ground, landing, take-off."
