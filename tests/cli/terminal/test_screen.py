import os
import re
import select
import subprocess
import sys
from pathlib import Path

import pytest

import worlds
from stickback.cli.terminal import screen
from typed import in_letters


@pytest.fixture
def sit(session, place, courses, monkeypatch, capsys):
    """Presses keys in a review of one topic, or of one question; each string arrives as one burst.

    Gives what was shown, and the entries after it.
    """

    def press(*typed, only=None, topic="eyes", **wish):
        wish |= {"topic": "feet" if only else topic, "seed": 1}
        course = courses[only] if only else place.course
        begun = session(course, **wish)
        bursts = iter(typed)
        monkeypatch.setattr("click.getchar", lambda: next(bursts, "\x04"))
        screen.sit(begun, place.course)
        found = place.raw("SELECT question, seed, given, what, confidence, hinted, marked_by FROM entries ORDER BY id")
        rows = [(row[3], in_letters(course, *row[:3]) if row[3] == "answer" else row[2], *row[4:]) for row in found]
        return capsys.readouterr().out, rows

    return press


def test_a_letter_and_how_sure_one_is_submit(sit):
    shown, rows = sit("a", "s")
    assert rows == [("answer", "a", "sure", 0, "program")]
    assert "Right." in shown or "Not right." in shown


@pytest.mark.parametrize(("key", "confidence"), [("g", "guess"), ("t", "think"), ("S", "sure")])
def test_each_of_three_keys_says_how_sure_one_is(sit, key, confidence):
    assert [row[2] for row in sit("B", key)[1]] == [confidence]


def test_a_burst_of_typing_is_taken_key_by_key(sit):
    _, rows = sit("bs", " ", "bt", " ", "ag")
    assert [row[1:3] for row in rows] == [("b", "sure"), ("b", "think"), ("a", "guess")]


def test_what_was_typed_before_a_question_was_shown_answers_nothing(sit):
    shown, rows = sit("bs bt ", " at")
    assert [row[1:3] for row in rows] == [("b", "sure")]
    assert shown.count("Where do you look") == 2


def test_what_is_pasted_answers_nothing(sit):
    shown, rows = sit("\x1b[200~b\ns\n\x1b[201~")
    assert rows == []
    assert "what is pasted answers nothing here" in shown


def test_what_is_pasted_into_a_line_is_one_answer(asked):
    _, given = asked(RADIO, "\x1b[200~runway 24\nQNH 1008, G-WD\x1b[201~", "\r", "s")
    assert given == ["runway 24 QNH 1008, G-WD"]


@pytest.mark.parametrize("only", ["approach", "steer", "pushes"])
def test_one_key_says_that_one_does_not_know(sit, only):
    shown, rows = sit("\t", only=only)
    assert rows == [("answer", "don't know", "guess", 0, "program")]
    assert "✗ Not right." in shown
    assert "You said" not in shown


@pytest.mark.parametrize("question", ["STICK", "RADIO", "SEQUENCE"])
def test_the_same_key_says_so_in_every_kind(asked, question):
    shown, given = asked(globals()[question], "\t")
    assert given == ["don't know"]
    assert "✗ Not right." in shown


def test_an_answer_that_stands_there_is_not_thrown_away_by_it(sit):
    shown, rows = sit("b", "\t", "s")
    assert "Backspace first" in shown
    assert [row[1] for row in rows] == ["b"]


def test_a_question_can_be_passed_over_for_today(sit):
    shown, rows = sit("p", "b", "s")
    assert "Passed over for today." in shown
    assert shown.count("Where do you look") == 2
    assert [row[1] for row in rows] == ["b"]


def test_a_question_can_be_flagged_with_a_note_before_and_after_the_answer(sit):
    shown, rows = sit("f", "It is odd.\r", "b", "s", "f", "Still odd\x7f\x7f\x7fODD\r", only="approach")
    assert [row[:2] for row in rows] == [("answer", "b"), ("flag", "It is odd."), ("flag", "Still ODD")]
    assert shown.count("Flagged: the instructor sees it") == 2


