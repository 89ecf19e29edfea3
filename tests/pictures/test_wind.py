from math import dist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pictures import arrow, bearing, boxes, crosses, outline, part, parts, read, said, segments
from stickback.pictures import figure
from stickback.trade import wind as trade
from stickback.trade.runway import runway

runways = st.builds("{:02d}{}".format, st.integers(1, 36), st.sampled_from(["", "L", "C", "R"]))
MIDDLE = (180, 178)


def words(strip, wind_from, wind, show="answer"):
    return {"scene": "wind", "runway": strip, "wind_from": f"{wind_from:03d}", "wind": str(wind), "show": show}


def drawn(*given, **more):
    return read(figure.draw(words(*given, **more)))


def off(one, other):
    """The angle between two directions."""
    return abs((one - other + 180) % 360 - 180)


def middle(element):
    (box,) = boxes(element)
    return (box.left + box.right) / 2, (box.top + box.bottom) / 2


@given(runways, st.integers(0, 360), st.integers(1, 99))
def test_the_wind_blows_from_its_side_of_the_compass(strip, wind_from, wind):
    start, tip = arrow(part(drawn(strip, wind_from, wind), "wind"))
    assert off(bearing(tip, start), wind_from) < 0.1


@given(runways)
def test_the_number_stands_at_the_end_that_is_landed_on_and_an_aeroplane_comes_in_there(strip):
    root, lands = drawn(strip, 0, 0), runway(strip)
    number, other = part(root, "number"), part(root, "other-end")
    assert (said(number), said(other)) == ([lands.name], [lands.other.name])
    assert off(bearing(middle(number), MIDDLE), lands.direction) < 1
    assert off(bearing(MIDDLE, middle(other)), lands.direction) < 1
    nose, tail = (outline(part(root, "aeroplane"))[each] for each in (0, 13))
    assert off(bearing(tail, nose), lands.direction) < 0.5
    assert dist(nose, middle(number)) < dist(nose, MIDDLE) < dist(tail, MIDDLE)


@given(runways, st.integers(0, 360), st.integers(1, 99))
def test_the_parts_are_to_scale_and_point_as_the_wind_does(strip, wind_from, wind):
    root, lands = drawn(strip, wind_from, wind), runway(strip)
    whole = dist(*arrow(part(root, "wind")))
    sizes = {
        "headwind": trade.headwind(lands.number, wind_from, whole),
        "tailwind": -trade.headwind(lands.number, wind_from, whole),
        "crosswind": abs(trade.crosswind(lands.number, wind_from, whole)),
    }
    to_the_right = trade.crosswind(lands.number, wind_from, 1) < 0
    ways = {
        "headwind": lands.direction + 180,
        "tailwind": lands.direction,
        "crosswind": lands.direction + (90 if to_the_right else -90),
    }
    for name, way in ways.items():
        for each in parts(root, name):
            start, tip = arrow(each)
            assert dist(start, tip) == pytest.approx(sizes[name], abs=0.1)
            assert off(bearing(start, tip), way) < 0.5
            assert said(each)[0] == name
        assert bool(parts(root, name)) == (sizes[name] >= 15) or abs(sizes[name] - 15) < 0.1


@given(runways, st.integers(0, 360), st.integers(1, 99))
def test_where_both_parts_are_drawn_they_make_up_the_wind(strip, wind_from, wind):
    root = drawn(strip, wind_from, wind)
    along = [*parts(root, "headwind"), *parts(root, "tailwind")]
    if along and parts(root, "crosswind"):
        (start, tip), (first, corner), (again, end) = map(
            arrow, (part(root, "wind"), part(root, "crosswind"), along[0])
        )
        assert (start, tip) == (pytest.approx(first, abs=0.02), pytest.approx(end, abs=0.02))
        assert corner == pytest.approx(again, abs=0.02)


@pytest.mark.parametrize("number", range(1, 37))
def test_no_text_lies_on_a_line(number):
    for wind_from in range(0, 360, 45):
        root = drawn(f"{number:02d}L", wind_from, 28)
        pieces = list(segments(root))
        for box in boxes(root, wide=0.55):
            assert not any(crosses(box, piece) for piece in pieces), (number, wind_from, box)


def test_the_answer_alone_tells_the_figures_of_the_parts():
    assert not set("8 kt") <= set("".join(said(part(drawn("24", 270, 15, show="components"), "crosswind"))))
    assert said(part(drawn("24", 270, 15), "crosswind")) == ["crosswind", "8 kt"]
    assert not parts(drawn("24", 270, 15, show="wind"), "crosswind")


@pytest.mark.parametrize(
    ("strip", "wind_from", "wind", "show", "sentence"),
    [
        ("24", 270, 15, "wind", "; the wind comes from 270 degrees at 15 kt."),
        ("24", 270, 15, "components", " at 15 kt, drawn with its parts along and across the runway."),
        ("24", 270, 15, "answer", " at 15 kt: 13 kt of headwind and 8 kt of crosswind from the right."),
        ("24", 210, 15, "answer", " at 15 kt: 13 kt of headwind and 8 kt of crosswind from the left."),
        ("24", 60, 8, "answer", " at 8 kt: 8 kt of tailwind and no crosswind."),
        ("33", 240, 18, "answer", " at 18 kt: no headwind and 18 kt of crosswind from the left."),
        ("24", 0, 0, "answer", "; the wind is calm."),
    ],
)
def test_the_sentence_says_what_the_picture_shows(strip, wind_from, wind, show, sentence):
    told = figure.sentence(words(strip, wind_from, wind, show))
    assert told.startswith(f"Runway {strip} seen from above, north up")
    assert told.endswith(sentence)


def test_what_is_too_small_to_draw_is_said_once_the_answer_is_shown():
    assert said(part(drawn("18", 175, 12), "small")) == ["crosswind: 1 kt"]
    assert said(part(drawn("18", 180, 12), "small")) == ["no crosswind"]
    assert not parts(drawn("18", 175, 12, show="components"), "small")


def test_a_calm_has_no_arrow():
    assert said(part(drawn("18", 175, 0), "wind")) == ["calm"]
