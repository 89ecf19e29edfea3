import re

import pytest

import worlds


def test_the_sheets_are_listed_with_their_propeller(place):
    shown = place.does("aircraft")
    assert [line.split()[:4] for line in shown.splitlines() if "propeller" in line] == [
        ["cawdale", "Cawdale", "propeller", "clockwise,"],
        ["dunmere", "Dunmere", "propeller", "anticlockwise,"],
    ]


def test_a_sheet_shows_what_was_typed_and_what_follows_from_it(place):
    typed, _, follows = place.does("aircraft", "dunmere").partition("From the propeller's direction")
    assert "Invented, not for flight." in typed
    assert "  approach speed  55\n" in typed
    assert "swing" not in typed
    assert [line.split() for line in follows.splitlines() if line.startswith(("  swing ", "  rudder foot "))] == [
        ["swing", "right"],
        ["rudder", "foot", "left"],
    ]


def test_an_unknown_sheet_is_refused_with_those_there_are(place):
    assert place.fails("aircraft", "spit") == "The course has no aircraft sheet 'spit'; it has cawdale, dunmere."


def test_two_sheets_are_compared_by_values_and_by_questions_to_learn_anew(place):
    shown = place.does("aircraft", "compare", "cawdale", "dunmere")
    values, _, rest = shown.partition("What follows from the propeller")
    derived, _, questions = rest.partition("2 questions to learn anew on the Dunmere")
    assert [line.split() for line in values.splitlines() if line.startswith("  ")] == [
        ["Cawdale", "Dunmere"],
        ["propeller", "clockwise", "anticlockwise"],
        ["approach", "speed", "50", "55"],
    ]
    assert re.search(r"^  rudder foot +right +left$", derived, re.MULTILINE)
    assert [line.strip() for line in questions.splitlines() if line.strip()] == [
        "How fast is the approach?",
        "Cawdale: 50 kt",
        "Dunmere: 55 kt",
        "Which way does it swing?",
        "Cawdale: To the left",
        "Dunmere: To the right",
    ]


def test_a_sheet_compared_with_itself_says_so_and_nothing_else(place):
    shown = place.does("aircraft", "compare", "cawdale", "cawdale")
    assert shown == "Cawdale and Cawdale have the same values.\n"


def test_a_question_with_the_same_answer_but_other_words_says_so(place, tmp_path):
    deck = "---\ntopic: eyes\n---\n\n## At {{ approach_speed }}, where to? {#where}\n\n- [x] The side\n- [ ] Up\n"
    course = worlds.write(tmp_path / "course", {**worlds.COURSE, "more.md": deck})
    shown = place.does("aircraft", "compare", "cawdale", "dunmere", course=course)
    assert "  At 55, where to?\n    same answer, asked with other values\n" in shown


@pytest.mark.parametrize(
    ("order", "said"),
    [(("cawdale", "dunmere"), "1 question no longer asked"), (("dunmere", "cawdale"), "1 question asked only there")],
    ids=["gone", "new"],
)
def test_questions_that_only_one_aeroplane_has_are_named_apart(place, tmp_path, order, said):
    deck = "---\ntopic: eyes\n---\n\n## Which side? {#only propeller=clockwise}\n\n- [x] Left\n- [ ] Right\n"
    course = worlds.write(tmp_path / "course", {**worlds.COURSE, "more.md": deck})
    shown = place.does("aircraft", "compare", *order, course=course)
    assert shown.rstrip().endswith(f"{said}\n  Which side?")


DRAWN = """\
---
topic: eyes
---

## You add {{ gust }} for the gust. What do you fly? {#gusty}

```given
gust: 5 | 6
```

### Answer

```number
answer: approach_speed + gust
unit: kt
tolerance: 1
```
"""


def test_sheets_are_compared_where_questions_draw_their_figures(place, tmp_path):
    course = worlds.write(tmp_path / "course", {**worlds.COURSE, "more.md": DRAWN})
    assert "3 questions to learn anew" in place.does("aircraft", "compare", "cawdale", "dunmere", course=course)


def test_an_unknown_sheet_is_no_pair_to_compare(place):
    assert "no aircraft sheet 'spit'" in place.fails("aircraft", "compare", "cawdale", "spit")


@pytest.mark.parametrize("words", [("compare", "cawdale"), ("cawdale", "dunmere"), ("a", "b", "c", "d")], ids=" ".join)
def test_other_words_are_wrong_use(place, words):
    assert "aircraft compare SHEET SHEET" in place.fails("aircraft", *words, status=2)
