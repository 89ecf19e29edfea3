"""Radio held to the project's table of check strings, and to its worked exchanges.

Check strings: id, phraseology, item, what is written, what is said, and the source with how it was come by (`read` in
the document named, or from `memory`). Doc 9432 is ICAO's Manual of Radiotelephony (4th edition), CAP 413 the UK's
(edition 22), AIM the FAA's Aeronautical Information Manual; R25 is a paragraph of the fact sheet the table comes from.

Exchanges: invented examples in the project's own wording [memory], on rules read in the same documents: what the UK
reads back CAP 413 2.69, ICAO Doc 4444 4.5.7.5.1, the FAA AIM 4-3-18 and 4-4-7; the callsign CAP 413 2.48, Doc 9432
2.8.3.7, AIM 4-2-3.
"""

import pytest

from stickback.radio import aloud, callsign, examiner, proof, rules
from stickback.radio.exchange import Exchange

STRINGS = """
P01 | ICAO | altitude | 2500 feet | two thousand five hundred feet | Doc 9432 2.4.3 rule [read]
P02 | UK | altitude | 2500 feet | two thousand five hundred feet | CAP 413 Ed 22 Table 5 [read]
P03 | ICAO | altitude | 12000 | one two thousand | Doc 9432 2.4.3 [read]
P04 | ICAO | altitude | 3400 | three thousand four hundred | Doc 9432 2.4.3 [read]
P06 | ICAO | heading | 080 | heading zero eight zero | Doc 9432 2.4.2 [read]
P07 | UK | heading | 150 | one five zero degrees | CAP 413 Ed 22 Table 4 [read]
P08 | ICAO | wind | 200 degrees 25 knots | wind two zero zero degrees two five knots | Doc 9432 2.4.2 [read]
P10 | ICAO | QNH | 1010 | QNH one zero one zero | Doc 9432 2.4.2 [read]
P11 | ICAO | QNH | 1000 | QNH one thousand | Doc 9432 2.4.3 [read]
P13 | UK | QNH | 1000 | QNH one zero zero zero | CAP 413 Ed 22 2.13 rule [read]
P14 | ICAO | squawk | 7000 | squawk seven thousand | Doc 9432 2.4.3 [read]
P15 | ICAO | squawk | 4203 | squawk four two zero three | Doc 9432 2.4.2 [read]
P17 | ICAO | runway | 27 | runway two seven | Doc 9432 2.4.2 [read]
P18 | ICAO | frequency | 118.000 | one one eight decimal zero | Doc 9432 2.4.4 [read]
P19 | ICAO | frequency | 118.005 | one one eight decimal zero zero five | Doc 9432 2.4.4 [read]
P21 | ICAO | frequency | 118.100 | one one eight decimal one | Doc 9432 2.4.4 [read]
P22 | UK | frequency | 122.500 | one two two decimal five | CAP 413 Ed 22 Table 6 [read]
P24 | FAA | frequency | 122.1 | one two two point one | AIM ch 4 sec 2 [read]
P25 | ICAO | flight level | FL180 | flight level one eight zero | Doc 9432 2.4.2 [read]
P26 | ICAO | flight level | FL100 | flight level one hundred | Doc 9432 2.4.3 [read]
P27 | UK | flight level | FL100 | flight level one hundred | CAP 413 Ed 22 Table 4 [read]
P29 | FAA | altitude | 4500 | four thousand five hundred | AIM 4-2-8 [read]
P31 | FAA | speed | 250 knots | two five zero knots | AIM 4-2-11 [read]
P32 | FAA | wind direction | 220 | wind two two zero | AIM 4-2-10 [read]
P33 | FAA | altimeter | 30.10 | altimeter three zero one zero | R25 [memory]
P34 | ICAO | time | 0920 | two zero, or zero niner two zero | Doc 9432 2.5.1 [read]
P35 | ICAO | callsign short form | G-ABCD | G-CD | Doc 9432 2.7.2 [read]
P36 | UK | callsign short form | N31029 | N029 | CAP 413 Ed 22 Table 10 [read]
P37 | UK | readability | 3 | readable but with difficulty | CAP 413 Ed 22 Table 12 [read]
""".strip().splitlines()

