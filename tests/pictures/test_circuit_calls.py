import pytest

from stickback.pictures.circuit_calls import AXIS, CALLS, DOWNWIND, legs


@pytest.mark.parametrize(
    ("phraseology", "said"),
    [
        ("icao", ["downwind", "base", "final", "long final"]),
        ("uk", ["downwind", "late downwind", "base, if asked", "final", "long final"]),
        ("faa", ["downwind", "base", "final", "clear of\nrunway"]),
    ],
)
def test_each_phraseology_has_its_own_calls_in_the_order_flown(phraseology, said):
    assert [call.said for call in CALLS[phraseology]] == said


@pytest.mark.parametrize("phraseology", CALLS)
def test_downwind_is_called_on_the_downwind_leg_and_final_in_line_with_the_runway(phraseology):
    places = {call.said: call.at[0] for call in CALLS[phraseology]}
    assert (places["downwind"], places["final"]) == (DOWNWIND, AXIS)


def test_the_leg_after_take_off_has_another_name_in_the_united_states():
    assert [legs(each)[0] for each in ("icao", "uk", "faa")] == ["upwind", "upwind", "departure"]
    assert {legs(each)[1:] for each in CALLS} == {("crosswind", "downwind", "base", "final")}
