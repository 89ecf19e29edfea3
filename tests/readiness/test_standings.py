from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from fsrs import Card, Rating, Scheduler

import standing as made_by_hand
from stickback.course.course import variant
from stickback.memory import curve
from stickback.readiness import standings as standing

DAY = 20_000
NOON = datetime(2020, 1, 1, 12, tzinfo=UTC)
VOIDED, WRONG, UNSURE, RIGHT = 0, 1, 2, 3

DECK = """\
---
topic: yaw-causes
---

## Which way? {#way}

- [x] To the {{ swing }}
- [ ] To the {{ other_side }}

## Why? {#why}

### Answer

- Torque

## Which brake? {#heel brakes=heel topic=keeping-straight}

- [x] The heel
- [ ] The toe
- [ ] The hand
""" + "".join(f"\n## Does {n} count? {{#count-{n} topic=wheel-landing}}\n\n- [x] Yes\n- [ ] No\n" for n in range(1, 10))
WAY, WHY, HEEL = "tailwheel/way", "tailwheel/why", "tailwheel/heel"
COUNTS = [f"tailwheel/count-{n}" for n in range(1, 10)]  # of the assumed topic
GUESS = {WAY: 1 / 2, WHY: 0, HEEL: 1 / 3, **dict.fromkeys(COUNTS, 1 / 2)}


@pytest.fixture(scope="module")
def taught(course):
    read = course(DECK)
    assert read.problems == ()
    return read


def columns(*answers, parameters):
    """From (student, question, variant, day, grade, sure), in the order of their ids."""
    histories = {}
    rows = [
        (who, histories.setdefault((question, digest), len(histories)), DAY + day, grade, sure)
        for who, question, digest, day, grade, sure in answers
    ]
    return made_by_hand.columns(histories, rows, parameters)


def students(taught, *answers, sheet="quillon", names=("Ann",), parameters=None):
    """How each student stands."""
    school = columns(*answers, parameters=parameters or [curve.DEFAULTS] * len(names))
    return standing.of_answers(taught, taught.pairs(taught.sheets[sheet], "uk"), school, dict(enumerate(names)))


def stands(taught, *answers, sheet="quillon", on=30, names=("Ann",), parameters=None):
    """The same: each figure by question, what is known of it on a day."""
    found = students(taught, *answers, sheet=sheet, names=names, parameters=parameters)
    figures = {each: getattr(found, each) for each in ("counted", "misbelief", "wrong", "answered_on")}
    figures["known"] = curve.known(found.chance(np.full(len(names), DAY + on)), found.guess)
    asked = [key for key, _ in taught.pairs(taught.sheets[sheet], "uk")]
    return [{each: plain(asked, values[row]) for each, values in figures.items()} for row in range(len(names))]


def plain(names, row):
    """By question; None where there is no figure."""
    return {name: None if np.isnan(value) else value for name, value in zip(names, row.tolist(), strict=True)}


def answered(question, day, grade=RIGHT, *, sure=False, digest="", who=0):
    return who, question, digest, day, grade, sure


def by_library(question, answers, on):
    """What is known as the memory library alone says it; answers as (day, grade)."""
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    card = Card(card_id=1)
    for day, grade in answers:
        card, _ = scheduler.review_card(card, Rating(grade), NOON + timedelta(days=day))
    day = max(on, answers[-1][0] + 1)
    chance = scheduler.get_card_retrievability(card, NOON + timedelta(days=day))
    return pytest.approx(float(curve.known(chance, GUESS[question])), abs=1e-9)


@pytest.mark.parametrize("question", [WHY, HEEL, COUNTS[0]])
@pytest.mark.parametrize("on", [10, 11, 30, 4000])
def test_what_is_known_on_the_date_is_what_the_library_says(taught, question, on):
    answers = [(0, RIGHT), (2, UNSURE), (5, WRONG), (10, RIGHT)]
    (found,) = stands(taught, *(answered(question, *each) for each in answers), on=on)
    assert found["known"][question] == by_library(question, answers, on)


