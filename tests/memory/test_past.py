from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from fsrs import Card, Rating, Scheduler
from hypothesis import given
from hypothesis import strategies as st

from stickback import clock
from stickback.memory.entry import Entry
from stickback.memory.past import Past, Row, past
from stickback.store import engine, log

SCHEDULER = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
ROME = ZoneInfo("Europe/Rome")
QUESTIONS = ("c/swing", "c/wheel")
VARIANTS = ("", "quillon", "mossbank")
HISTORIES = [(question, variant) for question in QUESTIONS for variant in VARIANTS]


def answer(name, day, *, question=QUESTIONS[0], variant="", right=True, confidence="think", hinted=False):
    return Row(name, "answer", day, question, variant, "choice", "1", confidence, hinted, right, 9.0, None)


def void(name, voids, day=1):
    return Row(name, "void", day, *[None] * 8, voids)


def flown(name, day):
    return answer(name, day)._replace(what="flown", question="c/take-off", confidence=None, right=None)


@st.composite
def logs(draw):
    """Rows as they may arrive: in disorder, some twice, with voids of some and of one that is not there."""
    days, names = st.integers(0, 9), st.integers(0, 999).map("{:03}".format)
    answers = st.builds(
        answer,
        names,
        days,
        question=st.sampled_from(QUESTIONS),
        variant=st.sampled_from(VARIANTS),
        right=st.booleans(),
        confidence=st.sampled_from(("guess", "think", "sure")),
        hinted=st.booleans(),
    )
    rows = draw(st.lists(answers, max_size=30, unique_by=lambda row: row.id))
    targets = draw(st.lists(st.sampled_from([row.id for row in rows] + ["missing"]), max_size=5))
    # Their ids sort before and after those of the answers: a void may stand before what it voids.
    voids = [void(f"{draw(st.sampled_from('/v'))}{n}", target, draw(days)) for n, target in enumerate(targets)]
    arrived = draw(st.permutations([*rows, *voids]))
    return [*arrived, *arrived[:3]]


def by_library(rows, scheduler=SCHEDULER):
    """The card of every history, one answer at a time, and the ids of the answers that moved one."""
    gone = {row.voids for row in rows if row.what == "void"}
    answers = {row.id: row for row in rows if row.what == "answer"}
    cards, moved, seen = {}, [], set()
    for row in sorted(answers.values(), key=lambda row: (row.day, row.id)):
        history = (row.question, row.variant)
        if (*history, row.day) not in seen and row.id not in gone:
            grade = 1 if not row.right else 2 if row.hinted or row.confidence == "guess" else 3
            card = cards.get(history, Card(card_id=1))
            cards[history], _ = scheduler.review_card(card, Rating(grade), noon(row.day))
            moved.append(row.id)
        seen.add((*history, row.day))
    return cards, moved


def noon(day):
    return datetime(1970, 1, 1, 12, tzinfo=UTC) + timedelta(days=day)


def as_states(cards):
    """What `Past.state` must say of each history."""
    found = [cards.get(each) for each in HISTORIES]
    states = [card and (card.stability, card.difficulty, (card.last_review - noon(0)).days) for card in found]
    return [state and pytest.approx(state, rel=1e-9) for state in states]


def state(rows, history=(QUESTIONS[0], "")):
    return past(rows).state(history)


@given(logs())
def test_any_log_folds_as_the_library_does_answer_by_answer(rows):
    cards, moved = by_library(rows)
    assert [past(rows).state(each) for each in HISTORIES] == as_states(cards)
    assert [row.id for row in past(rows).graded] == moved


@given(logs(), st.integers(9, 400))
def test_recall_on_a_later_day_is_that_of_the_library(rows, day):
    cards, _ = by_library(rows)
    wanted = [
        SCHEDULER.get_card_retrievability(cards[each], noon(day)) if each in cards else np.nan for each in HISTORIES
    ]
    assert list(past(rows).recall(HISTORIES, day)) == pytest.approx(wanted, rel=1e-9, nan_ok=True)