def test_without_a_note_nothing_is_flagged(sit):
    shown, rows = sit("f", "\r", "b", "s")
    assert "Not flagged." in shown
    assert [row[0] for row in rows] == ["answer"]


@pytest.mark.parametrize(("key", "name"), [("x", "“x”"), ("1", "“1”"), ("日", "“日”"), (" ", "space")])
def test_a_key_that_means_nothing_says_so(sit, key, name):
    shown, rows = sit(key)
    assert f"{name} is no key here; ? lists them" in shown
    assert rows == []


def test_the_keys_are_listed_on_request(sit):
    shown, _ = sit("?")
    assert re.search(r"\n  Tab +don't know\n  p +pass over the question for today\n", shown)


def test_enter_after_a_letter_asks_how_sure_one_is(sit):
    assert "how sure are you?  g guess · t think so · s sure" in sit("b", "\r")[0]


def test_what_is_said_on_the_radio_keeps_its_case(asked):
    _, given = asked(RADIO, "Runway 24, QNH 1008, G-WD\r", "S")
    assert given == ["Runway 24, QNH 1008, G-WD"]


def test_enter_on_an_empty_line_makes_letters_keys_and_backspace_types_on(asked):
    shown, given = asked(RADIO, "\r", "?", "\x7f", "runway 24\r", "s")
    assert "a key now" in shown
    assert "how sure you are: guess, think so, sure" in shown
    assert given == ["runway 24"]


def test_how_many_points_are_enough_is_said_before_the_answer(asked):
    shown, _ = asked(EXPLAIN)
    assert "2 points are listened for: right with all 2 of them." in " ".join(shown.split())


@pytest.mark.parametrize("sequence", ["\x1b[A", "\x1bOB", "\x1b[3~", "\x1b[15~", "\x1b"])
def test_arrows_and_function_keys_change_nothing(sit, sequence):
    assert [row[1] for row in sit("c", sequence, "s")[1]] == ["c"]


@pytest.mark.parametrize("burst", ["c\x1b[As", "\x1b[Acs"])
def test_an_arrow_inside_a_burst_changes_nothing(sit, burst):
    assert [row[1:3] for row in sit(burst)[1]] == [("c", "sure")]


def test_another_letter_takes_the_place_of_the_first(sit):
    assert [row[1] for row in sit("a", "c", "b", "s")[1]] == ["b"]


def test_where_several_are_right_a_letter_ticks_and_unticks(sit):
    _, rows = sit("a", "d", "b", "a", "s", only="steer")
    assert [row[1] for row in rows] == ["b d"]


def test_keys_that_mean_nothing_change_nothing(sit):
    assert [row[1] for row in sit("x", "1", "é", "\n", "日", "d", "e", "b", "z", "s")[1]] == ["b"]


def test_how_sure_one_is_without_an_answer_asks_for_the_answer_first(sit):
    shown, rows = sit("s")
    assert "answer first" in shown
    assert rows == []


@pytest.mark.parametrize("key", ["q", "\x03", "\x04"])
@pytest.mark.parametrize("before", [(), ("a",)])
def test_leaving_before_the_answer_stores_nothing(sit, key, before):
    shown, rows = sit(*before, key)
    assert rows == []
    assert "every answer so far is kept" in " ".join(shown.split())


@pytest.mark.parametrize("ends", [EOFError, KeyboardInterrupt])
def test_a_terminal_that_goes_away_is_left_too(session, place, monkeypatch, ends):
    def gone():
        raise ends

    monkeypatch.setattr("click.getchar", gone)
    assert screen.sit(session(), place.course).taken == 0


STICK = """## The wind is strong, from ahead on the left {#taxi}

### Answer

```stick
quarter: ahead-left
strength: strong
```
"""
RADIO = """## Read back {#rt phraseology=uk}

> {{ callsign_short }}, **runway 24**, cleared nothing yet, **QNH 1008**.
"""


