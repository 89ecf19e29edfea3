import pytest

from stickback.radio.exchange import Exchange, placed
from stickback.radio.readback import hear, match


def reply(heard, *wanted, rules="uk", sign="G-QTWA"):
    return Exchange(wanted, sign, rules, heard=heard)


def call(model, *wanted, rules="uk", sign="G-QTWA"):
    return Exchange(wanted, sign, rules, model=model)


LANDING = reply("G-WA, runway 24 cleared to land", "runway 24", "cleared to land")
CHECK = call("Eldermoor Tower, G-QTWA, radio check 118.305", "Eldermoor Tower", "radio check 118.305")


@pytest.mark.parametrize(
    ("one", "answer"),
    [
        (LANDING, "runway 24, cleared to land, G-WA"),
        (reply("G-QTWA, Eldermoor Tower, runway 24", "runway 24"), "runway 24, G-QTWA"),
        (reply("N7TW, runway 9 left", "runway 9 left", rules="faa", sign="N07TW"), "runway 9 left, N7TW"),
        (reply("G-WA, QNH 998", "QNH 998"), "QNH 998 hectopascals, G-WA"),
        (CHECK, "Eldermoor Tower, G-QTWA, radio check 118.305"),
    ],
)
def test_the_right_answer_follows_from_the_items_where_none_is_written(one, answer):
    assert one.written == answer


def test_items_are_composed_with_the_callsign_in_its_place():
    assert CHECK.composed() == "Eldermoor Tower, G-QTWA, radio check 118.305"
    assert CHECK.composed(["Eldermoor Tower"]) == "Eldermoor Tower, G-QTWA"
    assert LANDING.composed(own="") == "runway 24, cleared to land"


@pytest.mark.parametrize(
    ("one", "places"),
    [
        (LANDING, {"last"}),
        (CHECK, {"first"}),
        (call("Holding, G-WA", "holding"), {"last"}),
        (call("Mayday, G-QTWA, engine failure", "mayday", "engine failure"), set()),
        (reply("N7TW, runway 33", "runway 33", rules="faa", sign="N07TW"), {"first", "last"}),
    ],
)
def test_the_callsign_is_last_in_a_reply_first_in_a_call_and_where_the_model_has_it(one, places):
    assert one.places == places


def test_who_begins_is_who_heard_nothing_and_does_not_answer():
    assert CHECK.begins
    assert not LANDING.begins
    assert not call("Holding, G-WA", "holding").begins


@pytest.mark.parametrize(
    ("said", "places"),
    [
        ("G-WA, runway 24, cleared to land", {"first"}),
        ("runway 24, cleared to land, G-WA", {"last"}),
        ("runway 24, G-WA, cleared to land", set()),
        ("G-WA", {"first", "last"}),
    ],
)
def test_a_callsign_stands_before_the_items_or_behind_them(said, places):
    heard = hear(said, LANDING.forms)
    assert placed(heard, match(heard, LANDING.items)) == places


def test_the_callsign_is_shortened_as_the_station_has_done_it():
    assert LANDING.own_in(LANDING.given) == {"gwa"}
    assert LANDING.composed(["runway 24"]) == "runway 24, G-WA"
    assert reply("G-QTWA, runway 24", "runway 24").composed() == "runway 24, G-QTWA"
