from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts import part_of
from stickback.kinds import stick
from stickback.kinds.shown import Unclear
from stickback.kinds.stick import Stick
from stickback.trade import taxi
from typed import heard

DRAWN = Stick("", "{{ heading }}", "{{ wind_from }}", "{{ strength }}", ())
LISTED = Stick("", "", "", "", (("back", "left"), ("level", "left")))


def part(*lines, after=""):
    """The question; its stick block stands on lines 5 and following."""
    block = "\n".join(("```stick", *lines, "```"))
    return part_of(f"## Where is the stick? {{#where}}\n\n### Answer\n\n{block}\n{after}")


def position(text):
    """The position that is typed; None where it is asked again."""
    found = stick.position_of(text)
    return None if isinstance(found, Unclear) else found


def read(*lines):
    body, _, problems = Stick.parse(part(*lines))
    assert problems == []
    return body


def faults(*lines, after=""):
    body, _, problems = Stick.parse(part(*lines, after=after))
    assert body is None
    return [(problem.line, problem.code) for problem in problems]


# reading


def test_the_wind_is_said_by_quarter_and_strength():
    body = read("quarter: ahead-left", "strength: light")
    assert body == Stick("ahead-left", "", "", "light", ())
    assert body.accepted({}) == (("back", "left"),)


def test_the_wind_is_said_by_heading_and_direction():
    body = read("heading: 090", "wind_from: 045", "strength: light")
    assert body.accepted({}) == (("back", "left"),)


def test_positions_may_be_listed_instead():
    assert read("accept: back left | level left") == LISTED


def test_words_of_the_block_may_be_values():
    body = read("heading: '{{ heading }}'", "wind_from: '{{ wind_from }}'", "strength: '{{ strength }}'")
    assert body == DRAWN
    assert body.accepted({"heading": "270", "wind_from": "060", "strength": "strong"}) == (("forward", "left"),)


@pytest.mark.parametrize(
    "lines",
    [
        (),
        ("quarter: ahead",),
        ("strength: light",),
        ("quarter: north", "strength: light"),
        ("quarter: ahead", "strength: breezy"),
        ("quarter: ahead", "strength: light", "accept: back"),
        ("quarter: ahead", "heading: 090", "wind_from: 090", "strength: light"),
        ("heading: 090", "strength: light"),
        ("accept: up",),
        ("accept: back |",),
        ("accept:",),
        ("wind: ahead", "strength: light"),
    ],
    ids=" ".join,
)
def test_a_block_that_says_neither_wind_nor_positions_is_refused(lines):
    ((line, code),) = faults(*lines)
    assert code == "stick-form"
    assert 5 <= line <= 5 + len(lines)


def test_a_wrong_word_of_a_block_is_named_at_its_own_line():
    assert faults("quarter: ahead", "strength: breezy") == [(7, "stick-form")]
    assert faults("quarter: ahead", "strength: [light]") == [(7, "stick-form")]
    assert faults("quarter: ahead", "strength: light", "wind: [strong]") == [(8, "stick-form")]


def test_a_block_that_is_no_yaml_is_refused_once():
    assert len(faults("quarter: [ahead", "strength: light")) == 1


def test_what_stands_behind_the_block_is_named_at_its_line():
    assert faults("accept: back", after="\nOr not.\n") == [(9, "answer-form")]


@pytest.mark.parametrize(("info", "reads"), [("stick", True), ("stick extra", True), ("number", False), ("", False)])
def test_a_fence_that_says_stick_is_read(info, reads):
    assert Stick.reads(part_of(f"## Q {{#q}}\n\n### Answer\n\n```{info}\naccept: back\n```\n")) is reads


