"""Words of the phraseology in any order: none is right unless every item stands in it, by an oracle of its own."""

import random
from itertools import groupby, pairwise

import pytest

from stickback.radio import examiner
from stickback.radio.exchange import Exchange

SEQUENCES = 150  # of each exchange; thousands are tried by hand with `tried`
# The words of a whole airfield; what a phrase is, is written with `_`.
WORDS = """
runway 24 25 06 15 33 27 24_left left right turn heading 240 250 cleared to land take-off touch_and_go immediate for
line_up wait hold_short of hold_position holding_point A1 C2 via taxiway Bravo Echo QNH 1008 998 1018 hectopascals feet
altitude 3000 2500 climb descend maintain squawk 4320 7000 118.1 124.3 contact Eldermoor Tower Radar Basic Traffic
Service report final downwind base going_around holding stopping crossing cross vacate negative not cancel confirm
say_again standby unable correction request roger wilco and behind the landing biplane number 2 information Kilo
approved permission ready departure wind 230 8 thank_you moving
""".split()
FILLERS = {"to", "for", "of", "and", "the", "thank_you"}
DOUBT = {"negative", "cancel", "confirm", "say_again", "standby", "unable"}  # never in a read-back
SAME = {"landing": "land", "crossing": "cross", "holding": "hold_position"}
OWN = {"uk": "G-WA", "icao": "G-WA", "faa": "N07TW"}

EXCHANGES = [
    ("uk", "G-WA, runway 24, cleared to land", ["runway 24", "cleared land"]),
    ("uk", "G-WA, line_up and wait runway 24", ["line_up wait", "runway 24"]),
    ("icao", "G-WA, turn left heading 240", ["left turn", "heading 240"]),
    ("icao", "G-WA, taxi holding_point A1, runway 24, QNH 1008", ["holding_point A1", "runway 24", "QNH 1008"]),
    ("faa", "N07TW, runway 24, hold_short of runway 33", ["runway 24", "hold_short runway 33"]),
    ("uk", "G-WA, squawk 4320, Basic Service", ["squawk 4320", "Basic Service"]),
    ("uk", "G-WA, hold_position", ["hold_position"]),
    ("icao", "G-WA, climb to altitude 3000 feet, QNH 1008", ["altitude 3000", "QNH 1008"]),
]


def exchange(rules, heard, items):
    wanted = tuple(item.replace("_", " ") for item in items)
    return Exchange(
        wanted=wanted,
        callsign="N07TW" if rules == "faa" else "G-QTWA",
        phraseology=rules,
        heard=heard.replace("_", " "),
    )


def answer(rules, items, chance):
    """Words at random, the items among them more often than not, the callsign mostly at the end."""
    parts = [item.split() for item in items if chance.random() < 0.85]
    parts += [[chance.choice(WORDS)] for _ in range(chance.randrange(4))]
    chance.shuffle(parts)
    words = [word for part in parts for word in part]
    if chance.random() < 0.2 and words:
        words[chance.randrange(len(words))] = chance.choice(WORDS)
    return [*words, OWN[rules]] if chance.random() < 0.9 else words


def stands(item, words):
    """Whether the words of an item stand in a row."""
    wanted = item.split()
    rows = ([*words][at : at + len(wanted)] for at in range(len(words)))
    same = {("turn", "left"): ("left", "turn"), ("heading",): ("heading",)}
    return any(
        tuple(row) in {tuple(wanted), *(key for key, value in same.items() if value == tuple(wanted))} for row in rows
    )


def may_be_right(rules, items, words):
    """What must hold of any answer that is right."""
    told = [SAME.get(word, word) for word in words if word not in FILLERS]
    told = [word for word, _ in groupby(told)]  # a word said twice is that word
    if "correction" in told:
        return all(set(item.removeprefix("squawk ").split()) <= set(told) for item in items)
    doubt = [
        word for word, behind in pairwise([*told, ""]) if word in DOUBT and behind not in {"wind", "Traffic", "contact"}
    ]
    moves = "hold_position" in items and "moving" in told and "request" not in told
    if OWN[rules] not in told or doubt or moves:
        return False
    left_heading = ["left", "turn", "heading", "240"] if ["left", "heading", "240"] in _rows(told, 3) else []
    spare = {
        "squawk 4320": "4320",
        "hold_short runway 33": "hold_short 33",
        "runway 24": "24" if rules == "faa" else "runway 24",
    }
    return all(
        stands(item, told) or stands(item, left_heading) or stands(spare.get(item, item), told) or _swapped(item, told)
        for item in items
    )


def _swapped(item, told):
    swapped = {"heading 240": "240 heading", "holding_point A1": "A1 holding_point"}
    return item in swapped and stands(swapped[item], told)


def _rows(told, many):
    return [told[at : at + many] for at in range(len(told))]


def tried(sequences, begin=0):
    """How many were right, of so many."""
    right = 0
    for rules, heard, items in EXCHANGES:
        one = exchange(rules, heard, items)
        for seed in range(begin, begin + sequences):
            words = answer(rules, items, random.Random(f"{seed} {heard}"))
            said = " ".join(words).replace("_", " ")
            assert examiner.right(one, said) == examiner.mark(one, said).right, said
            if examiner.right(one, said):
                right += 1
                assert may_be_right(rules, items, words), said
    return right


def test_words_at_random_are_right_only_where_every_item_stands_in_them():
    assert tried(SEQUENCES) > SEQUENCES  # and many of them are right, so that the oracle has something to say


@pytest.mark.parametrize(("rules", "heard", "items"), EXCHANGES)
def test_the_oracle_takes_the_right_answer(rules, heard, items):
    words = [*" ".join(items).split(), OWN[rules]]
    assert may_be_right(rules, items, words)
    assert examiner.mark(exchange(rules, heard, items), " ".join(words).replace("_", " ")).right