@pytest.fixture
def asked(session, place, tmp_path, monkeypatch, capsys):
    """Presses keys in a review of the one question of a deck: what was shown, and the answers stored."""

    def press(question, *typed):
        course = worlds.write(tmp_path / "one", {**worlds.COURSE, "feet.md": f"---\ntopic: feet\n---\n\n{question}"})
        bursts = iter(typed)
        monkeypatch.setattr("click.getchar", lambda: next(bursts, "\x04"))
        monkeypatch.setattr("select.select", lambda *_: ([], [], []))  # the transmission is over at once
        screen.sit(session(course, topic="feet", seed=1), course)
        return capsys.readouterr().out, [
            row[0] for row in place.raw("SELECT given FROM entries WHERE what = 'answer' ORDER BY id")
        ]

    return press


def test_a_stick_position_is_one_key_and_is_told_and_stored_in_words(asked):
    shown, given = asked(STICK, "9", "s")
    assert given == ["forward right"]
    assert "You said forward right. Right is:" in shown


def test_a_transmission_is_taken_away_and_comes_back_on_request_which_is_recorded(asked):
    shown, given = asked(RADIO, "say again\r", "say again\r", "runway two four, qnh 1008, g-wd\r", "t")
    assert shown.count("runway 24, cleared nothing yet, QNH 1008") == 3
    assert "> say again: " not in shown
    assert given == ["say again: runway two four, qnh 1008, g-wd"]
    assert "✓ Right." in shown


OTHERS = """## Others speak first {#rt phraseology=uk}

> G-WB, hold position.
>
> Holding, G-WB.
>
> {{ callsign_short }}, **runway 24**.
"""


def test_transmissions_stand_under_one_another(asked):
    shown, _ = asked(OTHERS)
    assert "  | G-WB, hold position.\n  | Holding, G-WB.\n  | G-WD, runway 24.\n" in shown


SIX = "## Six {#six}\n\n" + "".join(f"- [{'x' if letter == 'F' else ' '}] {letter}\n" for letter in "ABCDEF")


def test_a_key_that_is_an_options_letter_flags_nothing_before_the_answer(asked, place):
    shown, given = asked(SIX.replace("{#six}", "{#six order=fixed}"), "?", "f", "s", "f", "Too many\r")
    assert "flag the question for the instructor" not in shown
    assert len(given) == 1
    assert place.raw("SELECT given FROM entries WHERE what = 'flag'") == [("Too many",)]


class Played:
    """A sound that ends at once, or after one look, well or not."""

    def __init__(self, *looks):
        self.looks, self.stopped = iter(looks), False

    def done(self):
        return next(self.looks)

    def stop(self):
        self.stopped = True


@pytest.mark.parametrize(("looks", "shown_times"), [((True,), 0), ((None, True), 0), ((None, False), 1), ((), 1)])
def test_a_transmission_is_heard_and_not_read_where_the_student_wants_and_the_machine_can(
    asked, place, monkeypatch, looks, shown_times
):
    place.does("student", "set", "me", "--listen", "pace 120, noise")
    heard = []

    def play(text, rules, how, seed):
        heard.append((text, rules, how.text, Played(*looks)))
        return heard[-1][-1] if looks else None

    monkeypatch.setattr("stickback.services.listen.play", play)
    shown, given = asked(RADIO, "runway 24, qnh 1008, g-wd\r", "t")
    (one,) = heard
    assert one[:3] == (["G-WD, runway 24, cleared nothing yet, QNH 1008."], "uk", "pace 120, noise light")
    assert shown.count("cleared nothing yet") == shown_times
    assert one[3].stopped == bool(looks)
    assert " ".join(shown.split()).count("What is said is shown.") == shown_times
    assert given == ["runway 24, qnh 1008, g-wd"]


