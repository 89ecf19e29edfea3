"""Every picture, whatever its scene: well-formed, spoken, readable, and never in the way of a sitting."""

from functools import cache
from itertools import combinations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pictures import SVG, boxes, read
from stickback.pictures import canvas, figure
from stickback.pictures.attitude import PITCH
from stickback.pictures.propeller import EFFECTS
from stickback.trade import taxi, yaw

ALLOWED = {"svg", "title", "desc", "g", "polyline", "polygon", "circle", "path", "text"}
SIDES = ("left", "right")
RUNWAYS = ("01", "09L", "24R", "36")


def words(scene, **lists):
    """Every choice of words from the lists."""
    return [{"scene": scene, **dict(zip(lists, each, strict=True))} for each in product(*lists.values())]


SHOWN = {
    "wind": words(
        "wind",
        runway=RUNWAYS,
        wind_from=[f"{each:03d}" for each in range(0, 361, 30)],
        wind=("8", "25"),
        show=("wind", "components", "answer"),
    ),
    "stick": words(
        "stick", quarter=(*taxi.QUARTERS, "none", "all"), strength=taxi.STRENGTHS, show=("question", "answer")
    ),
    "propeller": [
        *words("propeller", propeller=yaw.PROPELLERS, effect=(*EFFECTS, "all"), show=("question", "answer")),
        *words("propeller", propeller=yaw.PROPELLERS, effect=("gyroscopic",), tail=("lowered",), show=("answer",)),
    ],
    "attitude": words("attitude", attitude=(*PITCH, "all")),
    "swerve": words("swerve", show=("grows", "stopped"), nose=SIDES),
    "weathercock": words("weathercock", wind_from=SIDES),
    "weave": words("weave", nose=(*SIDES, "both")),
    "slip": words("slip", wind_from=SIDES),
    "bounce": words("bounce", show=("skip", "porpoise")),
    "view": words("view", tail=("up", "down", "both")),
    "pedals": words("pedals", brakes=("toe", "heel", "all")),
    "circuit": words(
        "circuit",
        hand=("left", "right"),
        runway=("06L", "24", "36C"),
        phraseology=("icao", "uk", "faa"),
        show=("question", "answer"),
    ),
}
NAMES = " | ".join(figure.SCENES)
ALL = [each for several in SHOWN.values() for each in several]

every_scene = pytest.mark.parametrize("scene", SHOWN)


@cache
def roots(scene):
    return [(each, read(figure.draw(each))) for each in SHOWN[scene]]


def test_every_scene_is_tried():
    assert set(SHOWN) == set(figure.SCENES)


@every_scene
def test_a_picture_has_a_title_a_description_and_the_role_of_an_image(scene):
    for each, root in roots(scene):
        title, desc = root[0], root[1]
        assert (title.tag, desc.tag) == (f"{SVG}title", f"{SVG}desc"), each
        assert title.text
        assert desc.text == figure.sentence(each)
        assert root.get("role") == "img"
        assert root.get("viewBox") == f"0 0 {canvas.WIDTH} {root.get('height')}"


@every_scene
def test_a_picture_holds_shapes_and_texts_alone(scene):
    for each, root in roots(scene):
        assert {node.tag.removeprefix(SVG) for node in root.iter()} <= ALLOWED, each
        names = {name for node in root.iter() for name in node.attrib}
        assert not {name for name in names if name in {"style", "class", "id", "href"} or name.startswith("on")}, each


@every_scene
def test_no_colour_is_used_but_the_readers_own(scene):
    for each, root in roots(scene):
        for node in root.iter():
            assert {node.get("fill", "none"), node.get("stroke", "none")} <= {"none", "currentColor"}, each
            assert node.get("color") is None


@every_scene
def test_a_picture_is_readable_on_a_phone(scene):
    for each, root in roots(scene):
        for node in root.iter():
            assert float(node.get("font-size", 13)) >= 13, each
            assert float(node.get("stroke-width", 2)) >= 1.5, each


@every_scene
def test_every_text_and_line_lies_inside_the_picture(scene):
    for each, root in roots(scene):
        high = float(root.get("height"))
        for box in boxes(root):
            assert box.left >= 0, (each, box)
            assert box.right <= canvas.WIDTH, (each, box)
            assert box.top >= 0, (each, box)
            assert box.bottom <= high, (each, box)
        for node in root.iter():
            for pair in node.get("points", "").split():
                x, y = map(float, pair.split(","))
                assert 0 <= x <= canvas.WIDTH, each
                assert 0 <= y <= high, each