# Id and phraseology; what the station says; what must be read back; a right answer.
EXCHANGES = """
X01 UK
G-QTWA, Eldermoor Tower, readability 5
none
G-QTWA

X02 UK
G-WA, taxi holding point A1 runway 24 via taxiway Bravo, QNH 1008
holding point A1; runway 24; via Bravo; QNH 1008
Taxi holding point A1 runway 24 via taxiway Bravo, QNH 1008, G-WA

X03 UK
G-WA, taxi holding point C2 runway 24, surface wind 270 12, QNH 998 hectopascals
holding point C2; runway 24; QNH 998 hectopascals
Taxi holding point C2 runway 24, QNH 998 hectopascals, G-WA

X04 UK
G-WA, taxi holding point D1, hold short of runway 15
holding point D1; hold short runway 15
Taxi holding point D1, hold short of runway 15, G-WA

X05 UK
G-WA, cross runway 15, report vacated
cross runway 15
Cross runway 15, wilco, G-WA

X06 UK
G-WA, hold position
hold position
Holding, G-WA

X08 UK
G-WA, behind the landing biplane, line up runway 24 behind
behind the landing biplane; line up; runway 24; behind
Behind the landing biplane, line up runway 24 behind, G-WA

X09 UK
G-WA, line up and wait runway 24, tractor crossing at the upwind end
line up and wait; runway 24
Line up and wait runway 24, G-WA

X11 UK
G-WA, runway 24 cleared for take-off, surface wind 260 10
runway 24; cleared for take-off
Runway 24 cleared for take-off, G-WA

X12 UK
G-WA, runway 24 cleared for immediate take-off
runway 24; cleared for immediate take-off
Runway 24 cleared for immediate take-off, G-WA

X13 UK
G-WA, hold position, cancel take-off, I say again cancel take-off, acknowledge
hold position
Holding, G-WA

X14 UK
G-WA, stop immediately, I say again, G-WA, stop immediately, acknowledge
stop
Stopping, G-WA

X16 UK
G-WA, squawk 4320
4320
Squawk 4320, G-WA

X17 UK
G-WA, climb to altitude 3000 feet, Eldermoor QNH 1012
altitude 3000 feet; QNH 1012
Climb to altitude 3000 feet, Eldermoor QNH 1012, G-WA

X19 UK
G-WA, Basic Service, report overhead the lake
Basic Service
Basic Service, wilco, G-WA

X21 UK
G-WA, report final, number 2 to the tug on base
none
Wilco, number 2, tug in sight, G-WA

X22 UK
G-WA, runway 24 cleared touch and go, surface wind 230 8
runway 24; cleared touch and go
Runway 24 cleared touch and go, G-WA

X23 UK
G-WA, continue approach, wind 230 9
none
Continue approach, G-WA

X24 UK
G-WA, runway 24 cleared to land, wind 300 15
runway 24; cleared to land
Runway 24 cleared to land, G-WA

X25 UK
G-WA, go around, I say again go around, acknowledge
go around
Going around, G-WA

X27 UK
G-WA, negative, QNH 1017
QNH 1017
QNH 1017, G-WA

X28 UK
G-WA, runway 15 available, line up and wait runway 15
none if refused
Unable runway 15 due crosswind, request runway 24, G-WA

X29 ICAO
G-WA, when airborne turn right, leave control zone via route Echo
right turn; route Echo
Right turn, via route Echo, G-WA

X31 FAA
November 7TW, Cobbler Ground, runway 33, taxi via Alpha, hold short of runway 27
runway 33; hold short runway 27
Runway 33 via Alpha, hold short of runway 27, November 7TW

X32 FAA
November 7TW, runway 33, line up and wait
runway 33; line up and wait
Runway 33, line up and wait, November 7TW

X33 FAA
November 7TW, wind 290 at 12, runway 33, cleared for takeoff
runway 33; cleared for takeoff
Runway 33, cleared for takeoff, November 7TW

X34 FAA
November 7TW, make left traffic, runway 33, number 2 following a high-wing on left base, cleared to land
runway 33; cleared to land
Left traffic, number 2, traffic in sight, cleared to land runway 33, November 7TW
""".strip().split("\n\n")


def cut(row):
    return [cell.strip() for cell in row.split("|")]


@pytest.mark.parametrize("row", STRINGS, ids=lambda row: row[:3])
def test_a_value_is_said_as_its_source_has_it(row):
    _, rules, item, written, said, _ = cut(row)
    if item == "callsign short form":
        assert callsign.short(written, rules.lower()) == said
        return
    accepted = said.lower().split(", or ")
    assert aloud.say(item, written, rules.lower()).lower() in accepted
    if len(accepted) > 1:
        assert aloud.say(f"full {item}", written, rules.lower()) == accepted[1]


SPOKEN = [row for row in STRINGS if cut(row)[2] not in {"callsign short form", "readability", "time"}]


@pytest.mark.parametrize("row", SPOKEN, ids=lambda row: row[:3])
def test_what_is_said_is_heard_as_what_is_written(row):
    _, _, item, written, said, _ = cut(row)
    words = rules.plain(written).removeprefix("flight level ").split()
    if item == "altimeter":
        words = ["3010"]  # said without its point: R25
    units = {"degrees", "knots", "feet"}
    heard = [word for word in rules.plain(said).split() if word not in units]
    assert heard[-len([word for word in words if word not in units]) :] == [word for word in words if word not in units]