def test_say_again_is_heard_again(asked, place, monkeypatch):
    place.does("student", "set", "me", "--listen", "on")
    heard = []
    monkeypatch.setattr("stickback.services.listen.play", lambda *said: heard.append(said) or Played(True))
    _, given = asked(RADIO, "say again\r", "runway 24, qnh 1008, g-wd\r", "t")
    assert len(heard) == 2
    assert given == ["say again: runway 24, qnh 1008, g-wd"]


def test_that_nothing_can_be_heard_is_said_once_in_a_sitting(asked, place, monkeypatch):
    place.does("student", "set", "me", "--listen", "on")
    monkeypatch.setattr("stickback.services.listen.player", lambda: None)
    shown, _ = asked(RADIO, "say again\r", "say again\r", "runway 24, qnh 1008, g-wd\r", "t")
    assert " ".join(shown.split()).count("What is said is shown.") == 1
    assert shown.count("cleared nothing yet") == 3


def test_of_a_read_back_every_item_is_named(asked):
    shown, _ = asked(RADIO, "runway 25 g-wd\r", "t")
    assert re.search(r"Wrong: runway 24 \(you said 25\)\.\n +Missing: QNH 1008\.", shown)


SEQUENCE = """## In order {#run}

### Answer

1. First
2. Second
3. Third
"""
EXPLAIN = """## Why {#why}

### Answer

- **Cause**
- Effect

### Fails if said

- Never mind
"""


def test_a_sequence_that_is_not_finished_can_be_left(asked):
    shown, given = asked(SEQUENCE, "a", "q", "bc", "s")
    assert given == []
    assert "every answer so far is kept" in " ".join(shown.split())


def test_the_point_before_can_be_taken_back(asked):
    _, given = asked(EXPLAIN, "t", "n", "\x7f", "y", "y", "n")
    assert given == ["1 2"]


def test_the_keys_that_say_a_point_was_said_are_listed_on_request(asked):
    shown, _ = asked(EXPLAIN, "t", "?", "q")
    assert re.search(r"  y +I said it\n  n +I did not\n  Backspace +the point before\n  q +leave;", shown)


def test_what_fails_the_answer_is_asked_about_apart(asked):
    shown, given = asked(EXPLAIN, "t", "y", "y", "y")
    assert shown.index("And did you say this? It would fail the answer.") > shown.index("Effect")
    assert given == ["1 2 3"]


def test_too_few_points_are_counted(asked):
    shown, _ = asked(EXPLAIN, "t", "y", "n", "n")
    assert "1 of 2 points said, 2 are needed." in shown


def test_an_answer_that_was_taken_back_is_offered_to_be_taken_back_no_more(sit):
    shown, _ = sit("a", "s", "?", "u", "?")
    assert len(re.findall(r"\n  u +take the answer back", shown)) == 1
    assert len(re.findall(r"\n  f +flag the question", shown)) == 2


def test_the_lesson_is_closed_with_q_and_the_keys_are_named_again(sit):
    shown, _ = sit("a", "s", "l", "q", " ")
    assert shown.count("space next") == 2
    assert shown.count("Where do you look") == 2


def test_a_picture_is_named_by_its_file_and_opened_with_a_key(asked, monkeypatch):
    opened = []
    monkeypatch.setattr("click.launch", opened.append)
    figure = "```figure\nscene: attitude\nattitude: level\n```"
    shown, _ = asked(f"## Level? {{#level}}\n\n{figure}\n\n- [x] Yes\n- [ ] No\n", "o", "a", "s")
    assert len(opened) == 1
    assert opened[0] in shown
    assert Path(opened[0]).read_text().startswith("<svg ")


def test_without_a_picture_its_key_says_so(sit):
    assert "there is no picture here" in sit("o")[0]


