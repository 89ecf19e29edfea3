"""Every radio question that ships, answered in many ways that are right and in each way that is wrong."""

import random
import re

import pytest

from stickback.course import asking
from stickback.course.course import applies
from stickback.kinds.protocol import Draw
from stickback.kinds.radio import Radio
from stickback.radio import aloud, callsign, examiner, exchange, grammar
from stickback.services import folder

RESPELLINGS, WRONG_DRAWS = 10, 3
MANY_RESPELLINGS = 100  # of a campaign
COURTESIES = ("good morning", "thank you", "er", "good day", "wind 270 degrees 12 knots", "surface wind 180 8")
SWAPPED = {"left": "right", "right": "left", "L": "R", "R": "L"}

COURSE = folder.load(folder.shipped())
QUESTIONS = [question for question in COURSE.questions.values() if question.kind == Radio.NAME]
MET = [
    pytest.param(question, sheet, id=f"{question.id} {sheet.id}")
    for question in QUESTIONS
    for sheet in COURSE.sheets.values()
    if applies(question, {**sheet.values, **question.only})
]
ASKED = [met for met in MET if not met.values[0].body.exchange({}).silent]
FOR_OTHERS = [met for met in MET if met not in ASKED]


def drawn(question, sheet, seed):
    return question.body.exchange(asking.values(question, seed, sheet))


def respelt(text, rules, chance):
    """A text with each run of words written or spoken, in any case."""
    spoken = chance.random()
    if spoken < 0.4:
        text = aloud.aloud(text, rules)
    elif spoken < 0.6:  # the figures said, the letters written
        text = re.sub(r"\d+(?:\.\d+)?", lambda each: f" {aloud.aloud(each[0], rules)} ", text)
    return text.upper() if chance.random() < 0.2 else text.lower() if chance.random() < 0.2 else text


def answered(one, chance):
    """A right answer: items in any order, the callsign in its place, courtesies and winds between."""
    said = [respelt(text, one.phraseology, chance) for text in one.said]
    ends = [text for text, item in zip(said, one.items, strict=True) if item.words == (one.closing,)]
    said = [text for text in said if text not in ends]
    calls = [text for text in said if text.lower().split()[-1] in grammar.SUFFIXES]
    rest = [text for text in said if text not in calls]
    chance.shuffle(rest)
    for _ in range(chance.randrange(3)):
        rest.insert(chance.randrange(len(rest) + 1), chance.choice(COURTESIES))
    short = callsign.short(one.callsign, one.phraseology) if one.heard or not one.own_in(one.opening) & one.full else ""
    own = respelt(chance.choice((one.callsign, short or one.callsign)), one.phraseology, chance)
    if one.places == {"last"}:
        parts = [*calls, *rest, own]
    elif one.places == {"first"}:
        parts = [*calls, own, *rest]
    else:
        parts = [*calls, *rest, *ends, own] if chance.random() < 0.5 else [*calls, own, *rest, *ends]
    return ", ".join(parts)


def spelt_rightly(question, sheet, many):
    """Holds right answers spelt in so many ways."""
    chance = random.Random(question.id)
    for seed in range(many):
        one = drawn(question, sheet, seed)
        said = answered(one, chance)
        verdict = examiner.mark(one, said)
        assert verdict.right, (said, one.written, verdict.remarks)


@pytest.mark.parametrize(("question", "sheet"), ASKED)
def test_a_right_answer_is_right_however_it_is_spelt(question, sheet):
    spelt_rightly(question, sheet, RESPELLINGS)


@pytest.mark.campaign
@pytest.mark.parametrize(("question", "sheet"), ASKED)
def test_a_right_answer_is_right_in_a_hundred_spellings(question, sheet):
    spelt_rightly(question, sheet, MANY_RESPELLINGS)


