import pytest

from stickback.course import sheet
from stickback.radio import callsign
from stickback.reading import document
from stickback.trade import yaw

KEYS = {
    "name": "New",
    "callsign": "G-QTWD",
    "propeller": "clockwise",
    "brakes": "toe",
    "tailwheel": "skid",
    "speed_unit": "kt",
}


def read(body="", **changed):
    """The sheet with some keys changed, added or (None) taken away, and its problems by code and line."""
    keys = {key: value for key, value in {**KEYS, **changed}.items() if value is not None}
    text = "".join(f"{key}: {value}\n" for key, value in keys.items())
    got, problems = sheet.read(document.of_text(f"---\n{text}---\n{body}", "aircraft/new.md"))
    return got, [(each.line, each.code) for each in problems]


def test_a_sheet_is_named_by_its_file_and_keeps_its_text():
    got, problems = read("\nInvented, not for flight.\n")
    assert (got.id, got.name, got.file, problems) == ("new", "New", "aircraft/new.md", [])
    assert [each.text for each in got.blocks] == ["Invented, not for flight."]


def test_values_are_kept_as_they_are_typed_and_any_further_one_becomes_a_value():
    got, _ = read(approach_speed="055", flap_stages="3", seats="'front: one'")
    assert [got.values[key] for key in ("approach_speed", "flap_stages", "seats")] == ["055", "3", "front: one"]


@pytest.mark.parametrize(
    ("propeller", "swing"), [("clockwise", "left"), ("anticlockwise", "right"), ("counterclockwise", "right")]
)
def test_the_sides_follow_from_the_propeller(propeller, swing):
    got, _ = read(propeller=propeller)
    assert (got.values["swing"], got.values["rudder_foot"]) == (swing, {"left": "right", "right": "left"}[swing])
    assert got.derived == {*yaw.yaw_sides("clockwise"), *callsign.signs("G-QTWD")}


@pytest.mark.parametrize(("sign", "short"), [("G-QTWD", "G-WD"), ("N07TW", "N7TW"), ("Cobbler 12", "Cobbler 12")])
def test_the_short_callsign_follows_from_the_callsign(sign, short):
    got, _ = read(callsign=sign)
    assert got.values["callsign_short"] == short
    assert "callsign_short" in got.derived


def test_counterclockwise_is_another_word_for_anticlockwise():
    assert read(propeller="counterclockwise") == read(propeller="anticlockwise")


def test_what_is_said_about_the_file_is_no_value_of_the_aeroplane():
    got, _ = read(revision="3", approved_by="A", title="B")
    assert not {"revision", "approved_by", "title"} & got.values.keys()


@pytest.mark.parametrize("key", KEYS)
def test_a_sheet_without_a_required_key_is_no_sheet(key):
    assert read(**{key: None}) == (None, [(1, "front-missing")])


@pytest.mark.parametrize("key", KEYS)
def test_a_required_key_without_a_value_is_one_problem(key):
    assert read(**{key: ""}) == (None, [(list(KEYS).index(key) + 2, "front-value")])


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("propeller", "Clockwise"),
        ("brakes", "feet"),
        ("tailwheel", "none"),
        ("speed_unit", "km/h"),
        ("wheel_landings", "yes"),
        ("stall_speed", "slow"),
        ("demonstrated_crosswind", "-1"),
        ("runup_rpm", "nan"),
        ("magneto_drop", "inf"),
        ("fuel_endurance_hours", "1,5"),
        ("seats", "[front, rear]"),
        ("note", '"a\\nb"'),
    ],
)
def test_a_value_that_is_not_allowed_is_one_problem_at_its_line(key, value):
    line = {**dict(zip(KEYS, range(2, 8), strict=True))}.get(key, 8)
    assert read(**{key: value}) == (None, [(line, "front-value")])


@pytest.mark.parametrize("key", ["swing", "other_side", "rudder_foot", "p_factor_yaw"])
def test_what_follows_from_the_propeller_must_not_be_typed(key):
    assert read(**{key: "left"}) == (None, [(8, "front-key")])


def test_all_mistakes_of_a_sheet_are_named_at_once():
    _, problems = read(name=None, brakes="feet", stall_speed="slow")
    assert problems == [(1, "front-missing"), (4, "front-value"), (7, "front-value")]


@pytest.mark.parametrize("key", ["callsign", "propeller", "stall_speed", "seats"])
def test_an_alias_is_no_value_and_stops_nothing(key):
    got, _ = read(name="&name New", **{key: "*name"})
    assert got is None


def test_values_are_measured_as_the_sheet_or_the_end_of_their_name_says():
    values = {"speed_unit": "mph", "approach_speed": "65", "demonstrated_crosswind": "14", "own_speed": "9"}
    values |= {"magneto_drop": "100", "runup_rpm": "1700", "fuel_l": "40", "endurance_hours": "3", "oil_minimum": "4"}
    assert sheet.measured({**values, "gear_in": "yes", "l": "1"}) == {
        **dict.fromkeys(("approach_speed", "demonstrated_crosswind", "own_speed"), "mph"),
        **dict.fromkeys(("magneto_drop", "runup_rpm"), "rpm"),
        "fuel_l": "l",
        "endurance_hours": "h",
    }