def test_what_is_said_aloud_is_told_point_by_point(sit):
    shown, rows = sit("t", "y", "n", topic="swing")
    assert rows == [("answer", "1", "think", 0, "self")]
    assert re.search(r"1 +Cause \d +\(a must\)\n\s+yes\n +2 +Its direction\n\s+no\n", shown.replace("\x1b[K", ""))


def test_nothing_said_is_none(sit):
    assert [row[1] for row in sit("t", "n", "n", topic="swing")[1]] == ["none"]


@pytest.mark.parametrize("key", ["q", "\x03", "\x04"])
def test_leaving_between_the_points_stores_nothing(sit, key):
    assert sit("t", "y", key, topic="swing")[1] == []


def test_the_points_are_hidden_until_it_is_said_how_sure_one_is(sit):
    assert "Its direction" not in sit(topic="swing")[0]


def test_an_answer_is_taken_back_once(sit):
    shown, rows = sit("a", "s", "u", "u", " ")
    assert [row[0] for row in rows] == ["answer", "void"]
    assert shown.count("Taken back") == 1


def test_the_section_of_the_lesson_plan_is_a_key_away(sit):
    assert "Down the side." in sit("a", "s", "l")[0]


def test_a_hint_is_shown_and_counts(sit):
    shown, rows = sit("b", "h", "s", only="approach")
    assert "Read the sheet." in shown
    assert rows == [("answer", "b", "sure", 1, "program")]


def test_without_a_hint_its_key_says_so(sit):
    shown, rows = sit("b", "h", "s", only="steer")
    assert "this question has no hint" in shown
    assert [row[3] for row in rows] == [0]


def test_a_question_is_shown_with_where_the_sitting_is(sit):
    shown, _ = sit(questions=2)
    assert re.search(r"^2 questions left · Lesson 1 ─+\n  Where to look$", shown, re.MULTILINE)
    assert re.search(r"Where do you look at bend \d\?\n\n   a  .+\n   b  .+\n   c  .+\n\n", shown)
    assert "g guess · t think so · s sure" in shown


@pytest.mark.parametrize("letter", ["a", "b", "c"])
def test_why_is_short_after_a_right_answer_and_its_sources_are_a_key_away(sit, letter):
    whole, _ = sit(letter, "s", "w", only="approach")
    shown, _, more = whole.partition("space next")
    right = re.search(r"^   ([abc])  50 kt$", shown, re.MULTILINE)[1]
    if letter == right:
        assert f"  ✓ Right.\n   {right}  50 kt\n\n  The sheet says so.\n" in shown
        assert "Nothing else does." not in shown
        assert "w all of why and sources" in more
        assert "  The sheet says so. Nothing else does.\n  Source: A book on the subject, chapter 2.\n" in more
    else:
        assert f"  ✗ Not right.\n  You said {letter}. Right is:\n   {right}  50 kt\n" in shown
        assert "  The sheet says so. Nothing else does.\n" in shown
        assert "w sources" in more
        assert "Source: " not in shown
        assert "  Source: A book on the subject, chapter 2.\n" in more


@pytest.mark.parametrize("code", ["Write `[^nowhere]`.", "    indented [^nowhere]"], ids=["in a line", "a block"])
def test_code_that_looks_like_a_footnote_is_shown_as_it_stands(session, monkeypatch, tmp_path, code, capsys):
    deck = f"## Which? {{#which topic=feet order=fixed}}\n\n- [x] This\n- [ ] That\n\n### Why\n\nSo:\n\n{code}\n"
    course = worlds.write(tmp_path / "course", {**worlds.COURSE, "feet.md": deck})
    bursts = iter("bsw")
    monkeypatch.setattr("click.getchar", lambda: next(bursts, "q"))
    screen.sit(session(course, topic="feet"), course)
    assert "[^nowhere]" in capsys.readouterr().out