@every_scene
def test_no_text_lies_on_another(scene):
    for each, root in roots(scene):
        for one, other in combinations(boxes(root, wide=0.55), 2):
            assert not one.overlaps(other), (each, one, other)


@every_scene
def test_the_same_words_give_the_same_picture(scene):
    for each in SHOWN[scene][:6]:
        assert figure.draw(each) == figure.draw(dict(each))
        assert figure.check(each) is None


@pytest.mark.parametrize("scene", ["stick", "propeller", "circuit"])
def test_an_answer_is_shown_only_when_asked_for(scene):
    for each in SHOWN[scene]:
        if each.get("show") == "question":
            asked = {key: value for key, value in each.items() if key != "show"}
            assert figure.draw(asked) == figure.draw(each)
            assert figure.draw(asked) != figure.draw({**each, "show": "answer"})


# words that are wrong


@pytest.mark.parametrize(
    ("typed", "message", "hint"),
    [
        ({}, "A figure does not say its scene.", f"add `scene:` with {NAMES}"),
        ({"scene": "cat"}, "'cat' is no scene of a figure.", f"write {NAMES}"),
        (
            {"scene": "attitude", "pitch": "3"},
            "The scene 'attitude' has no word 'pitch'.",
            "it takes attitude",
        ),
        (
            {"scene": "wind", "runway": "24", "wind": "3"},
            "The scene 'wind' does not say 'wind_from'.",
            "add `wind_from:` with 0 to 360 degrees",
        ),
        (
            {"scene": "wind", "runway": "37", "wind_from": "1", "wind": "3"},
            "'37' is no runway of the scene 'wind'.",
            "write 01 to 36, perhaps with L, C or R",
        ),
        (
            {"scene": "wind", "runway": "24", "wind_from": "361", "wind": "3"},
            "'361' is no wind_from of the scene 'wind'.",
            "write 0 to 360 degrees",
        ),
        (
            {"scene": "stick", "strength": "light"},
            "The scene 'stick' must say where the wind comes from, once.",
            "add `quarter:`, or `heading:` and `wind_from:`",
        ),
        (
            {"scene": "propeller", "propeller": "clockwise", "effect": "torque", "tail": "raised"},
            "The word 'tail' is for the gyroscopic effect alone.",
            "leave `tail:` out",
        ),
        (
            {"scene": "circuit", "hand": "both", "runway": "24", "phraseology": "uk"},
            "'both' is no hand of the scene 'circuit'.",
            "write left | right",
        ),
    ],
)
def test_wrong_words_are_told_with_what_to_write(typed, message, hint):
    assert figure.check(typed) == (message, hint)
    assert figure.sentence(typed) == f"No picture can be drawn. {message}"
    assert read(figure.draw(typed))[1].text == figure.sentence(typed)


@pytest.mark.parametrize("bad", ["", " ", "0", "00", "37", "٢٤", "24\n", "-6", "1e1", "24LL", "24l", "nan"])
def test_a_runway_is_01_to_36(bad):
    assert figure.check({"scene": "wind", "runway": bad, "wind_from": "270", "wind": "15"}) is not None


@pytest.mark.parametrize("bad", ["", "100", "-1", "inf", "nan", "1e1", "¹", "12 kt", "9" * 10_000])
def test_a_wind_is_0_to_99_knots(bad):
    assert figure.check({"scene": "wind", "runway": "24", "wind_from": "270", "wind": bad}) is not None


@pytest.mark.parametrize("scene", ["wind", "{{ scene }}"])
def test_values_are_taken_as_fine_until_they_are_filled_in(scene):
    typed = {"scene": scene, "runway": "{{ runway }}", "wind_from": "{{ wind_from }}", "wind": "{{wind}}"}
    assert figure.check(typed) is None
    assert "has no value" in figure.sentence(typed)


def test_a_name_typed_wrong_is_told_even_where_its_value_comes_later():
    assert figure.check({"scene": "attitude", "atitude": "{{ a }}"}) is not None


@given(st.dictionaries(st.text(max_size=9) | st.just("scene"), st.text() | st.sampled_from(list(figure.SCENES))))
def test_any_words_at_all_give_a_picture_that_is_well_formed(typed):
    assert read(figure.draw(typed)).tag == f"{SVG}svg"
    assert figure.sentence(typed)


@pytest.mark.parametrize("hostile", ['"><script>alert(1)</script>', "]]>&<!--", "\x00\x1b\ud800\uffff", "' onload='x"])
def test_hostile_words_are_escaped(hostile):
    drawn = figure.draw({"scene": hostile})
    root = read(drawn)
    assert {node.tag.removeprefix(SVG) for node in root.iter()} <= ALLOWED
    assert "<script" not in drawn
