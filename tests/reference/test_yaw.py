"""Which way the nose goes, held to the published sources.

FAA-H-8083-25C, Pilot's Handbook of Aeronautical Knowledge, chapter 5, pages 5-30 to 5-32 (torque and P-factor).
FAA-H-8083-3C, Airplane Flying Handbook, chapter 6, page 6-7 (crosswind take-off) and chapter 14, pages 14-3 and 14-7
(normal take-off roll, crosswind after-landing roll). Pages are placed inside the range of their section.

Both handbooks describe the clockwise propeller (seen from the cockpit). What is not in them is marked as such.
"""

import pytest

from stickback.course import sheet
from stickback.reading import document
from stickback.trade import yaw
from stickback.trade.yaw import opposite, yaw_sides

CW, ACW = yaw.PROPELLERS
PHAK = "FAA-H-8083-25C chapter 5"
AFH6 = "FAA-H-8083-3C chapter 6"
AFH14 = "FAA-H-8083-3C chapter 14"
SYMMETRY = "by symmetry, from memory"
MEMORY = "from memory: moment of the spin vector × the turn, x forward, y right, z down"

NOSE_DOWN, NOSE_UP = (0, -1, 0), (0, 1, 0)
YAW_LEFT, YAW_RIGHT = (0, 0, -1), (0, 0, 1)
ALONG_Y, ALONG_Z = 1, 2

SHEET = """---
name: Wexcombe
callsign: G-QTWX
propeller: {propeller}
brakes: toe
tailwheel: steerable
speed_unit: kt
---

Invented, not for flight.
"""


@pytest.mark.parametrize(
    ("propeller", "effect", "nose", "foot", "source"),
    [
        pytest.param(CW, "tail_up_yaw", "left", "rudder_foot", f"{PHAK}; {AFH14}", id="D01"),
        pytest.param(ACW, "tail_up_yaw", "right", "rudder_foot", SYMMETRY, id="D02"),
        pytest.param(CW, "tail_down_yaw", "right", "other_foot", SYMMETRY, id="D03"),
        pytest.param(ACW, "tail_down_yaw", "left", "other_foot", SYMMETRY, id="D04"),
        pytest.param(CW, "p_factor_yaw", "left", "rudder_foot", PHAK, id="D05"),
        pytest.param(ACW, "p_factor_yaw", "right", "rudder_foot", SYMMETRY, id="D06"),
        pytest.param(CW, "slipstream_yaw", "left", "rudder_foot", PHAK, id="D07"),
        pytest.param(ACW, "slipstream_yaw", "right", "rudder_foot", SYMMETRY, id="D08"),
        pytest.param(CW, "torque_yaw", "left", "rudder_foot", PHAK, id="D09"),
        pytest.param(ACW, "torque_yaw", "right", "rudder_foot", SYMMETRY, id="D10"),
    ],
)
def test_the_nose_goes_where_the_source_says_and_the_other_foot_holds_it(propeller, effect, nose, foot, source):
    sides = yaw_sides(propeller)
    assert sides[effect] == nose, source
    assert sides[foot] == opposite(nose), source


@pytest.mark.parametrize(
    ("wind", "nose", "source"),
    [
        pytest.param("left", "left", AFH14, id="D11"),
        pytest.param("right", "right", AFH14, id="D12"),
    ],
)
@pytest.mark.parametrize("propeller", yaw.PROPELLERS)
def test_a_crosswind_turns_the_nose_into_wind_whichever_way_the_propeller_turns(propeller, wind, nose, source):
    sides = yaw_sides(propeller)
    adds = sides["adding_wind"] == wind
    assert (sides["swing"] if adds else sides["other_side"]) == nose, source
    assert (sides["rudder_foot"] if adds else sides["other_foot"]) == opposite(nose), source
    assert sides["adding_wind"] == opposite(sides["easing_wind"]), source


@pytest.mark.parametrize(
    ("propeller", "cause", "side", "source"),
    [
        pytest.param(CW, "torque_wheel", "left", PHAK, id="Y05"),
        pytest.param(ACW, "torque_wheel", "right", SYMMETRY, id="Y05 anticlockwise"),
        pytest.param(CW, "slipstream_fin", "left", "from memory (the yaw it makes: chapter 5)", id="Y07"),
        pytest.param(ACW, "slipstream_fin", "right", SYMMETRY, id="Y07 anticlockwise"),
        pytest.param(CW, "down_blade", "right", PHAK, id="Y18"),
        pytest.param(ACW, "down_blade", "left", SYMMETRY, id="Y18 anticlockwise"),
        pytest.param(CW, "adding_wind", "left", AFH6, id="Y24 adds"),
        pytest.param(CW, "easing_wind", "right", AFH6, id="Y24 eases"),
        pytest.param(ACW, "adding_wind", "right", SYMMETRY, id="Y25"),
    ],
)
def test_each_cause_stands_on_the_side_that_the_source_says(propeller, cause, side, source):
    assert yaw_sides(propeller)[cause] == side, source


@pytest.mark.parametrize(
    ("propeller", "turn", "axis", "sign", "source"),
    [
        pytest.param(CW, NOSE_DOWN, ALONG_Z, -1, f"{PHAK} (nose left); sign {MEMORY}", id="V125 nose left"),
        pytest.param(CW, NOSE_UP, ALONG_Z, +1, MEMORY, id="Y35 nose right"),
        pytest.param(ACW, NOSE_DOWN, ALONG_Z, +1, MEMORY, id="V127 nose right"),
        pytest.param(ACW, NOSE_UP, ALONG_Z, -1, MEMORY, id="V128 nose left"),
        pytest.param(CW, YAW_LEFT, ALONG_Y, +1, MEMORY, id="V129 nose up"),
        pytest.param(CW, YAW_RIGHT, ALONG_Y, -1, MEMORY, id="V130 nose down"),
        pytest.param(ACW, YAW_LEFT, ALONG_Y, -1, MEMORY, id="V131 nose down"),
        pytest.param(ACW, YAW_RIGHT, ALONG_Y, +1, MEMORY, id="Y38 nose up"),
    ],
)
def test_the_gyroscopic_moment_has_the_sign_of_the_check_value(propeller, turn, axis, sign, source):
    expected = [0, 0, 0]
    expected[axis] = sign
    assert list(yaw.precession(propeller, turn)) == expected, source


def read(propeller):
    found, problems = sheet.read(document.of_text(SHEET.format(propeller=propeller), "aircraft/wexcombe.md"))
    assert problems == []
    return found


@pytest.mark.parametrize("typed", ["anticlockwise", "counterclockwise"])
def test_a_sheet_with_an_anticlockwise_propeller_reads_to_the_mirrored_sides(typed):
    usual, mirrored = read("clockwise"), read(typed)
    assert mirrored.values["propeller"] == "anticlockwise"
    sides = yaw_sides("clockwise").keys()
    signs = {"callsign_short", "callsign_with_type", "other_callsign", "other_callsign_short"}
    assert mirrored.derived == usual.derived == {*sides, *signs}
    assert {name: mirrored.values[name] for name in sides} == {name: opposite(usual.values[name]) for name in sides}


def test_a_sheet_tells_the_swing_and_the_foot_of_its_propeller():
    assert [read("clockwise").values[name] for name in ("swing", "rudder_foot")] == ["left", "right"]
    assert [read("anticlockwise").values[name] for name in ("swing", "rudder_foot")] == ["right", "left"]