class Terminal:
    """The program on a pseudo-terminal of its own, and someone at its keyboard."""

    def __init__(self, place, *options, term="xterm"):
        import pty

        self.screen, keyboard = pty.openpty()
        env = {**os.environ, "STICKBACK_DB": str(place.db), "STICKBACK_COURSE": str(place.course), "TERM": term}
        command = [sys.executable, "-c", "from stickback.cli.main import main; main()", "--today", worlds.DAY, "review"]
        ends = {"stdin": keyboard, "stdout": keyboard, "stderr": subprocess.PIPE}
        self.program = subprocess.Popen([*command, *options], **ends, env=env, start_new_session=True)
        os.close(keyboard)
        self.shown, self.at = "", 0

    def read(self, patience):
        """Whether anything more was shown in so many seconds."""
        try:
            piece = os.read(self.screen, 65536) if select.select([self.screen], [], [], patience)[0] else b""
        except OSError:  # the program has ended
            piece = b""
        self.shown += piece.decode(errors="replace")
        return bool(piece)

    def sees(self, text, patience):
        """Whether a text is shown, or comes soon; whatever was seen once is behind us."""
        while (at := self.shown.find(text, self.at)) < 0:
            if not self.read(patience):
                return False
        self.at = at + len(text)
        return True

    def press(self, keys, then):
        """Types until the program answers: what is typed before it listens is lost, and twice does no harm here."""
        for _ in range(400):
            os.write(self.screen, keys)
            if self.sees(then, 0.05):
                return
        pytest.fail(f"{keys} never led to {then!r}: {self.shown}")

    def end(self):
        """The exit status and what stood on standard error, when the program has ended."""
        _, errors = self.program.communicate()
        while self.read(0):
            pass
        os.close(self.screen)
        return self.program.returncode, errors


def typed_in(place):
    """The answers of a log in letters, and how sure each was."""
    found = place.raw("SELECT question, seed, given, confidence FROM entries WHERE what = 'answer' ORDER BY id")
    return [(in_letters(place.course, *answer), confidence) for *answer, confidence in found]


def test_a_dumb_terminal_is_talked_to_in_plain_lines(place):
    pytest.importorskip("pty")
    terminal = Terminal(place, "--topic", "eyes", "--seed", "1", term="dumb")
    assert terminal.sees("`stop` leaves", 20)
    os.write(terminal.screen, b"b sure\nq\n")
    assert terminal.sees("goes on from this point", 20)
    assert terminal.end() == (0, b"")
    assert "\x1b" not in terminal.shown
    assert typed_in(place) == [("b", "sure")]


def test_three_questions_on_a_real_terminal_and_every_way_to_leave(place, tmp_path):
    pytest.importorskip("pty")
    others = {key: place.copied(tmp_path / f"{number}.db") for number, key in enumerate((b"\x03", b"\x04"))}
    options = ("--topic", "eyes", "--questions", "3", "--seed", "1")
    terminals = [Terminal(each, *options) for each in (place, *others.values())]
    for each in terminals:
        assert each.sees("q leave", 20)
    at, *leaving = terminals
    os.write(at.screen, b"\x1b[A\x1b[B")
    at.press(b"b", then="> b")
    at.press(b"s", then="space next")
    at.press(b"u", then="Taken back")
    at.press(b" ", then="2 questions left")
    at.press(b"at", then="space next")  # in one burst
    at.press(b" ", then="the last one")
    at.press(b"cg", then="space next")
    at.press(b"q", then="kept")
    assert at.end() == (0, b"")
    assert typed_in(place) == [("b", "sure"), ("a", "think"), ("c", "guess")]
    assert [what for (what,) in place.raw("SELECT what FROM entries ORDER BY id")] == [
        "answer",
        "void",
        *["answer"] * 2,
    ]
    for terminal, (key, other) in zip(leaving, others.items(), strict=True):
        terminal.press(b"bt", then="space next")
        terminal.press(b" ", then="2 questions left")
        terminal.press(key, then="kept")
        assert terminal.end() == (0, b"")
        assert typed_in(other) == [("b", "think")]