def test_on_the_day_of_an_answer_and_before_it_what_counts_is_the_day_after(taught):
    known = {on: stands(taught, answered(WHY, 5), on=on)[0]["known"][WHY] for on in (0, 5, 6, 7)}
    assert known[0] == known[5] == known[6] > known[7]


def test_practice_and_voided_answers_move_nothing(taught):
    noisy = [
        answered(WHY, 0),
        answered(WHY, 0, WRONG),
        answered(WHY, 2, VOIDED),
        answered(WHY, 2, WRONG),
        answered(WHY, 4),
        answered(WHY, 4, VOIDED),
    ]
    assert stands(taught, *noisy) == stands(taught, answered(WHY, 0), answered(WHY, 4))


def test_a_question_whose_only_answer_is_voided_is_unseen(taught):
    (found,) = stands(taught, answered(WHY, 0, VOIDED))
    assert found["known"][WHY] is None
    assert found["answered_on"][WHY] == -1


def test_the_last_day_is_that_of_any_answer_that_is_not_voided(taught):
    (found,) = stands(taught, answered(WHY, 0), answered(WHY, 3, VOIDED), answered(WHY, 3), answered(HEEL, 9))
    assert found["answered_on"][WHY] == DAY + 3
    assert found["answered_on"][HEEL] == DAY + 9


def test_what_was_learnt_on_one_aeroplane_is_unseen_on_another_where_the_answer_differs(taught):
    digests = {name: variant(taught.questions["way"], sheet) for name, sheet in taught.sheets.items()}
    answer = answered(WAY, 0, digest=digests["quillon"])
    assert stands(taught, answer)[0]["known"][WAY] > 0
    assert stands(taught, answer, sheet="mossbank")[0]["known"][WAY] is None


def test_a_question_that_the_aeroplane_does_not_have_is_in_no_figure(taught):
    assert HEEL in stands(taught)[0]["known"]
    assert HEEL not in stands(taught, answered(HEEL, 0), sheet="mossbank")[0]["known"]


def test_a_question_that_left_the_course_is_in_no_figure(taught):
    assert stands(taught, answered("tailwheel/gone", 0)) == stands(taught, answered("other/why", 0, WRONG))


def test_nobody_moves_the_figures_of_another(taught):
    answers = [answered(WHY, 0, WRONG, sure=True, who=1), answered(COUNTS[0], 0, WRONG, who=1)]
    ann, bob = stands(taught, *answers, names=("Ann", "Bob"))
    assert ann == stands(taught)[0]
    assert bob["misbelief"][WHY]


def test_a_sure_and_wrong_answer_is_open_until_it_was_right_on_two_later_days(taught):
    wrong = answered(WHY, 0, WRONG, sure=True)
    mending = [answered(WHY, 1), answered(WHY, 1), answered(WHY, 2, UNSURE), answered(WHY, 3)]
    found = [stands(taught, wrong, *mending[:many])[0]["misbelief"][WHY] for many in range(len(mending) + 1)]
    assert found == [True, True, True, True, False]


def test_a_wrong_answer_is_open_until_the_next_one_is_right(taught):
    answers = [answered(WHY, 0), answered(WHY, 1, WRONG), answered(WHY, 2, UNSURE), answered(WHY, 3, WRONG)]
    found = [stands(taught, *answers[:many])[0]["wrong"][WHY] for many in range(len(answers) + 1)]
    assert found == [False, False, True, False, True]


def test_practice_does_not_close_a_wrong_answer(taught):
    assert stands(taught, answered(WHY, 0, WRONG), answered(WHY, 0))[0]["wrong"][WHY]


def test_a_wrong_and_sure_answer_is_open_as_long_as_its_misbelief(taught):
    wrong = answered(WHY, 0, WRONG, sure=True)
    assert stands(taught, wrong, answered(WHY, 1))[0]["wrong"][WHY]
    assert not stands(taught, wrong, answered(WHY, 1), answered(WHY, 2))[0]["wrong"][WHY]


