import json
import re
from types import SimpleNamespace

import pytest

import worlds
from stickback.cli.terminal import lines
from typed import in_letters


@pytest.fixture
def sit(place, courses):
    """Types lines in a review of one question; gives what was shown and the entries there are after it."""

    def type_(name, *typed, end="\n"):
        options = ("review", "--topic", "feet", "--questions", 1, "--seed", 1)
        shown = place.does(*options, typed="\n".join(typed) + end, course=courses[name])
        logged = [json.loads(line) for line in place("log", "export").stdout.splitlines()]
        kept = ("question", "seed", "given")
        return shown, [
            {**line, "given": in_letters(courses[name], *(line[key] for key in kept))}
            if line["what"] == "answer"
            else line
            for line in logged
        ]

    return type_


def told(entries, *keys):
    (entry,) = entries
    return tuple(entry[key] for key in keys)


def test_a_question_is_shown_in_plain_lines_with_what_to_type(sit):
    shown, _ = sit("steer", "stop")
    assert shown.splitlines() == [
        "the last one · Lesson 1 · What the feet do",
        "Which of these steer?",
        "on the ground | in the air",
        "pedals | pedals",
        *shown.splitlines()[4:8],
        "Type letters from a to d, such as `a d`, then how sure you are: guess, think or sure.",
        "`stop` leaves; `?` says what else can be typed.",
        "Left here: every answer so far is kept, and `stickback review` goes on from this point.",
    ]
    assert {line[3:] for line in shown.splitlines()[4:8]} == {"The rudder", "The brakes", "The flaps", "The trim"}
    assert [line[:3] for line in shown.splitlines()[4:8]] == ["a) ", "b) ", "c) ", "d) "]


@pytest.mark.parametrize(
    ("typed", "confidence"),
    [
        (("b sure",), "sure"),
        (("b", "sure"), "sure"),
        (("B SURE",), "sure"),
        (("  b   think so ",), "think"),
        (("b", "think so"), "think"),
        (("a", "b", "Guess"), "guess"),
        (("b g",), "guess"),
        (("b t",), "think"),
        (("a", "b sure"), "sure"),
        (("", "b", "", "sure"), "sure"),
    ],
    ids=lambda value: "/".join(value) if isinstance(value, tuple) else value,
)
def test_an_answer_and_how_sure_it_is_stand_on_one_line_or_two(sit, typed, confidence):
    _, entries = sit("approach", *typed)
    assert told(entries, "given", "confidence") == ("b", confidence)


def test_lines_that_are_no_answer_are_explained_and_asked_again(sit):
    typed = ("z sure", "sure", "ab sure", "b maybe", "1", "so", "hello", "b b c think", "")
    shown, entries = sit("approach", *typed, "c think")
    again = re.findall(r"Not understood: (.+?); type one letter from a to c, then how sure you are", shown)
    assert len(again) == len(typed)
    assert {"there is no option z", "one option is asked for, and there are more", "'maybe' means nothing here"} < set(
        again
    )
    assert told(entries, "given", "confidence") == ("c", "think")


def test_a_letter_alone_is_asked_how_sure_it_is(sit):
    shown, entries = sit("approach", "a")
    assert "Now how sure you are: guess, think or sure." in shown
    assert entries == []


@pytest.mark.parametrize("typed", ["a c sure", "ca sure", "c, a sure", "A;C s"])
def test_several_letters_are_taken_in_any_order_and_form(sit, typed):
    _, entries = sit("steer", typed)
    assert told(entries, "given", "confidence") == ("a c", "sure")


@pytest.mark.parametrize(
    ("said", "given", "right"),
    [("all", "1 2 3", True), ("1 3", "1 3", False), ("none", "none", False), ("3,1,2", "1 2 3", True),
     ("1 2 3 4", "1 2 3 4", False)],
)  # fmt: skip
def test_an_explanation_is_how_sure_one_is_and_then_what_was_said(sit, said, given, right):
    shown, entries = sit("pushes", "think so", said)
    assert told(entries, "given", "confidence", "right", "marked_by") == (given, "think", right, "self")
    assert re.findall(r"^\d\) .*", shown, re.MULTILINE) == [
        "1) Push early (a must)",
        "2) Push briefly",
        "3) Ease off (a must)",
        "4) Hold the push (fails the answer if said)",
    ]


