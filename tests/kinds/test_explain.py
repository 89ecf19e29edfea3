from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts import part_of
from stickback.kinds import explain
from stickback.kinds.explain import Explain
from stickback.kinds.shown import Point
from typed import heard

NEEDED = {1: 1, 2: 2, 3: 3, 4: 3, 5: 4}  # how many of so many points make an answer
SWING = Explain(
    (Point(text="Torque", must=True), Point(text="Slipstream"), Point(text="P-factor")),
    (Point(text="Wind", fails=True),),
)


@st.composite
def bodies(draw):
    musts = draw(st.lists(st.booleans(), min_size=1, max_size=explain.MOST))
    fails = draw(st.integers(0, explain.MOST - len(musts)))
    points = tuple(Point(text=f"Point {number}", must=must) for number, must in enumerate(musts))
    return Explain(points, tuple(Point(text=f"Fault {number}", fails=True) for number in range(fails)))


def part(body):
    """The question, its first line of text on line 3."""
    return part_of(f"## Why? {{#why}}\n\n{body}\n")


def answered(text):
    """The body read from what stands under `### Answer`."""
    return Explain.parse(part(f"### Answer\n\n{text}"))[0]


def faults(text):
    body, _, problems = Explain.parse(part(text))
    assert body is None
    return [(problem.line, problem.code) for problem in problems]


def combinations(count, most_fails=1):
    """Every body of so many points with every set of numbers that may be said."""
    for musts in product([False, True], repeat=count):
        for fails in range(most_fails + 1):
            points = tuple(Point(text=f"Point {number}", must=must) for number, must in enumerate(musts))
            faults = tuple(Point(text=f"Fault {number}", fails=True) for number in range(fails))
            for said in product([False, True], repeat=count + fails):
                yield Explain(points, faults), said


def typed(said):
    return " ".join(str(number) for number, heard in enumerate(said, 1) if heard) or "none"


# reading


def test_every_item_of_the_list_is_a_point():
    body, prompt, problems = Explain.parse(part("Think.\n\n### Answer\n\n- Torque\n- The\n  *slipstream*\n- P-factor"))
    assert body == Explain((Point(text="Torque"), Point(text="The *slipstream*"), Point(text="P-factor")))
    assert [block.text for block in prompt] == ["Think."]
    assert problems == []


def test_a_paragraph_is_one_point():
    assert answered("The tail leads,\nso the nose follows.") == Explain(
        (Point(text="The tail leads, so the nose follows."),)
    )


@pytest.mark.parametrize(
    ("item", "text"),
    [
        ("**Stick back**", "Stick back"),
        ("**Stick back.**", "Stick back."),
        ("**Stick back**.", "Stick back."),
        ("__Stick back__", "Stick back"),
        ("**Stick\n  back**", "Stick back"),
        ("Must: stick back", "stick back"),
        ("must:  stick back", "stick back"),
    ],
)
def test_an_item_wholly_in_bold_or_beginning_with_must_cannot_be_missed(item, text):
    assert answered(f"- {item}\n- Other") == Explain((Point(text=text, must=True), Point(text="Other")))


@pytest.mark.parametrize("item", ["**Stick** back", "**Stick** and **back**", "*Stick back*", "You must: look"])
def test_an_item_partly_in_bold_is_no_must(item):
    assert answered(f"- {item}") == Explain((Point(text=item),))


def test_what_fails_the_answer_is_read_and_is_never_a_must():
    body, _, _ = Explain.parse(part("### Answer\n\n- Rudder\n\n### Fails if said\n\n- **Brake first**\n- Let go"))
    assert body.fails == (Point(text="Brake first", fails=True), Point(text="Let go", fails=True))


@pytest.mark.parametrize("text", ["### Answer\n\n-\n-", "### Answer\n\n- \n\n### Fails if said\n\n- Brake"])
def test_an_answer_without_a_point_is_refused_at_its_heading(text):
    assert faults(text) == [(3, "answer-empty")]


def test_ten_points_are_too_many_those_that_fail_counted():
    nine = "\n".join(f"- Point {number}" for number in range(9))
    assert len(answered(nine).points) == 9
    assert faults(f"### Answer\n\n{nine}\n\n### Fails if said\n\n- Brake") == [(3, "answer-points")]


@pytest.mark.parametrize(
    ("text", "reads"),
    [
        ("### Answer\n\n- Rudder", True),
        ("### Answer\n\nRudder", True),
        ("### Answer", False),
        ("### Answer\n\n1. Rudder", False),
        ("### Answer\n\n> Rudder", False),
        ("### Why\n\n- Rudder", False),
        ("- Rudder", False),
    ],
)
def test_an_answer_that_begins_with_a_bullet_list_or_a_paragraph_is_read(text, reads):
    assert Explain.reads(part(text)) is reads


