from itertools import permutations

import pytest

from stickback.course.course import variant
from stickback.reading.fill import NOT_IN_VARIANT
from stickback.services import aircraft, folder


@pytest.fixture(scope="module")
def shipped():
    return folder.load(folder.shipped())


@pytest.fixture(scope="module")
def found(taught):
    """What a student meets who changes from the heel brakes and clockwise propeller of one to the other aeroplane."""
    return aircraft.compare(taught, taught.sheets["aldwick"], taught.sheets["bircham"], "uk")


def rows(pairs):
    return {name: (one, other) for name, one, other in pairs}


def ids(questions):
    return [each.id for each in questions]


def test_the_typed_values_that_differ_are_listed_but_neither_name_nor_callsign(found):
    assert rows(found.values) == {
        "propeller": ("clockwise", "anticlockwise"),
        "brakes": ("heel", "toe"),
        "approach_speed": ("60", "65"),
    }


def test_what_follows_from_the_propeller_is_listed_apart(found, taught):
    derived = rows(found.derived)
    assert derived["swing"] == ("left", "right")
    assert derived["rudder_foot"] == ("right", "left")
    assert set(derived) == taught.sheets["aldwick"].derived - NOT_IN_VARIANT


def test_a_value_that_only_one_sheet_has_is_listed_as_none_of_the_other(course):
    sheet = (
        "---\nname: {}\ncallsign: G-QTWX\npropeller: clockwise\nbrakes: toe\ntailwheel: skid\nspeed_unit: kt\n{}---\n"
    )
    files = {"aircraft/quillon.md": sheet.format("A", "flaps: four\n"), "aircraft/mossbank.md": sheet.format("B", "")}
    made = course("---\ntopic: yaw-causes\n---\n", **files)
    made = aircraft.compare(made, made.sheets["quillon"], made.sheets["mossbank"], "uk")
    assert (made.values, made.derived) == ([("flaps", "four", "none")], [])


def test_the_questions_that_change_are_those_that_use_what_differs_and_their_answers_stand_beside(found):
    assert {each.question.id: (each.before, each.after) for each in found.changed} == {
        "approach": ("60 kt", "65 kt"),
        "way": ("To the left", "To the right"),
        "foot": ("The right one", "The left one"),
    }


def test_questions_that_only_one_aeroplane_has_are_gone_or_new(found, taught):
    assert (ids(found.gone), ids(found.new)) == (["heels"], [])
    back = aircraft.compare(taught, taught.sheets["bircham"], taught.sheets["aldwick"], "uk")
    assert (ids(back.gone), ids(back.new)) == ([], ["heels"])


def test_a_sheet_compared_with_itself_has_nothing_to_learn(taught, shipped):
    for course in (taught, shipped):
        for sheet in course.sheets.values():
            assert aircraft.compare(course, sheet, sheet, "uk") == aircraft.Comparison([], [], [], [], [])


@pytest.mark.parametrize("phraseology", ["uk", "icao", "faa"])
def test_in_the_shipped_course_exactly_the_questions_with_another_variant_change(shipped, phraseology):
    for one, other in permutations(shipped.sheets.values(), 2):
        made = aircraft.compare(shipped, one, other, phraseology)
        here, there = shipped.applicable(one, phraseology), shipped.applicable(other, phraseology)
        differ = [each.id for key, each in here.items() if key in there and variant(each, one) != variant(each, other)]
        assert ids(each.question for each in made.changed) == differ
        assert set(ids(made.gone)) == {each.id for key, each in here.items() if key not in there}
        assert set(ids(made.new)) == {each.id for key, each in there.items() if key not in here}
        assert any("left" in each.before and "right" in each.after for each in made.changed)


def test_the_shipped_aeroplanes_differ_in_what_a_student_must_know_first(shipped):
    made = aircraft.compare(shipped, shipped.sheets["brackle"], shipped.sheets["pendlewick"], "uk")
    values, derived = rows(made.values), rows(made.derived)
    assert values["brakes"] == ("heel", "toe")
    assert values["speed_unit"] == ("mph", "kt")
    assert values["approach_speed"] == ("60", "65")
    assert derived["rudder_foot"] == ("right", "left")


DRAWN = """\
---
topic: yaw-causes
---

## You add {{ gust }} for the gust. What do you fly? {#gusty}

```given
gust: 5 | 6
```

### Answer

```number
answer: approach_speed + gust
unit: "{{ speed_unit }}"
tolerance: 1
```
"""


def test_a_question_that_draws_its_figures_is_compared_too(course):
    read = course(DRAWN)
    assert read.problems == ()
    made = aircraft.compare(read, read.sheets["quillon"], read.sheets["mossbank"], "uk")
    (only,) = made.changed
    assert only.question.id == "gusty"
    assert only.before != only.after


def test_a_right_answer_is_plain_text(course):
    deck = "---\ntopic: yaw-causes\n---\n\n## Which? {#which}\n\n- [x] *To* the **{{ swing }}**.\n- [ ] Up\n"
    made = course(deck)
    (only,) = aircraft.compare(made, made.sheets["quillon"], made.sheets["mossbank"], "uk").changed
    assert (only.before, only.after) == ("To the left", "To the right")


def test_what_fails_an_answer_is_no_part_of_what_is_right(course):
    fails = "### Fails if said\n\n- The {{ other_side }}\n"
    made = course(
        f"---\ntopic: yaw-causes\n---\n\n## Say it {{#say}}\n\n### Answer\n\n- The {{{{ swing }}}}\n\n{fails}"
    )
    (only,) = aircraft.compare(made, made.sheets["quillon"], made.sheets["mossbank"], "uk").changed
    assert (only.before, only.after) == ("The left", "The right")


@pytest.mark.parametrize(("key", "words"), [("approach_speed", "approach speed"), ("brakes", "brakes")])
def test_the_name_of_a_value_is_read_as_words(key, words):
    assert aircraft.readable(key) == words
