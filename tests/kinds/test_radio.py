import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts import part_of
from stickback.kinds.protocol import Draw
from stickback.kinds.radio import Radio
from stickback.kinds.shown import Point
from typed import heard

VALUES = {"callsign": "G-QTWA", "callsign_short": "G-WA", "name": "Brackle", "runway": "24", "point": "A1"}
LAND = "> {{ callsign_short }}, **runway {{ runway }}**, **cleared to land**, surface wind 230 8"
CALL = "Call final.\n\n### Answer\n\n> {{ callsign_short }}, **final**, **runway 24**"
SLIP = "> G-WA, ready for take-off\n\n### Answer\n\n> G-WA, **ready for departure**"
UNABLE = "> G-WA, **line up runway 15**\n\n### Answer\n\n> Line up runway 15, G-WA\n\nOr: unable."


def part(body, **settings):
    """The question; its body begins on line 3."""
    return part_of(f"## What do you say? {{#say}}\n\n{body}\n", **settings)


def read(body, **settings):
    made, _, problems = Radio.parse(part(body, **settings))
    assert problems == []
    return made


def faults(body, **settings):
    made, _, problems = Radio.parse(part(body, **settings))
    assert made is None
    return [f"{each.line}:{each.column} {each.code}" for each in problems]


def right(body, said, **values):
    return body.mark(0, said, {**VALUES, **values}).right


# reading


@pytest.mark.parametrize(
    ("body", "reads"),
    [
        (LAND, True),
        (CALL, True),
        ("> Nothing in bold", False),
        ("**Bold** without a quote", False),
        ("> **Bold**\n\n### Answer\n\n- A point", False),
        ("### Answer\n\nProse\n\n> G-WA, **final**", False),
        ("", False),
        ("### Answer", False),
    ],
)
def test_a_block_quote_with_what_must_be_said_is_read(body, reads):
    assert Radio.reads(part(body)) is reads


def test_what_stands_in_bold_in_the_transmission_must_be_read_back():
    made = read(LAND)
    assert made.heard == "{{ callsign_short }}, runway {{ runway }}, cleared to land, surface wind 230 8"
    assert made.wanted == ("runway {{ runway }}", "cleared to land")
    assert (made.model, made.marked, made.slip, made.unable) == ("", True, False, False)


def test_the_transmission_is_taken_out_of_the_prompt_and_what_stands_beside_it_stays():
    _, prompt, _ = Radio.parse(part(f"You are on final.\n\n{LAND}\n\nYou see the runway."))
    assert [block.text for block in prompt] == ["You are on final.", "You see the runway."]


def test_of_several_quotes_the_last_is_the_transmission():
    made, prompt, _ = Radio.parse(part(f"> An earlier one\n\n{LAND}"))
    assert (made.heard[:2], [block.kind for block in prompt]) == ("{{", ["quote"])


def test_a_quote_of_several_lines_is_one_transmission_and_each_paragraph_another():
    assert read("> G-WA,\n> **runway\n> 24**\n>\n> **QNH 1008**").heard == "G-WA, runway 24 — QNH 1008"


@pytest.mark.parametrize("bold", ["**QNH *1008***", "**QNH `1008`**", "__QNH 1008__", "**QNH [1008](a.md)**"])
def test_bold_may_hold_other_markup(bold):
    assert read(f"> G-WA, {bold}, report final").wanted == ("QNH 1008",)


def test_a_call_is_written_as_the_answer():
    made = read(CALL)
    assert (made.heard, made.model) == ("", "{{ callsign_short }}, final, runway 24")
    assert (made.wanted, made.marked) == (("final", "runway 24"), False)


def test_a_model_answer_may_stand_beside_a_transmission():
    made = read(f"{LAND}\n\n### Answer\n\n> Runway 24, cleared to land, G-WA")
    assert (made.wanted, made.marked) == (("runway {{ runway }}", "cleared to land"), True)
    bold = read("> G-WA, what is your height?\n\n### Answer\n\n> **Height 800 feet**, G-WA")
    assert (bold.wanted, bold.marked) == (("Height 800 feet",), False)