# answering


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("back left", ("back", "left")),
        ("LEFT back", ("back", "left")),
        ("back-left", ("back", "left")),
        ("forward", ("forward", "middle")),
        ("left", ("level", "left")),
        ("neutral", ("level", "middle")),
        ("full back and right", ("back", "right")),
        ("back centre", ("back", "middle")),
        ("up", None),
        ("back x", None),
        ("", None),
        ("0", None),
        ("10", None),
    ],
)
def test_a_position_is_understood_by_its_words(said, meant):
    assert position(said) == meant


def test_the_number_pad_lies_as_the_stick_does_seen_from_above():
    rows = [[stick.position_of(digit) for digit in row] for row in ("789", "456", "123")]
    assert rows == [[(elevator, aileron) for aileron in taxi.AILERONS] for elevator in taxi.ELEVATORS]


@pytest.mark.parametrize("said", ["forward back", "left right", "back left right", "full", "and", "back level"])
def test_words_that_contradict_each_other_or_name_no_position_are_no_answer(said):
    assert position(said) is None


@pytest.mark.parametrize("said", ["neutral back", "back neutral"])
def test_neutral_is_said_of_whichever_is_not_named(said):
    assert position(said) == ("back", "middle")


@pytest.mark.parametrize("position", taxi.POSITIONS)
def test_a_position_is_understood_by_the_name_it_is_stored_under(position):
    assert stick.position_of(stick.name(position)) == position
    assert heard(LISTED, stick.name(position)) == stick.name(position)


@given(st.text(alphabet="backleftright 123456789-", max_size=14) | st.sampled_from(["full back", "7", "neutral left"]))
def test_an_answer_understood_is_understood_as_itself(said):
    once = heard(LISTED, said)
    assert once is None or heard(LISTED, once) == once


# marking


def test_what_is_right_for_every_wind_is_what_the_trade_says():
    for where, strength in product((*taxi.QUARTERS, taxi.NO_WIND), taxi.STRENGTHS):
        body = Stick(where, "", "", strength, ())
        right = {position for position in taxi.POSITIONS if body.mark(0, stick.name(position), {}).right}
        assert right == set(taxi.positions(where, strength)), (where, strength)


def test_any_position_listed_is_right_and_no_other():
    marks = {position: LISTED.mark(0, stick.name(position), {}) for position in taxi.POSITIONS}
    assert {position for position, mark in marks.items() if mark.right} == set(LISTED.accept)
    assert all(mark.score == mark.right for mark in marks.values())


def test_the_answer_names_the_positions_that_are_right_and_shows_nothing_of_them():
    assert [point.text for point in LISTED.answer(0, {})] == ["back left", "level left"]
    assert LISTED.show(0, {}).options == ()
    assert LISTED.show(0, {}).manner == "cell"


def test_guessing_gives_one_of_nine_for_each_position_listed_and_one_where_the_wind_is_drawn():
    assert LISTED.chance() == pytest.approx(2 / 9)
    assert DRAWN.chance() == pytest.approx(1 / 9)


def test_guessing_gives_one_of_nine_for_each_position_that_a_fixed_wind_accepts():
    assert Stick("behind", "", "", "moderate", ()).chance() == pytest.approx(2 / 9)


def test_a_position_listed_twice_is_one():
    assert read("accept: back | back middle").chance() == pytest.approx(1 / 9)


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (Stick("ahead", "", "", "light", ()), "wind ahead, light"),
        (Stick("", "090", "045", "strong", ()), "wind by heading, strong"),
        (LISTED, "2 positions right"),
    ],
)
def test_a_stick_question_says_how_it_was_read(body, said):
    assert body.describe() == said


def test_values_are_looked_for_in_every_word_and_an_answer_is_explained():
    assert DRAWN.texts() == ("", "{{ heading }}", "{{ wind_from }}", "{{ strength }}")
    assert "back left" in DRAWN.show(1, {}).expects


def test_positions_that_are_right_are_told_on_one_line():
    told = LISTED.compare(0, "forward right", {})
    assert (told.said, [point.text for point in told.points]) == ("forward right", ["back left or level left"])
