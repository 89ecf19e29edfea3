import re

from stickback.course import plan
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


def test_a_card_is_one_sheet_for_the_student_and_overleaf_the_instructor(place, tmp_path):
    front, overleaf = place.does("brief", "ground", "--card").split("\nFor the instructor\n")
    assert "Approach speed" in front
    assert "What must the feet do?" in front
    assert "Push early" not in front
    assert "Push early (a must)" in overleaf
    assert "Hold the push (fails the answer if said)" in overleaf
    assert "[ ] Taxiing: the foot comes late  (late-foot)" in overleaf
    result = place("brief", "ground", "--out", tmp_path / "card.pdf")
    assert (result.exit_code, (tmp_path / "card.pdf").read_bytes()[:5]) == (0, b"%PDF-")
    assert place("brief", "ground", "--out", tmp_path / "card.png").exit_code == 2


def test_the_card_of_a_course_just_begun_has_the_aim_and_overleaf_the_standard(place, tmp_path):
    place.does("new", tmp_path / "begun")
    front, overleaf = place.does("brief", "take-off", "--card", course=tmp_path / "begun").split("For the instructor")
    assert "Aim\n  To keep straight from the first yard." in front
    assert "Standard\n  Three take-offs in a row" in overleaf


def test_a_card_has_every_paragraph_that_the_reference_names(place, tmp_path):
    place.does("new", tmp_path / "begun")
    written = tmp_path / "begun" / "lesson-plan.md"
    head, _, topics = written.read_text("utf-8").partition("**Aim.**")
    said = [f"**{label}.** Number {n}." for n, label in enumerate(plan.PARAGRAPHS)]
    written.write_text("\n\n".join([head, *said, topics[topics.index("###") :]]), "utf-8")
    card = place.does("brief", "1", "--card", course=tmp_path / "begun")
    assert [n for n in range(len(said)) if f"Number {n}." not in card] == []


def test_a_card_has_five_figures_with_their_units_at_the_most(place):
    front = place.does("brief", "ground", "--card").split("Say aloud")[0]
    figures = front.split("This aeroplane")[1].strip().splitlines()[1:-1]
    assert 0 < len(figures) <= 5
    assert all(line.endswith((" kt", " mph", " rpm", " hours")) for line in figures)