def test_a_transmission_that_asks_for_nothing_has_a_model_answer():
    made = read("> G-WA, report final\n\n### Answer\n\n> Wilco, G-WA")
    assert made.wanted == ()
    assert right(made, "Wilco, G-WA")


@pytest.mark.parametrize("line", ["Or: unable", "or: UNABLE.", "or:  unable"])
def test_a_refusal_is_allowed_in_a_line_of_its_own(line):
    assert read(UNABLE.replace("Or: unable.", line)).unable


def test_the_phraseology_and_the_station_are_settings():
    made = read(LAND, phraseology="faa", station="radio")
    assert (made.phraseology, made.station) == ("faa", "radio")
    assert (read(LAND).phraseology, read(LAND).station) == ("icao", "tower")
    assert (read(LAND, phraseology="x", station="x").station) == "tower"  # told elsewhere


# silence

OTHERS = "> G-WB, runway 24, cleared to land\n>\n> Runway 24, cleared to land, G-WB"
SILENCE = f"{OTHERS}\n\n### Answer\n\n> (nothing)"


@pytest.mark.parametrize("said", ["nothing", "Nothing.", "(nothing)", "silence", "no answer"])
def test_what_is_said_to_others_is_answered_with_nothing(said):
    made = read(SILENCE)
    assert right(made, made.understand(said, VALUES))
    assert made.describe() == "reply, nothing to be said, icao"


@pytest.mark.parametrize("said", ["Runway 24, cleared to land, G-WA", "Roger, G-WA", "G-WA", "for G-WA?"])
def test_an_answer_to_what_was_said_to_others_is_wrong(said):
    assert made_wrong(read(SILENCE), said) == ("That was said to somebody else: say nothing.",)


def test_to_ask_whether_it_was_for_oneself_is_no_failure():
    mark = read(SILENCE).mark(0, "Was that for G-WA?", VALUES)
    assert mark.right
    assert mark.remarks == (
        "That was said to somebody else. To ask does no harm where you are in doubt; else say nothing.",
    )


def made_wrong(made, said):
    mark = made.mark(0, said, VALUES)
    assert not mark.right
    return mark.remarks


def test_what_others_were_told_is_theirs_and_no_part_of_ones_own_answer():
    made = read(f"{OTHERS}\n>\n> G-WA, **continue approach**, number 2")
    assert right(made, "Continue approach, number 2, G-WA")
    assert not right(made, "Continue approach, number 2, runway 24, cleared to land, G-WA")
    assert not right(made, "nothing")


# problems


@pytest.mark.parametrize(
    ("body", "settings", "places"),
    [
        ("### Answer\n\n> G-WA, final", {}, ["5:1 radio-form"]),
        ("> **Runway 24**\n\n### Answer\n\n> Runway 24, G-WA\n\nOr so.", {}, ["9:1 answer-form"]),
        (LAND, {"slip": "yes"}, ["1:25 radio-form"]),
        (CALL, {"slip": "yes"}, ["1:25 radio-form"]),
        ("> " + ", ".join(f"**item {n}**" for n in range(21)), {}, ["3:1 radio-form"]),
        (f"> **runway 24**, {'very ' * 1000}windy", {}, ["3:1 radio-form"]),
        ("> G-WA\n\n### Answer\n\n> **final**" + " and on" * 1000, {}, ["7:1 radio-form"]),
    ],
)
def test_what_cannot_be_read_is_told_at_its_place(body, settings, places):
    assert faults(body, **settings) == places


def test_twenty_items_are_read():
    assert len(read("> " + ", ".join(f"**item {n}**" for n in range(20))).wanted) == 20


# asking


def test_the_transmission_is_shown_for_as_long_as_it_takes_to_say():
    shown = read(LAND).show(0, VALUES)
    assert (shown.manner, shown.heard) == ("line", (read(LAND).heard,))
    assert shown.seconds == pytest.approx(17 * 0.6)  # golf whiskey alfa runway two four cleared to land surface …
    longer = read(LAND).show(0, {**VALUES, "callsign_short": "G-QTWA"})
    assert longer.seconds == pytest.approx(19 * 0.6)