def test_the_points_are_hidden_until_it_is_said_how_sure_one_is(sit):
    shown, entries = sit("pushes", "1 3", "all", "sure 1")
    assert "Push early" not in shown
    assert shown.count("Not understood; type how sure you are: guess, think or sure.") == 3
    assert entries == []


def test_points_that_are_not_there_are_explained_and_asked_again(sit):
    typed = ("5", "anything", "", "1 x", "0", "-8")
    shown, entries = sit("pushes", "sure", *typed, "1 2")
    again = re.findall(r"Not understood: (.+?); type the numbers of what you said, 1 to 4", shown)
    assert again == ["there is no point 5", "'anything' means nothing here", "no number was typed",
                     "'x' means nothing here", "there is no point 0", "there is no point 8"]  # fmt: skip
    assert told(entries, "given") == ("1 2",)


@pytest.mark.parametrize(
    "typed", [("stop",), ("q",), ("a", "stop", "b sure"), ("hint", " Stop ", "b sure"), (), ("a",)], ids="/".join
)
def test_stop_and_the_end_of_the_input_leave_without_an_answer(sit, typed):
    shown, entries = sit("approach", *typed, end="")
    assert shown.endswith("`stickback review` goes on from this point.\n")
    assert "0 answers" not in shown
    assert entries == []


@pytest.mark.parametrize("typed", [("sure",), ("sure", "stop")], ids="/".join)
def test_leaving_before_the_points_are_told_stores_nothing(sit, typed):
    assert sit("pushes", *typed)[1] == []


def test_answers_before_stop_are_kept(place):
    shown = place.does("review", "--topic", "eyes", typed="a sure\nb think\nstop\nc sure\n")
    assert len(place.stored()) == 2
    assert shown.endswith("goes on from this point.\n")


@pytest.mark.parametrize("name", ["approach", "steer", "pushes"])
@pytest.mark.parametrize("typed", ["don't know", "DONT KNOW", "I don't know"])
def test_not_to_know_is_an_answer_to_any_kind(sit, name, typed):
    shown, entries = sit(name, typed)
    assert told(entries, "given", "confidence", "right", "marked_by") == ("don't know", "guess", False, "program")
    assert "✗ Not right." in shown
    assert "You said" not in shown


def test_a_question_passed_over_says_nothing_of_what_is_known(place):
    shown = place.does("review", "--topic", "eyes", "--seed", 1, typed="pass\na sure\nstop\n")
    assert "Passed over for today." in shown
    first, second = re.findall(r"Where do you look at bend \d\?", shown)[:2]
    assert first != second
    assert len(place.stored()) == 1


def test_a_question_can_be_flagged_with_a_note_and_still_be_answered(sit):
    shown, entries = sit("approach", "flag The speed is an old one.", "b sure")
    assert "Flagged: the instructor sees it beside the question." in shown
    flagged = next(entry for entry in entries if entry["what"] == "flag")
    assert (flagged["question"], flagged["given"]) == ("small/approach", "The speed is an old one.")
    assert [entry["given"] for entry in entries if entry["what"] == "answer"] == ["b"]


def test_a_flag_without_a_note_says_how_it_is_written(sit):
    shown, entries = sit("approach", "flag", "flag  ?", "b sure")
    assert shown.count("Not flagged. Type `flag` and what is wrong with the question, on one line.") == 2
    assert [entry["what"] for entry in entries] == ["answer"]


OTHERS = """---
topic: feet
---

## Others speak first {#rt phraseology=uk}

> G-WB, hold position.
>
> {{ callsign_short }}, **runway 24**.
"""


def test_transmissions_stand_on_lines_of_their_own_and_are_said_again(place, tmp_path):
    course = worlds.write(tmp_path / "one", {**worlds.COURSE, "feet.md": OTHERS})
    typed = "say again\nrunway 24, g-wd sure\n"
    shown = place.does("review", "--topic", "feet", "--questions", 1, typed=typed, course=course)
    assert shown.count("> G-WB, hold position.\n> G-WD, runway 24.\n") == 2
    assert place.raw("SELECT given FROM entries") == [("say again: runway 24, g-wd",)]
    assert "✓ Right." in shown


def test_ctrl_c_leaves_as_stop_does(monkeypatch):
    def interrupted():
        raise KeyboardInterrupt

    monkeypatch.setattr(lines.sys, "stdin", SimpleNamespace(readline=interrupted, isatty=lambda: False))
    with pytest.raises(lines.Left):
        lines._read()