def test_each_student_forgets_by_parameters_of_their_own(taught):
    slow = tuple(value * 2 if at < 4 else value for at, value in enumerate(curve.DEFAULTS))
    answers = [answered(WHY, 0, who=0), answered(WHY, 0, who=1)]
    both = stands(taught, *answers, names=("Ann", "Bob"), parameters=[curve.DEFAULTS, slow])
    chance = [float(curve.recall(np.array([w[RIGHT - 1]]), np.array([30]), w)[0]) for w in (curve.DEFAULTS, slow)]
    assert [one["known"][WHY] for one in both] == pytest.approx(chance)


# first sight, and how much was answered


def rates(taught, *answers):
    found = students(taught, *answers)
    topics = list(taught.plan.topics)
    return [
        dict(zip(topics, zip(*pair, strict=True), strict=True)) for pair in zip(found.knew, found.missed, strict=True)
    ]


def test_first_sight_counts_the_first_answer_of_each_question_on_whichever_aeroplane(taught):
    nothing = rates(taught)[0]["yaw-causes"]
    assert sum(nothing) == pytest.approx(6)
    one = rates(taught, answered(WHY, 0), answered(WHY, 1, WRONG))[0]["yaw-causes"]
    assert sum(one) == pytest.approx(7)
    other = rates(taught, answered(WHY, 0), answered(WAY, 0, WRONG, digest="another aeroplane's"))[0]["yaw-causes"]
    assert other[1] > one[1] + 0.9


def test_lucky_answers_are_taken_off_what_was_right_at_first_sight(taught):
    open_, guessed = (rates(taught, answered(each, 0))[0]["yaw-causes"] for each in (WHY, WAY))
    assert sum(open_) - sum(guessed) == pytest.approx(GUESS[WAY] / 2)


def test_what_is_no_question_of_the_course_says_nothing_of_first_sight_and_is_no_answer(taught):
    assert rates(taught, answered("tailwheel/gone", 0), answered("other/why", 0)) == rates(taught)
    assert students(taught, answered("other/why", 0), answered(WHY, 0), answered(WHY, 0)).answers.tolist() == [1]


# assumed topics


def test_of_an_assumed_topic_one_question_in_four_counts(taught):
    counted = stands(taught)[0]["counted"]
    assert sum(counted[each] for each in COUNTS) == 3  # of nine, rounded up
    assert all(counted[each] for each in (WAY, WHY, HEEL))


def test_the_quarter_is_the_students_own(taught):
    quarters = [tuple(one["counted"][each] for each in COUNTS) for one in stands(taught, names=("Ann", "Bob", "Cas"))]
    assert len(set(quarters)) > 1
    assert quarters[0] == tuple(stands(taught)[0]["counted"][each] for each in COUNTS)


def test_what_was_answered_outside_the_quarter_counts_too(taught):
    before = stands(taught)[0]["counted"]
    outside = next(each for each in COUNTS if not before[each])
    after = stands(taught, answered(outside, 0))[0]["counted"]
    assert after == {**before, outside: True}


def test_one_miss_opens_the_rest_whichever_variant_and_however_long_ago(taught):
    missed = stands(taught, answered(COUNTS[4], 0, WRONG, digest="old"), answered(COUNTS[4], 9))[0]["counted"]
    assert all(missed.values())


@pytest.mark.parametrize(
    "answers",
    [
        [answered(WHY, 0, WRONG)],
        [answered(COUNTS[0], 0, VOIDED)],
        [answered(COUNTS[0], 0, VOIDED), answered(COUNTS[0], 0, WRONG)],
        [answered(COUNTS[0], 0), answered(COUNTS[0], 0, WRONG)],
    ],
    ids=["another topic", "voided", "practice after a void", "practice"],
)
def test_nothing_but_a_graded_miss_of_the_topic_opens_the_rest(taught, answers):
    assert not all(stands(taught, *answers)[0]["counted"].values())


def test_without_an_answer_everything_is_unseen(taught):
    (found,) = stands(taught)
    assert set(found["known"].values()) == {None}
    assert not any(found["misbelief"].values())
    assert not any(found["wrong"].values())