def test_a_call_and_a_slip_show_no_transmission():
    for body in (read(CALL), read(SLIP, slip="yes")):
        shown = body.show(0, VALUES)
        assert (shown.manner, shown.heard, shown.seconds) == ("line", (), 0.0)


def test_a_slip_stays_in_the_prompt():
    _, prompt, _ = Radio.parse(part(SLIP, slip="yes"))
    assert [block.kind for block in prompt] == ["quote"]


@pytest.mark.parametrize(
    ("body", "settings", "words"),
    [
        (LAND, {}, "reply, 2 items and the callsign, icao"),
        (CALL, {"phraseology": "uk"}, "call, 2 items and the callsign, uk"),
        (CALL, {"station": "information"}, "call, 2 items and the callsign, icao, information"),
        (SLIP, {"slip": "yes"}, "slip, 1 item and the callsign, icao"),
        ("> G-QTWA, continue approach\n\n### Answer\n\n> G-QTWA", {}, "reply, the callsign alone, icao"),
        (UNABLE, {}, "reply, 1 item and the callsign, icao, or unable"),
    ],
)
def test_a_question_is_described_as_it_was_read(body, settings, words):
    assert read(body, **settings).describe() == words


def test_nobody_guesses_it():
    assert read(LAND).chance() == 0


# answering


@pytest.mark.parametrize(
    "said", ["", "  ", "...", ",,,,", "\u202e\u200f", "\x00", "say again", "Say again: ", "say again:,"]
)
def test_where_nothing_is_said_there_is_no_answer(said):
    assert heard(read(LAND), said) is None


def test_an_answer_is_stored_in_one_line_of_what_can_be_seen():
    assert heard(read(LAND), " runway\t24\u202e,\n G-WA \x00") == "runway 24, G-WA"
    assert len(heard(read(LAND), "a" * 10_000)) == 2000


@given(st.text() | st.text(alphabet="say again:, runway24"))
def test_an_answer_understood_is_understood_as_itself(said):
    once = heard(read(LAND), said)
    assert once is None or heard(read(LAND), once) == once


@pytest.mark.parametrize("before", ["", "say again: ", "Say again:", "say again: say again: "])
def test_that_the_transmission_was_asked_for_again_is_no_part_of_the_answer(before):
    said = heard(read(LAND), f"{before}Runway 24, cleared to land, G-WA")
    assert said.startswith(before.strip())
    assert right(read(LAND), said)
    assert not right(read(LAND), f"{before}runway 25, cleared to land, G-WA")


def test_say_again_is_no_answer_to_a_transmission():
    assert not right(read(LAND), "say again, G-WA")


# marking


def test_values_are_filled_in_before_it_is_marked():
    assert right(read(LAND), "runway 06, cleared to land, G-WA", runway="06")
    assert not right(read(LAND), "runway 24, cleared to land, G-WA", runway="06")
    assert right(read(LAND), "runway 24, cleared to land, G-TB", callsign="G-QTWB", callsign_short="G-WB") is False


def test_the_type_may_be_named_where_the_phraseology_has_it():
    values = {"callsign": "N07TW", "callsign_short": "N7TW"}
    assert right(read(LAND, phraseology="faa"), "runway 24, cleared to land, Brackle 7TW", **values)
    assert not right(read(LAND, phraseology="uk"), "runway 24, cleared to land, Brackle 7TW", **values)


def test_the_mark_has_a_share_and_a_sentence_for_each_item():
    mark = read(LAND).mark(0, "runway 25, G-WA", VALUES)
    assert (mark.right, mark.score) == (False, pytest.approx(1 / 3))
    assert mark.remarks == ("Wrong: runway 24 (you said 25).", "Missing: cleared to land.")


def test_a_slip_is_put_right():
    body = read(SLIP, slip="yes", phraseology="uk")
    assert right(body, "G-WA, ready for departure")
    assert not right(body, "G-WA, ready for take-off")
    assert not right(body, "G-WA, ready for departure, ready for take-off")