@pytest.mark.parametrize(
    "text",
    [
        "- Rudder\n\nThen lost.",
        "- Rudder\n\n1. Lost",
        "- Rudder\n  - lost",
        "Rudder.\n\nThen lost.",
        "Lost first.\n\n- Rudder",
        "- Rudder\n\n### Fails if said\n\n1. Lost",
        "- Rudder\n\n### Fails if said\n\n> Lost",
    ],
)
def test_nothing_that_stands_in_an_answer_is_lost_without_a_word(text):
    body, _, problems = Explain.parse(part(f"### Answer\n\n{text}"))
    assert problems or "lost" in " ".join(body.texts()).casefold()


# marking


@pytest.mark.parametrize("count", NEEDED)
def test_right_with_every_must_enough_of_all_and_nothing_that_fails(count):
    for body, said in combinations(count):
        musts = all(heard for point, heard in zip(body.points, said, strict=False) if point.must)
        expected = musts and sum(said[:count]) >= NEEDED[count] and not any(said[count:])
        assert body.mark(1, typed(said), {}).right is expected, (body, said)


@pytest.mark.parametrize("count", NEEDED)
def test_the_score_is_the_share_of_points_said_whatever_fails(count):
    for body, said in combinations(count):
        assert body.mark(1, typed(said), {}).score == sum(said[:count]) / count


@given(bodies(), st.integers(0, 2**53 - 1))
def test_all_is_right_and_none_is_wrong(body, seed):
    assert body.mark(seed, heard(body, "all"), {}).right
    assert not body.mark(seed, heard(body, "none"), {}).right


@given(bodies(), st.text(alphabet="0123456789 ,;", max_size=8) | st.sampled_from(["all", " NONE", "1 all"]))
def test_an_answer_understood_is_understood_as_itself(body, text):
    once = heard(body, text)
    assert once is None or heard(body, once) == once


@pytest.mark.parametrize(
    ("said", "understood"),
    [
        ("1 3", "1 3"),
        ("3,1", "1 3"),
        (" 2;2 ", "2"),
        ("all", "1 2 3"),
        ("All ", "1 2 3"),
        ("none", "none"),
        ("4", "4"),
        ("5", None),
        ("0", None),
        ("01", None),
        ("13", None),
        ("1 all", None),
        ("²", None),
        ("torque", None),
        ("", None),
    ],
)
def test_numbers_are_understood_however_they_are_written(said, understood):
    assert heard(SWING, said) == understood


def test_nothing_but_the_prompt_is_shown_and_nobody_explains_by_guessing():
    assert SWING.show(1, {}).options == ()
    assert SWING.show(1, {}).manner == "aloud"
    assert SWING.chance() == 0


def test_the_answer_is_what_must_be_said_and_then_what_must_not():
    assert SWING.answer(1, {}) == (*SWING.points, *SWING.fails)
    assert SWING.texts() == ("Torque", "Slipstream", "P-factor", "Wind")


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (SWING, "3 points, 1 must, 1 that fail it"),
        (Explain((Point(text="Torque"), Point(text="Wind"))), "2 points, 0 must"),
        (Explain((Point(text="Torque", must=True),)), "1 point, 1 must"),
    ],
)
def test_an_explanation_says_how_it_was_read(body, said):
    assert body.describe() == said


def test_what_is_expected_names_the_last_number():
    assert "1 to 4" in SWING.show(1, {}).expects


def test_each_point_tells_whether_it_was_said_and_a_failing_one_only_if_it_was():
    told = [(point.text, point.said) for point in SWING.compare(1, "1", {}).points]
    assert told == [(point.text, place == 0) for place, point in enumerate(SWING.points)]
    assert [point.said for point in SWING.compare(1, "none", {}).points] == [False] * len(SWING.points)
    failing = str(len(SWING.points) + 1)
    assert [point.text for point in SWING.compare(1, failing, {}).points if point.said] == [SWING.fails[0].text]


def test_what_was_said_aloud_is_not_quoted():
    assert SWING.compare(1, "1", {}).said == ""


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        ("About four litres", 1),
        ("- Sixty knots", 1),
        ("60 kt over the fence", 1),
        ("**About four litres**", 0),
        ("Must: four litres", 0),
        ("About four litres\n\n### Fails if said\n\n- Five litres", 1),
        ("- About four litres\n- No less", 0),
        ("Two turns, then look", 0),
        ("One sees the runway on both sides of the nose at sixty knots", 0),
    ],
)
def test_one_point_that_says_how_much_may_be_meant_as_a_number(answer, told):
    body, _, problems = Explain.parse(part(f"### Answer\n\n{answer}"))
    assert body is not None
    assert [(each.line, each.code, each.severity) for each in problems] == [(5, "answer-points", "warning")] * told
