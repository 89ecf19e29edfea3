"""Stick positions while taxiing, held to what is published.

The sources: FAA-H-8083-3C, *Airplane Flying Handbook* (AFH), chapter 2, *Taxiing*, pages 2-19 and 2-20, and chapter 14,
*Transition to tailwheel airplanes*, page 14-2. What it does not say (no wind, a wind from abeam) is common practice.
"""

import pytest

from stickback.trade import taxi

ALWAYS = taxi.STRENGTHS

# quarter, strengths, elevators the source allows, aileron, source
PUBLISHED = {
    "T20 headwind": ("ahead", ("light", "moderate"), {"back"}, "middle", "AFH p 2-20: full back"),
    "T20 very strong headwind": ("ahead", ("strong",), {"back", "level"}, "middle", "AFH p 2-20: nearer neutral"),
    "T21 headwind from the left": ("ahead-left", ("light", "moderate"), {"back"}, "left", "AFH p 2-19, 2-20, 14-2"),
    "T22 headwind from the right": ("ahead-right", ("light", "moderate"), {"back"}, "right", "AFH p 2-19, 2-20, 14-2"),
    "T23 tailwind from the left": ("behind-left", ("strong",), {"forward"}, "right", "AFH p 2-20, 14-2"),
    "T24 tailwind from the right": ("behind-right", ("strong",), {"forward"}, "left", "AFH p 14-2, just this case"),
    "T25 strong tailwind": ("behind", ("strong",), {"forward"}, "middle", "AFH p 14-2: forward if strong"),
    "T26 no wind": (taxi.NO_WIND, ALWAYS, {"back"}, "middle", "practice: the tailwheel grips"),
    "T27 from abeam left": ("left", ALWAYS, {"back", "level"}, "left", "practice: back or near neutral, into wind"),
    "T27 from abeam right": ("right", ALWAYS, {"back", "level"}, "right", "practice: back or near neutral, into wind"),
    "T30 strong, ahead left": ("ahead-left", ("strong",), {"back", "level"}, "left", "AFH p 14-2: a wing may lift"),
    "T30 strong, ahead right": ("ahead-right", ("strong",), {"back", "level"}, "right", "AFH p 14-2: a wing may lift"),
}
AHEAD, BEHIND = ("ahead", "ahead-left", "ahead-right"), ("behind", "behind-left", "behind-right")


@pytest.mark.parametrize("fact", PUBLISHED)
def test_what_is_right_is_what_is_published(fact):
    where, strengths, elevators, aileron, source = PUBLISHED[fact]
    for strength in strengths:
        found = set(taxi.positions(where, strength))
        assert found == {(elevator, aileron) for elevator in elevators}, source


@pytest.mark.parametrize("where", [*AHEAD, *BEHIND, "left", "right"])
def test_the_stick_climbs_into_a_wind_from_ahead_and_dives_away_from_one_from_behind(where):
    """T28, a memory aid of common practice: the sides, and the plainest elevator in a strong wind."""
    elevator, aileron = taxi.positions(where, "strong")[0]
    side = where.rpartition("-")[2]
    into = side if side in {"left", "right"} else "middle"
    away = {"left": "right", "right": "left", "middle": "middle"}[into]
    assert (elevator, aileron) == (("forward", away) if where in BEHIND else ("back", into))


@pytest.mark.parametrize("where", AHEAD)
def test_a_stick_held_back_is_right_in_every_wind_from_ahead(where):
    """T29, AFH p 14-2: it presses the tailwheel down and helps it steer."""
    assert all(taxi.positions(where, strength)[0][0] == "back" for strength in taxi.STRENGTHS)


@pytest.mark.parametrize("where", BEHIND)
def test_an_elevator_left_up_is_wrong_in_a_strong_wind_from_behind(where):
    """T31, AFH p 14-2: the wind gets under it and lifts the tail."""
    assert {elevator for elevator, _ in taxi.positions(where, "strong")} == {"forward"}


@pytest.mark.parametrize("where", BEHIND)
def test_a_stick_held_back_helps_most_in_a_light_wind_from_behind(where):
    """T32 and T25, AFH p 14-2: the propeller's wash is a net headwind on the tail."""
    assert taxi.positions(where, "light")[0][0] == "back"


@pytest.mark.parametrize("where", BEHIND)
def test_either_elevator_is_taken_where_the_source_says_to_feel_the_wind(where):
    """T32, AFH p 14-2: if in doubt feel the wind and place the elevator where it does good."""
    assert {elevator for elevator, _ in taxi.positions(where, "moderate")} == {"forward", "back"}