@given(logs(), st.randoms(use_true_random=False))
def test_rows_may_come_in_any_order_and_any_number_of_times(rows, random):
    again = [*rows, *random.sample(rows, len(rows) // 2)]
    random.shuffle(again)
    assert past(again) == past(rows)
    assert past(past(rows).rows) == past(rows)


@given(logs(), st.integers(0, 10))
def test_what_was_before_a_day_is_the_log_without_later_answers(rows, day):
    cards, moved = by_library([row for row in rows if row.day < day or row.what == "void"])
    earlier = past(rows).before(day)
    assert [row.id for row in earlier.graded] == moved
    assert [earlier.state(each) for each in HISTORIES] == as_states(cards)


OTHERS = (0.5, 1.0, 4.0, 9.0, 5.5, 0.6, 2.0, 0.1, 1.5, 0.3, 1.0, 2.0, 0.1, 0.4, 1.2, 0.4, 2.5, 0.3, 0.4, 0.1, 0.3)


@given(logs(), st.integers(9, 400))
def test_under_other_parameters_it_folds_as_the_library_does_under_them(rows, day):
    other = Scheduler(OTHERS, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    cards, _ = by_library(rows, other)
    under = past(rows).under(OTHERS)
    assert [under.state(each) for each in HISTORIES] == as_states(cards)
    wanted = [other.get_card_retrievability(cards[each], noon(day)) if each in cards else np.nan for each in HISTORIES]
    assert list(under.recall(HISTORIES, day)) == pytest.approx(wanted, rel=1e-9, nan_ok=True)


def test_any_part_of_a_past_follows_the_same_parameters():
    whole = past([answer("a", 1), answer("b", 2)]).under(OTHERS)
    parts = (whole.before(2), whole.of(QUESTIONS[0]), whole.after(answer("c", 3)))
    assert [part.own for part in parts] == [OTHERS] * 3
    assert [len(part.rows) for part in parts] == [1, 2, 3]


def test_what_is_there_already_does_not_happen_twice():
    whole = past([answer("a", 1)])
    assert whole.after(answer("a", 9, right=False)) == whole


def test_what_was_begun_before_the_last_takes_its_place_before_it():
    late = answer("b", 1)
    held = past([answer("a", 1), answer("c", 1)]).after(late)
    read = past([answer("a", 1), late, answer("c", 1)])
    assert (held.rows, held.graded, held.ahead_of(late).rows) == (read.rows, read.graded, read.rows[:1])


@given(st.permutations([("a", 1), ("b", 1), ("c", 2), ("d", 2), ("e", 2), ("f", 3)]))
def test_in_whatever_order_answers_end_the_past_is_the_same(order):
    rows = [answer(name, day, question=QUESTIONS[ord(name) % 2], right=name != "d") for name, day in order]
    held, read = past([]), past(rows)
    for row in rows:
        held = held.after(row)
        assert {"answers", "columns"} <= set(vars(held))  # nothing walks through the whole log for one row more
    assert (held.rows, held.answers, dict(held.by_id)) == (read.rows, read.answers, dict(read.by_id))
    assert (held.by_question, held.variants, held.ever_wrong) == (read.by_question, read.variants, read.ever_wrong)
    assert [held.state(each) for each in HISTORIES] == [read.state(each) for each in HISTORIES]


def test_rows_stand_in_the_order_of_study_day_and_id():
    rows = [answer("b", 2), answer("a", 2), answer("c", 1)]
    assert [row.id for row in past(rows).rows] == ["c", "a", "b"]


def test_an_empty_past_remembers_nothing():
    nothing = past([])
    assert nothing == Past(())
    assert (nothing.answers, nothing.graded, nothing.voided, nothing.last_day) == ((), (), frozenset(), None)
    assert nothing.state((QUESTIONS[0], "")) is None
    assert np.isnan(nothing.recall([(QUESTIONS[0], "")], 5)).all()


def test_asked_about_no_history_it_tells_no_recall():
    assert past([answer("a", 1)]).recall([], 5).shape == (0,)


def test_before_the_last_answer_recall_is_whole():
    memory = past([answer("a", 5)])
    assert list(memory.recall([(QUESTIONS[0], "")] * 3, 4)) == [1, 1, 1]
    assert list(memory.recall([(QUESTIONS[0], "")], 5)) == [1]


def test_the_first_answer_by_id_counts_even_when_it_arrives_last():
    assert state([answer("b", 1, right=True), answer("a", 1, right=False)]) == state([answer("a", 1, right=False)])


def test_a_second_answer_on_a_day_is_practice():
    assert state([answer("a", 1), answer("b", 1, right=False)]) == state([answer("a", 1)])


@pytest.mark.parametrize("name", ["0", "z"])
@pytest.mark.parametrize("day", [0, 1, 9])
def test_a_void_may_stand_before_what_it_voids(name, day):
    rows = [void(name, "b", day), answer("a", 1), answer("b", 4, right=False)]
    assert state(rows) == state([answer("a", 1)])


def test_after_a_voided_answer_the_rest_of_the_day_is_practice():
    rows = [answer("a", 1), answer("b", 4, right=False), void("v", "b"), answer("c", 4)]
    assert state(rows) == state([answer("a", 1)])
    assert [row.id for row in past(rows).graded] == ["a"]


def test_what_was_only_voided_is_unseen():
    rows = [answer("a", 1), void("v", "a")]
    assert state(rows) is None
    assert np.isnan(past(rows).recall([(QUESTIONS[0], "")], 3)).all()


def test_a_void_is_never_voided():
    rows = [answer("a", 1), void("v", "a"), void("w", "v")]
    assert state(rows) is None


def test_a_void_of_nothing_changes_nothing():
    assert state([answer("a", 1), void("v", "missing")]) == state([answer("a", 1)])


def test_a_flown_lesson_moves_no_memory():
    rows = [answer("a", 1), flown("b", 3)]
    assert past(rows).columns.histories == past(rows[:1]).columns.histories
    assert past(rows).last_day == 1


def test_each_aeroplane_has_its_own_memory_of_a_question():
    there = answer("b", 3, variant="mossbank", right=False)
    assert state([answer("a", 1), there]) == state([answer("a", 1)])
    assert state([answer("a", 1), there], (QUESTIONS[0], "mossbank"))[2] == 3


def test_the_aeroplanes_a_question_was_answered_on_are_those_whose_memory_moved():
    rows = [
        *(answer("a", 1), answer("b", 2, variant="quillon"), answer("c", 2, question="c/wheel", variant=None)),
        *(answer("d", 3, variant="mossbank"), void("v", "d"), answer("e", 3, variant="mossbank")),
    ]
    assert past(rows).variants == {"c/swing": {"", "quillon"}, "c/wheel": {""}}


def test_the_last_day_is_that_of_an_answer_which_was_not_taken_back():
    assert past([answer("a", 1), answer("b", 4), void("v", "b", 9), flown("c", 7)]).last_day == 1


def test_a_day_holds_its_answers_the_voided_ones_too():
    rows = past([answer("b", 4), answer("a", 4), answer("c", 3), void("v", "a", 4), flown("f", 4)])
    assert [row.id for row in rows.on(4)] == ["a", "b"]
    assert rows.on(5) == ()


def test_the_answers_before_a_day_know_of_later_voids():
    rows = past([answer("a", 1), answer("b", 2), void("v", "a", 9)])
    assert [row.id for row in rows.before(2).rows] == ["a", "v"]
    assert rows.before(2).graded == ()


@pytest.mark.parametrize(
    ("row", "grade"),
    [
        (answer("a", 1, right=False, confidence="sure"), 1),
        (answer("a", 1, confidence="guess"), 2),
        (answer("a", 1, confidence="sure", hinted=True), 2),
        (answer("a", 1, confidence="think"), 3),
        (answer("a", 1, confidence="sure"), 3),
        (answer("a", 1)._replace(hinted=None), 3),
        (answer("a", 1)._replace(right=None), 1),
    ],
)
def test_an_answer_is_worth_its_grade_and_nothing_when_voided(row, grade):
    assert past([row]).columns.grade.tolist() == [grade]
    assert past([row, void("v", "a", 9)]).columns.grade.tolist() == [0]


def number(local):
    """The day number of the study day to which a moment of local time belongs."""
    return clock.day_number(clock.study_day(local.astimezone(UTC), local.tzinfo))


def at(text, zone=ROME):
    return datetime.fromisoformat(text).replace(tzinfo=zone)


@pytest.mark.parametrize(
    ("earlier", "later", "days"),
    [
        ("2026-02-10 21:00", "2026-02-11 08:00", 1),
        ("2026-02-10 08:00", "2026-02-11 21:00", 1),
        ("2026-02-10 23:50", "2026-02-11 02:59", 0),
        ("2026-02-11 02:59", "2026-02-11 03:00", 1),
        ("2026-03-28 09:00", "2026-03-29 09:00", 1),  # 23 hours
        ("2026-03-28 21:00", "2026-03-29 03:00", 1),  # the very moment at which 02:00 became 03:00
        ("2026-03-29 01:59", "2026-03-29 03:00", 1),
        ("2026-10-24 09:00", "2026-10-25 09:00", 1),  # 25 hours
        ("2026-10-24 23:00", "2026-10-25 02:30", 0),
        ("2026-10-25 02:30", "2026-10-25 03:00", 1),
    ],
)
def test_what_elapses_between_two_answers_is_counted_in_study_days(earlier, later, days):
    first, second = number(at(earlier)), number(at(later))
    assert second - first == days
    alone = [answer("a", 1), *([answer("b", 1 + days)] if days else [])]
    found = state([answer("a", first), answer("b", second)])
    assert found[:2] == state(alone)[:2]


@given(
    st.sampled_from(("Europe/Rome", "America/New_York", "Australia/Lord_Howe", "Pacific/Auckland", "UTC")),
    st.dates(date(2026, 1, 1), date(2027, 12, 31)),
    st.times(min_value=time(4)) | st.times(max_value=time(0, 59)),
)
def test_through_both_clock_changes_days_are_those_of_the_calendar(zone, day, clock_time):
    evening_before = clock_time < time(3)
    local = datetime.combine(day, clock_time, ZoneInfo(zone))
    assert number(local) == clock.day_number(day) - evening_before


def entry(moment, zone):
    milliseconds = int(moment.timestamp() * 1000)
    day = clock.study_day(moment, ZoneInfo(zone))
    return Entry(
        id=clock.uuid7(milliseconds),
        what="answer",
        day=day,
        at=milliseconds,
        zone=zone,
        question="c/swing",
        variant="",
        kind="choice",
        revision="r",
        aircraft="quillon",
        phraseology="uk",
        seed=1,
        given="1",
        confidence="sure",
        hinted=False,
        score=1.0,
        right=True,
        marked_by="program",
        seconds=9.0,
    )


def test_a_traveller_who_lands_on_the_day_before_practises_on_the_day_that_stands(tmp_path):
    database = engine.locate(str(tmp_path / "log.db"))
    departure = at("2026-06-10 09:00", ZoneInfo("Pacific/Auckland"))
    there = entry(departure, "Pacific/Auckland")
    here = entry(departure + timedelta(hours=10), "Pacific/Honolulu")
    assert (there.day, here.day) == (date(2026, 6, 10), date(2026, 6, 9))
    stored = [log.append(database, "me", each) for each in (there, here)]
    assert [each.day for each in stored] == [there.day, there.day]
    assert [row.id for row in log.read(database, "me").graded] == [there.id]


def test_a_past_holds_the_one_before_it_and_none_before_that():
    found = past([])
    for number in range(5):
        found = found.after(answer(str(number), number))
    held = found.ahead_of(found.rows[-1])
    assert len(held.rows) == 4
    assert "_last_left_out" not in vars(held)
