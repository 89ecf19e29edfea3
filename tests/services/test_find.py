import pytest

from stickback.refused import Refused
from stickback.services import note
from stickback.services.find import find


@pytest.fixture
def here(course):
    deck = (
        "---\ntopic: three-point\n---\n\n"
        "## At {{ approach_speed }} knots, *how* do you hold off? {#hold}\n\n- [x] Stick back\n- [ ] Secret word\n\n"
        "## A drawn {{ n }} {#drawn}\n\n```given\nn: 1 | 2\n```\n\nWhere does the tail stand?\n\n### Answer\n\n- Down\n"
    )
    read = course(deck)
    return lambda *words: find(read, read.sheets["quillon"], words)


def test_words_are_found_in_any_order_and_case_as_the_aeroplane_fills_them(here):
    assert [title for _, title in here("HOLD off", "60").questions] == ["At 60 knots, how do you hold off?"]
    assert here("65 knots").questions == ()


def test_a_section_of_the_plan_is_shown_with_the_words_in_their_surroundings(here):
    ((topic, excerpt),) = here("hold", "stick").topics
    assert (topic.id, excerpt) == ("three-point", "Stick back and hold off.")


def test_a_word_is_found_where_it_begins_and_not_inside_another(here):
    assert here("old").questions == here("ick").topics == ()
    assert here("hol").topics


def test_nothing_is_told_of_an_answer(here):
    assert here("secret") == here("no such thing")


def test_what_is_drawn_anew_stands_as_dots(here):
    assert [title for _, title in here("tail", "stand").questions] == ["A drawn …"]


def test_a_long_section_is_cut_between_words(course):
    plan = "---\nid: t\ntitle: T\n---\n\n## L {#l}\n\n### Topic {#t}\n\n" + "before " * 40 + "needle " + "after " * 40
    read = course(**{"lesson-plan.md": plan})
    ((_, excerpt),) = find(read, read.sheets["quillon"], ["needle"]).topics
    assert excerpt.startswith("…before ")
    assert excerpt.endswith(" after…")
    assert " needle " in excerpt
    assert len(excerpt) <= 130


def test_nothing_to_look_for_is_refused(here):
    with pytest.raises(Refused, match="Say what to look for"):
        here("  ")


def test_a_note_of_ones_own_is_found_by_its_words_and_not_by_its_topic(school):
    desk = note.write(school.desk(0), "swing", "the left heel, early")
    notes = note.notes(desk)
    assert [each.text for each in find(desk.course, desk.sheet, ["heel", "left"], notes).notes] == [
        "the left heel, early"
    ]
    assert find(desk.course, desk.sheet, ["zeppelin"], notes).notes == ()