def test_what_else_can_be_typed_is_said_on_request(sit):
    shown, entries = sit("approach", "?", "keys")
    assert shown.count("You can also type: `don't know`; `hint`; `pass`") == 2
    assert entries == []


def test_all_of_why_and_its_sources_can_be_asked_for_at_the_next_question(place):
    typed = ("why", "hint", *("a sure", "why") * 12)
    shown = place.does("review", "--lesson", "ground", "--seed", 1, typed="\n".join(typed))
    assert "Nothing was answered yet." in shown
    assert re.search(r"Source: A book on the subject, chapter 2\.", shown)


def test_the_last_lines_say_what_was_gained_what_returns_and_what_to_read(place):
    shown = place.does("review", "--topic", "eyes", "--questions", 3, "--seed", 1, typed="a sure\nb sure\nc sure\n")
    right = shown.count("✓ Right.")
    assert f"That is the number you asked for. 3 answers today, {right} right." in shown
    assert (f"{right} question" in shown) == (right > 0)
    assert re.search(r"^Coming back: (\d (tomorrow|within a week|later)(, |\.$))+", shown, re.MULTILINE)
    assert shown.endswith("Worth reading again: Where to look: stickback lesson eyes\n")


def test_a_hint_is_shown_and_counts(sit):
    shown, entries = sit("approach", "hint", "a sure")
    assert "Hint: Read the sheet." in shown
    assert told(entries, "hinted", "confidence") == (True, "sure")


def test_without_a_hint_there_is_none_and_it_counts_for_nothing(sit):
    shown, entries = sit("steer", "hint", "a b think")
    assert "This question has no hint." in shown
    assert told(entries, "hinted") == (False,)


def right_letter(shown):
    return re.search(r"^([a-c])\) 50 kt$", shown, re.MULTILINE)[1]


def test_after_a_right_answer_the_first_sentence_of_why_is_enough(sit):
    letter = right_letter(sit("approach", "stop")[0])
    shown, entries = sit("approach", f"{letter} sure")
    assert told(entries, "right", "score") == (True, 1.0)
    assert shown.splitlines()[7:13] == [
        "✓ Right.",
        f"{letter}  50 kt",
        "The sheet says so.",
        shown.splitlines()[10],
        "",
        "That is the number you asked for. 1 answer today, 1 right.",
    ]
    assert re.fullmatch(r"It comes back (tomorrow|in about \d+ days)\.", shown.splitlines()[10])


def test_after_a_wrong_answer_why_is_shown_with_the_section_to_read(sit):
    letter = right_letter(sit("approach", "stop")[0])
    wrong = "b" if letter == "a" else "a"
    shown, entries = sit("approach", f"{wrong} sure")
    assert told(entries, "right") == (False,)
    assert shown.splitlines()[7:12] == [
        "✗ Not right.",
        f"You said {wrong}. Right is:",
        f"{letter}  50 kt",
        "The sheet says so. Nothing else does.",
        "Read again: stickback lesson feet",
    ]
    assert shown.splitlines()[12] == "It comes back tomorrow."  # a sitting of one question repeats nothing


def test_the_values_are_those_of_the_students_aeroplane(place):
    place.does("student", "set", "me", "--aircraft", "dunmere")
    shown = place.does("review", "--topic", "swing", typed="sure\nall\n" * 2 + "a sure\n" + "sure\nall\n" * 9)
    assert re.search(r"Which way does it swing\?\na\) To the (left|right)\n", shown)
    assert "{{" not in shown


def test_no_byte_of_the_input_ends_the_run(place):
    noise = bytes(range(256)) * 3 + b"\n\x1b[A\n\xff\xfe\n" + b"a" * 100_000 + b"\nstop\n"
    result = place("review", "--topic", "eyes", typed=noise)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.count("Not understood") > 3
    assert place.stored() == []


@pytest.mark.parametrize(
    ("text", "split"),
    [
        ("b sure", ("b", "sure")),
        ("a c think so", ("a c", "think")),
        ("G-QTWA, runway 24 THINK SO", ("G-QTWA, runway 24", "think")),
        ("so", ("so", None)),
        ("b so", ("b so", None)),
        ("g", ("", "guess")),
        ("", ("", None)),
        ("sure b", ("sure b", None)),
        ("b surely", ("b surely", None)),
    ],
)
def test_the_confidence_is_the_last_word_of_a_line(text, split):
    assert lines.split_confidence(text) == split