@pytest.mark.parametrize(("question", "sheet"), ASKED)
def test_the_answer_shown_is_right_written_and_spoken(question, sheet):
    for seed in range(RESPELLINGS):
        one = drawn(question, sheet, seed)
        for said in (one.written, aloud.aloud(one.written, one.phraseology)):
            assert examiner.mark(one, said).right, (said, examiner.mark(one, said).remarks)


def wrong(one):
    """Every answer that lacks an item, changes a figure or a side: (answer, the item)."""
    for place, text in enumerate(one.said):
        rest = [list(one.said[:place]), list(one.said[place + 1 :])]
        item = one.wanted[place]
        yield one.composed([*rest[0], *rest[1]]), item
        for at, char in enumerate(text):
            if char.isdigit():
                other = f"{text[:at]}{(int(char) + 1) % 10}{text[at + 1 :]}"
                yield one.composed([*rest[0], other, *rest[1]]), item
        other = re.sub(r"left|right|(?<=\d)[LR]", lambda side: SWAPPED[side[0]], text)
        if other != text:
            yield one.composed([*rest[0], other, *rest[1]]), item


@pytest.mark.parametrize(("question", "sheet"), ASKED)
def test_whatever_is_left_out_or_changed_is_named(question, sheet):
    for seed in range(WRONG_DRAWS):
        one = drawn(question, sheet, seed)
        for said, item in wrong(one):
            verdict = examiner.mark(one, said)
            assert not verdict.right, said
            assert any(remark.startswith((f"Missing: {item}", f"Wrong: {item}")) for remark in verdict.remarks), (
                said,
                item,
                verdict.remarks,
            )
        verdict = examiner.mark(one, one.composed(own=""))
        assert not verdict.right
        assert "Missing: callsign." in verdict.remarks


@pytest.mark.parametrize(("question", "sheet"), ASKED)
def test_the_transmission_holds_the_callsign_of_the_aeroplane(question, sheet):
    one = drawn(question, sheet, 0)
    assert not one.heard or one.hear(one.heard).callsigns


@pytest.mark.parametrize(("question", "sheet"), FOR_OTHERS)
def test_what_is_said_to_others_is_left_to_them(question, sheet):
    for seed in range(WRONG_DRAWS):
        one = drawn(question, sheet, seed)
        others = one.heard.split(exchange.BREAK)[0].split(", ", 1)[1]
        assert not one.opening.callsigns
        assert examiner.mark(one, one.written).right
        for said in (f"{others}, {one.callsign}", f"Roger, {one.callsign}", one.callsign, "wilco"):
            assert not examiner.mark(one, said).right


def test_six_flights_are_flown_on_busy_frequencies_two_under_each_phraseology():
    after = {question.then: question for question in QUESTIONS if question.then}
    first = [question for question in QUESTIONS if question.then and question.id not in after]
    flights = []
    for question in first:
        calls = [question]
        while calls[-1].then:
            calls.append(COURSE.questions[calls[-1].then])
        flights.append(calls)
    silent = [any(call.body.exchange({}).silent for call in calls) for calls in flights]
    assert all(silent)
    assert min(map(len, flights)) >= 5
    assert sorted(calls[0].body.phraseology for calls in flights) == ["faa", "faa", "icao", "icao", "uk", "uk"]
    assert sum("negative" in call.body.heard for calls in flights for call in calls) >= 3


def test_the_course_has_radio_for_each_phraseology_and_much_without_a_tower():
    spoken = {question.body.phraseology for question in QUESTIONS}
    elsewhere = {question.body.station for question in QUESTIONS} - {"tower"}
    assert len(QUESTIONS) >= 90
    assert spoken == {"uk", "faa", "icao"}
    assert elsewhere == {"information", "radio", "unattended", "safetycom", "unicom"}
    assert sum(question.body.station != "tower" for question in QUESTIONS) >= 20
    assert sum(question.body.slip for question in QUESTIONS) >= 6
    nothing = Draw(0, {}, "", thorough=True)
    assert not [each for question in QUESTIONS for each in question.body.prove(nothing) if not question.only]