def held(row):
    """The exchange of a row, and the right answer that the row gives."""
    head, station, items, answer = row.splitlines()
    style = head.split()[1]
    wanted = () if items.startswith("none") else tuple(each.strip() for each in items.split(";"))
    own = "N07TW" if style == "FAA" else "G-QTWA"
    unable = "refused" in items
    return Exchange(wanted=wanted, callsign=own, phraseology=style.lower(), heard=station, unable=unable), answer


@pytest.mark.parametrize("row", EXCHANGES, ids=lambda row: row[:3])
def test_the_worked_answer_is_right_written_and_spoken(row):
    one, answer = held(row)
    for said in (answer, aloud.aloud(answer, one.phraseology)):
        assert examiner.mark(one, said).right, (said, examiner.mark(one, said).remarks)


@pytest.mark.parametrize("row", EXCHANGES, ids=lambda row: row[:3])
def test_every_item_left_out_or_changed_makes_it_wrong(row):
    one, _ = held(row)
    assert [code for code, _, _ in proof.problems(one, marked=False) if code == "radio-fails"] == []


@pytest.mark.parametrize("row", [row for row in EXCHANGES if "\nnone" not in row], ids=lambda row: row[:3])
def test_roger_is_no_read_back(row):
    one, _ = held(row)
    verdict = examiner.mark(one, "Roger, G-WA" if one.callsign == "G-QTWA" else "Roger, N7TW")
    assert not verdict.right
    assert verdict.remarks[-1] == "'Roger' is no read-back."
    assert all(any(item in remark for remark in verdict.remarks) for item in one.wanted)


WRONG = {
    "X12": ("Runway 24 cleared for take-off, G-WA", "cleared for immediate take-off"),
    "X22": ("Runway 24 cleared to land, G-WA", "You claimed a clearance that was not given: cleared to land."),
    "X23": ("Cleared to land runway 24, G-WA", "You claimed a clearance that was not given: cleared to land."),
    "X09": (
        "Runway 24 cleared for take-off, G-WA",
        "You claimed a clearance that was not given: cleared for take-off.",
    ),
    "X27": ("QNH 1007, G-WA", "Wrong: QNH 1017 (you said 1007)."),
    "X03": ("Holding point C2, runway 24, QNH 998, G-WA", "below 1000 say hectopascals too"),
    "X29": ("Left turn, via route Echo, G-WA", "Wrong: right turn (you said Left turn)."),
    "X24": ("Runway 24 cleared to land, G-WB", "Wrong: callsign (you said G-WB)."),
}


@pytest.mark.parametrize(("name", "answer", "remark"), [(name, *each) for name, each in WRONG.items()])
def test_a_wrong_answer_says_what_is_wrong_with_it(name, answer, remark):
    one, _ = held(next(row for row in EXCHANGES if row.startswith(name)))
    verdict = examiner.mark(one, answer)
    assert not verdict.right
    assert any(remark in each for each in verdict.remarks), verdict.remarks


def told(station, said, heard="G-WA, runway 24, surface wind 230, 7", scene=""):
    one = Exchange(
        wanted=(),
        callsign="G-QTWA",
        phraseology="uk",
        station=station,
        heard=heard,
        model="Roger, G-WA",
        scene=scene,
    )
    return examiner.mark(one, said)


# CAP 413 edition 22, table 8 notes and 4.76 to 4.80, AIM 4-1-9: at these the pilot decides and says what he does.
@pytest.mark.parametrize("station", ["information", "radio", "unattended", "safetycom"])
@pytest.mark.parametrize("act", ["landing", "taking off", "lining up", "backtracking", "joining downwind"])
def test_where_nobody_clears_anybody_what_a_pilot_does_claims_nothing(station, act):
    assert told(station, f"Runway 24, {act}, G-WA").right
    assert not told(station, f"Runway 24, cleared for {act}, G-WA").right or act == "joining downwind"
    assert not told("tower", f"Runway 24, {act}, G-WA").right


def test_what_a_pilot_does_fits_where_the_aeroplane_is_and_what_holds_it():
    assert not told("radio", "Lining up, G-WA", scene="You have reported final").right
    assert not told("radio", "Landing, G-WA", scene="You are ready at holding point A1").right
    assert not told("information", "Lining up, G-WA", heard="G-WA, hold position").right


def test_information_directs_taxiing_and_radio_does_not():
    """Information gives instructions on the ground as far as the holding point: from memory of CAP 413."""
    assert not told("information", "Runway 24, taxiing, G-WA").right
    assert told("radio", "Runway 24, taxiing, G-WA").right
