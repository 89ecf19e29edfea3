import pytest

from pictures import arrow, boxes, centre, crosses, outline, part, parts, read, said, segments
from stickback.pictures import figure
from stickback.pictures.circuit import AXIS, CALLS, DOWNWIND, legs
from stickback.trade import yaw

hands = pytest.mark.parametrize("hand", ["left", "right"])
phraseologies = pytest.mark.parametrize("phraseology", CALLS)


def words(hand, phraseology, strip="24L", show="answer"):
    return {"scene": "circuit", "hand": hand, "runway": strip, "phraseology": phraseology, "show": show}


def drawn(*given, **more):
    return read(figure.draw(words(*given, **more)))


def strip_of(root):
    """The middle of the runway, its far end and its near end."""
    x, y = zip(*outline(part(root, "runway")), strict=True)
    return sum(x) / 4, min(y), max(y)


def calls(root):
    return [(centre(each), said(each)) for each in parts(root, "call")]


@hands
@phraseologies
def test_the_circuit_lies_on_its_hand(hand, phraseology):
    root = drawn(hand, phraseology)
    x, _, _ = strip_of(root)
    downwind, _ = calls(root)[0]
    assert yaw.side(downwind[0] - x) == hand


@hands
@phraseologies
def test_one_hand_is_the_mirror_of_the_other(hand, phraseology):
    here = [at for at, _ in calls(drawn(hand, phraseology))]
    there = [at for at, _ in calls(drawn(yaw.opposite(hand), phraseology))]
    assert there == [(360 - x, y) for x, y in here]


@hands
def test_the_number_is_at_the_end_that_is_landed_on_and_the_wind_blows_towards_it(hand):
    root = drawn(hand, "uk")
    _, far, near = strip_of(root)
    (number,), (other,) = boxes(part(root, "number")), boxes(part(root, "other-end"))
    assert (number.text, other.text) == ("24L", "06R")
    assert near > number.top > other.bottom > far
    nose, tail = (outline(part(root, "aeroplane"))[each] for each in (0, 13))
    assert nose[1] < tail[1]
    start, tip = arrow(part(root, "wind"))
    assert (start[0], start[1] < tip[1]) == (tip[0], True)


@hands
@phraseologies
def test_the_calls_come_in_the_order_they_are_flown(hand, phraseology):
    root = drawn(hand, phraseology)
    x, _, near = strip_of(root)
    placed = dict(zip([each.said for each in CALLS[phraseology]], [at for at, _ in calls(root)], strict=True))
    base = next(at for name, at in placed.items() if name.startswith("base"))
    assert min(placed["downwind"][0], x) < base[0] < max(placed["downwind"][0], x)
    assert base[1] > placed["final"][1] > near
    assert placed["final"][0] == x
    assert placed.get("long final", (x, 999))[1] > base[1]


@hands
def test_the_uk_calls_stand_where_the_manual_puts_them(hand):
    root = drawn(hand, "uk")
    _, far, near = strip_of(root)
    (downwind, _), (late, _), *_ = calls(root)
    assert downwind[1] == far  # abeam the upwind end
    assert late[1] > near  # past the downwind end
    assert downwind[0] == late[0]


@hands
@phraseologies
def test_the_words_stand_beside_their_letter_once_the_answer_is_shown(hand, phraseology):
    for index, (call, (_, shown)) in enumerate(zip(CALLS[phraseology], calls(drawn(hand, phraseology)), strict=True)):
        assert shown[0] == "ABCDE"[index]
        assert " ".join(shown[1:]) == f"“{call.said}”".replace("\n", " ")
    for _, shown in calls(drawn(hand, phraseology, show="question")):
        assert len(shown) == 1


@hands
@phraseologies
def test_the_sentence_says_the_legs_the_places_and_the_words_only_as_an_answer(hand, phraseology):
    told = figure.sentence(words(hand, phraseology))
    asked = figure.sentence(words(hand, phraseology, show="question"))
    kind = f"{hand.capitalize()} traffic" if phraseology == "faa" else f"{hand.capitalize()}-hand circuit"
    assert told.startswith(f"{kind}, runway 24L, ")
    for leg in legs(phraseology):
        assert leg in asked
    for call in CALLS[phraseology]:
        words_said = call.said.replace("\n", " ")
        assert f"{call.where}: “{words_said}”" in told
        assert call.where in asked
    assert "“" not in asked


@hands
@phraseologies
def test_every_leg_is_named(hand, phraseology):
    assert [said(each)[0] for each in parts(drawn(hand, phraseology), "leg")] == list(legs(phraseology))


@hands
@phraseologies
def test_no_text_lies_on_a_line(hand, phraseology):
    root = drawn(hand, phraseology, strip="36")
    pieces = list(segments(root))
    for box in boxes(root, wide=0.55):
        assert not any(crosses(box, piece) for piece in pieces), box


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
