from math import dist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pictures import SVG, arrow, bearing, centre, part, parts, read, said
from stickback.pictures import figure
from stickback.pictures.stick import place
from stickback.trade import taxi

every_wind = pytest.mark.parametrize(
    ("quarter", "strength"),
    [(quarter, strength) for quarter in (*taxi.QUARTERS, taxi.NO_WIND) for strength in taxi.STRENGTHS],
)


def words(quarter, strength, show="answer"):
    return {"scene": "stick", "quarter": quarter, "strength": strength, "show": show}


def drawn(*given):
    return read(figure.draw(words(*given)))


@every_wind
def test_the_marked_positions_are_those_of_the_trade_the_plainest_first(quarter, strength):
    root = drawn(quarter, strength)
    plainest, *others = taxi.positions(quarter, strength)
    assert centre(part(root, "right")) == place(plainest)
    assert [centre(each) for each in parts(root, "right-too")] == [place(each) for each in others]
    assert len(parts(root, "position")) + 1 + len(others) == 9
    assert [said(each)[0].removeprefix("or ") for each in parts(root, "said")] == [
        " ".join(each) for each in (plainest, *others)
    ]


@every_wind
def test_nothing_is_marked_or_said_before_the_answer(quarter, strength):
    root = drawn(quarter, strength, "question")
    assert not [*parts(root, "right"), *parts(root, "right-too"), *parts(root, "said")]
    assert len({each[0].get("r") for each in parts(root, "position")}) == 1
    sentence = figure.sentence(words(quarter, strength, "question"))
    assert not any(" ".join(position) in sentence for position in taxi.POSITIONS)


@every_wind
def test_the_wind_blows_at_the_aeroplane_from_its_quarter_with_an_arrow_for_each_strength(quarter, strength):
    wind = part(drawn(quarter, strength), "wind")
    if quarter == taxi.NO_WIND:
        assert not list(wind)
        return
    assert len(list(wind)) == taxi.STRENGTHS.index(strength) + 1
    for each in wind:
        start, tip = arrow(each)
        assert taxi.quarter(0, bearing(tip, start)) == quarter
        assert dist(tip, (96, 122)) < dist(start, (96, 122))


def test_forward_is_up_and_left_is_left():
    assert place(("forward", "middle"))[1] < place(("level", "middle"))[1] < place(("back", "middle"))[1]
    assert place(("level", "left"))[0] < place(("level", "middle"))[0] < place(("level", "right"))[0]


def test_the_two_marks_differ_in_shape():
    root = drawn("ahead-left", "strong")
    plainest, other = part(root, "right"), part(root, "right-too")
    assert [each.get("fill-opacity") for each in plainest.iter(f"{SVG}circle")] == ["1"]
    assert [each.get("fill-opacity") for each in other.iter(f"{SVG}circle")] == ["0", "1"]


@given(st.integers(0, 360), st.integers(0, 360), st.sampled_from(taxi.STRENGTHS))
def test_a_heading_and_a_wind_give_the_picture_of_their_quarter(heading, wind_from, strength):
    typed = {"scene": "stick", "heading": str(heading), "wind_from": str(wind_from), "strength": strength}
    assert figure.draw(typed) == figure.draw(words(taxi.quarter(heading, wind_from), strength, "question"))


@pytest.mark.parametrize(
    ("quarter", "strength", "wind", "told"),
    [
        ("ahead", "light", "in a light wind from ahead", "the stick is back middle."),
        ("left", "strong", "in a strong wind from the left", "the stick is back left, and level left is accepted too."),
        (
            "behind-left",
            "moderate",
            "in a moderate wind from behind on the left",
            "the stick is forward right, and back right is accepted too.",
        ),
        ("none", "strong", "with no wind", "the stick is back middle."),
    ],
)
def test_the_sentence_says_the_wind_and_where_the_stick_is(quarter, strength, wind, told):
    head = "An aeroplane taxiing, seen from above, its nose up the page,"
    assert figure.sentence(words(quarter, strength)) == f"{head} {wind}; {told}"
    asked = figure.sentence(words(quarter, strength, "question"))
    assert asked == f"{head} {wind}; the stick has nine positions."


@pytest.mark.parametrize(
    "typed",
    [
        {"quarter": "left", "heading": "10", "wind_from": "20"},
        {"heading": "10"},
        {"quarter": "left", "wind_from": "20"},
        {"quarter": "above"},
        {"quarter": ""},
    ],
)
def test_the_wind_is_said_once_and_whole(typed):
    assert figure.check({"scene": "stick", "strength": "light", **typed}) is not None


@pytest.mark.parametrize("strength", taxi.STRENGTHS)
def test_four_winds_in_one_picture_each_show_their_own_stick(strength):
    words = {"scene": "stick", "quarter": "all", "strength": strength, "show": "answer"}
    root = read(figure.draw(words))
    for where in ("ahead-left", "ahead-right", "behind-left", "behind-right"):
        right = taxi.positions(where, strength)
        corner = part(root, where)
        assert said(corner) == [" ".join(right[0])]
        knobs = {centre(each) for each in parts(corner, "position")}
        knobs |= {centre(each) for name in ("right", "right-too") for each in parts(corner, name)}
        xs, ys = sorted({x for x, _ in knobs}), sorted({y for _, y in knobs})
        x, y = centre(part(corner, "right"))
        assert (taxi.ELEVATORS[ys.index(y)], taxi.AILERONS[xs.index(x)]) == right[0]
        assert len(parts(corner, "right-too")) == len(right) - 1
        assert (x < 180) == where.endswith("left")
        told = figure.sentence(words)
        assert " ".join(right[0]) in told
    assert len(parts(root, "wind")) == 4


def test_four_winds_as_a_question_show_no_stick():
    words = {"scene": "stick", "quarter": "all", "strength": "strong"}
    root = read(figure.draw(words))
    assert not parts(root, "right")
    assert "forward" not in figure.sentence(words)