def test_a_refusal_is_right_where_it_is_allowed():
    assert right(read(UNABLE), "unable runway 15, G-WA")
    assert not right(read(LAND), "unable, G-WA")


@pytest.mark.parametrize(
    ("body", "settings", "answer"),
    [
        (LAND, {}, "runway 24, cleared to land, G-WA"),
        (CALL, {}, "G-WA, final, runway 24"),
        (SLIP, {"slip": "yes"}, "G-WA, ready for departure"),
    ],
)
def test_the_right_answer_is_shown_and_marked_right(body, settings, answer):
    made = read(body, **settings)
    assert made.answer(0, VALUES) == (Point(text=answer),)
    assert right(made, answer)


def test_all_its_texts_are_looked_through_for_values():
    assert read(LAND).texts() == (read(LAND).heard, "runway {{ runway }}", "cleared to land", "")


def test_what_an_answer_looks_like_is_said():
    assert "say" in read(LAND).show(1, {}).expects


@given(st.text())
def test_any_answer_is_marked(said):
    for body in (read(LAND), read(CALL), read(UNABLE), read(SLIP, slip="yes")):
        assert 0 <= body.mark(0, said, VALUES).score <= 1


def test_what_was_said_is_quoted_without_the_request_to_say_it_again():
    told = read(LAND).compare(0, "say again: roger", {"callsign": "G-QTWA"})
    assert (told.said, told.example) == ("“roger”", True)


REFUSED = "`or: unable` is not read here."


@pytest.mark.parametrize(
    ("body", "line", "hint"),
    [
        (f"{LAND}\n\nor: unable", 5, "put it under `### Answer`, below the call"),
        (f"{LAND}\n\nor: unabel", 5, "put it under `### Answer`, below the call"),
        (f"{LAND}\n\n**Or:** unable.", 5, "put it under `### Answer`, below the call"),
        (f"{LAND}\nor: unable", 4, "put it under `### Answer`, below the call"),
        (f"{CALL}\n\n### Why\n\nor: unable", 11, "put it under `### Answer`, below the call"),
        (f"{CALL}\nor: unable", 8, "put an empty line above it"),
    ],
)
def test_a_refusal_that_stands_where_it_is_not_read_is_told_where_to_stand(body, line, hint):
    _, _, (problem,) = Radio.parse(part(body))
    assert (problem.line, problem.message, problem.hint) == (line, REFUSED, hint)


@pytest.mark.parametrize("line", ["or: unabel", "or unable", "Or - unable"])
def test_a_refusal_that_is_misspelt_under_the_call_is_told_how_it_is_written(line):
    _, _, (problem,) = Radio.parse(part(UNABLE.replace("Or: unable.", line)))
    assert (problem.line, problem.hint) == (9, "did you mean `or: unable`?")


def test_bold_in_a_quote_before_the_last_is_told_to_be_listened_for_by_nobody():
    _, _, (problem,) = Radio.parse(part(f"> G-WA, **line up**\n\n{LAND}"))
    assert (problem.line, problem.code) == (3, "radio-form")
    assert problem.message == "Only the last block quote is the transmission: nothing is listened for in this one."


def test_what_was_said_to_the_pilot_before_the_bad_call_is_part_of_the_scene():
    made = read(f"> G-WA, hold short of runway 27\n\n{SLIP}", slip="yes")
    assert (made.heard, made.scene) == (
        "G-WA, ready for take-off",
        "What do you say? {#say}. G-WA, hold short of runway 27",
    )


def test_a_bad_call_that_is_marked_right_is_told_to_say_all_that_is_asked_for():
    made = read(SLIP.replace("take-off", "departure"), slip="yes")
    fault = next(made.prove(Draw(0, VALUES, "", thorough=True)))
    assert fault.message == "The bad call 'G-WA, ready for departure' is marked right: it says all that is asked for."
    assert fault.hint == "change the bad call, or what stands in bold under `### Answer`"
