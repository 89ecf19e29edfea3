import shutil
from dataclasses import replace
from datetime import timedelta
from statistics import fmean

import pytest
from fsrs import Rating

from stickback.memory import curve
from stickback.refused import Refused
from stickback.services import debrief, folder, review, today
from stickback.services.today import Wish

TARGET = 0.9
TOPICS = {
    "sitting": ["heels", "nose"],
    "numbers": ["approach", "dial", "callsign"],
    "recent": [f"counts-{n}" for n in range(1, 6)],
    "swing": ["way", "foot", "why"],
    "three-point": ["stick", "wheels", "hold-off"],
}
GUESS = {"approach": 1 / 3, "dial": 1 / 2, "callsign": 0, "heels": 1 / 2, "nose": 1 / 4, "way": 1 / 2, "foot": 1 / 3}
GUESS |= {"why": 0, "stick": 1 / 2, "wheels": 1 / 3, "hold-off": 1 / 2, **{f"counts-{n}": 1 / 2 for n in range(1, 6)}}
EVERYTHING = sorted(name for names in TOPICS.values() for name in names)
USE_WHAT_DIFFERS = ["approach", "foot", "way"]  # between the two aeroplanes: a speed and the side of the swing


def ids(histories):
    return [key.removeprefix("tw/") for key, _ in histories]


def planned(school, day, **wish):
    """The ids of the day's questions, sorted."""
    return sorted(ids(today.agenda(school.desk(day), Wish(**wish)).order))


def of(day):
    """Answers of one day: some wrong, some guessed."""
    outcomes = {
        0: {"foot": (False, "think"), "stick": (True, "guess"), "nose": (False, "guess"), "dial": (True, "sure")},
        2: {"foot": (True, "think"), "nose": (True, "guess"), "stick": (False, "think")},
    }
    return lambda name: outcomes[day].get(name, (True, "think"))


@pytest.fixture(scope="module")
def answered(open_school, hands, tmp_path_factory):
    """A database where day 0 answered all there was to ask and day 2 what was rusty; and the oracle that heard it."""
    school = open_school(tmp_path_factory.mktemp("answered"))
    oracle = hands.oracle()
    for day in (0, 2):
        hands.finish(school.begin(day, minutes=60), oracle.hearing(day, of(day)))
    return school.store, oracle


@pytest.fixture
def studied(answered, open_school, tmp_path):
    return open_school(tmp_path, store=answered[0])


@pytest.fixture
def oracle(answered):
    return answered[1]


# What the memory library says


@pytest.mark.parametrize("days", [1, 3, 10, 40])
def test_what_is_rusty_as_the_memory_library_says_is_what_is_asked(studied, oracle, days):
    rusty = {name for name, known in oracle.known(2 + days).items() if known < TARGET}
    assert planned(studied, 2 + days, minutes=60) == sorted(rusty)


def test_the_days_tried_above_differ_in_what_is_rusty(studied):
    assert len({tuple(planned(studied, 2 + days, minutes=60)) for days in (1, 3, 10, 40)}) >= 3


@pytest.mark.parametrize("days", [3, 10])
@pytest.mark.parametrize("many", [1, 2, 4, 7])
def test_must_topics_and_then_the_lowest_known_are_asked_as_the_memory_library_says(studied, oracle, days, many):
    known = oracle.known(2 + days)
    rusty = [(name not in TOPICS["swing"], one) for name, one in known.items() if one < TARGET]
    found = [(name not in TOPICS["swing"], known[name]) for name in planned(studied, 2 + days, questions=many)]
    assert [one for pair in sorted(found) for one in pair] == pytest.approx(
        [one for pair in sorted(rusty)[:many] for one in pair], abs=1e-9
    )


def test_another_target_makes_other_questions_rusty(studied, oracle):
    studied.set(target=0.7)
    at_nine_in_ten, at_seven = (
        sorted(name for name, known in oracle.known(5).items() if known < target) for target in (0.9, 0.7)
    )
    assert planned(studied, 5, minutes=60) == at_seven != at_nine_in_ten


@pytest.mark.parametrize("days", [1, 3, 10, 40])
def test_the_debrief_has_the_order_and_the_figures_that_the_memory_library_gives(studied, oracle, days):
    known = oracle.known(2 + days)
    expected = []
    for topic, names in TOPICS.items():
        seen = [known[name] for name in names if name in known]
        if fmean(seen) < TARGET:
            expected.append((fmean(seen), topic, len(seen), len(names), sum(one < TARGET for one in seen)))
    expected.sort()
    found = debrief.weak(studied.desk(2 + days))
    assert [(one.topic.id, one.seen, one.questions, one.rusty) for one in found] == [one[1:] for one in expected]
    assert [one.known for one in found] == pytest.approx([one[0] for one in expected], abs=1e-9)


def test_the_first_and_the_last_question_of_a_day_are_the_likeliest_to_be_right(studied, oracle):
    order = ids(today.agenda(studied.desk(12), Wish(minutes=60)).order)
    known = oracle.known(12)
    assert sorted([known[order[0]], known[order[-1]]]) == sorted(known[name] for name in order)[-2:]


# What else a day is for


def test_the_plan_of_a_day_stays_whatever_is_answered_on_it(studied, hands):
    before = today.agenda(studied.desk(12), Wish())
    session = studied.begin(12)
    for right in (True, False, True):
        session, _ = hands.answer(session, right=right, confidence="sure")
    assert today.agenda(studied.desk(12), Wish()) == before == today.agenda(session.desk, Wish())


def test_a_misbelief_is_asked_the_day_after(school, hands):
    hands.finish(school.begin(0), lambda name: (name != "hold-off", "sure"))
    assert planned(school, 1, questions=1) == ["hold-off"]


def test_a_misbelief_stays_until_it_was_right_on_two_different_days(school, hands):
    hands.finish(school.begin(0, topic="three-point"), lambda name: (name != "hold-off", "sure"))
    first = []
    for day in (1, 2, 3):
        first.append("hold-off" in planned(school, day, questions=2))
        hands.finish(school.begin(day, topic="three-point"))
    assert first == [True, True, False]


def test_the_topic_behind_a_flown_error_is_asked_although_it_is_known_well(school, hands):
    hands.finish(school.begin(0, topic="swing"))
    assert "why" not in planned(school, 1)
    school.flown(0, "take-off", "late-foot")
    assert set(TOPICS["swing"]) <= set(planned(school, 1))


def test_a_miss_in_an_assumed_topic_opens_the_rest_of_it_the_day_after(school, hands):
    asked, _ = hands.finish(school.begin(0), lambda name: (not name.startswith("counts"), "think"))
    of_recent = set(asked) & set(TOPICS["recent"])
    assert (len(of_recent), set(TOPICS["recent"]) <= set(planned(school, 1))) == (2, True)


def test_an_assumed_topic_without_a_miss_stays_at_a_quarter(school, hands):
    hands.finish(school.begin(0))
    assert not set(TOPICS["recent"]) & set(planned(school, 1))


def test_without_a_lesson_to_fly_new_questions_come_from_the_whole_plan(school):
    assert today.reach(school.desk()) is None
    assert set(TOPICS["three-point"]) <= set(planned(school, 0))


def test_new_questions_come_up_to_the_next_lesson(school):
    school.set(next_lesson="take-off")
    asked = planned(school, 0)
    assert set(TOPICS["swing"]) <= set(asked)
    assert not set(TOPICS["three-point"]) & set(asked)


def test_new_questions_come_up_to_the_lesson_after_the_last_one_flown(school):
    school.flown(0, "aeroplane")
    assert today.reach(school.desk(1)) == 2


def test_the_minutes_of_the_student_bound_the_day(school):
    school.set(minutes=1)
    assert len(planned(school, 0)) == 3  # at twenty seconds each before any answer


def test_minutes_asked_for_take_the_place_of_the_students_own(school):
    school.set(minutes=1)
    assert len(planned(school, 0, minutes=2)) == 6


# Wishes


@pytest.mark.parametrize("wish", [{"topic": "recent"}, {"lesson": "2"}, {"lesson": "take-off", "topic": "swing"}])
def test_a_wish_for_a_part_of_the_course_keeps_to_it_and_asks_all_of_it(school, hands, wish):
    hands.finish(school.begin(0))
    assert planned(school, 1, **wish) == sorted(TOPICS["recent" if wish == {"topic": "recent"} else "swing"])


def test_a_topic_of_another_lesson_leaves_nothing_to_ask(school):
    assert planned(school, 0, topic="swing", lesson="1") == []


def test_a_wish_goes_beyond_the_reach(school):
    school.set(next_lesson="aeroplane")
    assert planned(school, 0, topic="three-point") == sorted(TOPICS["three-point"])


@pytest.mark.parametrize(
    ("wish", "said"), [({"topic": "loops"}, "no topic 'loops'"), ({"lesson": "9"}, "no lesson '9'")]
)
def test_a_wish_for_what_the_plan_does_not_have_is_refused(school, wish, said):
    with pytest.raises(Refused, match=said):
        today.agenda(school.desk(), Wish(**wish))


def test_what_was_answered_wrong_outside_the_wish_does_not_come_back_inside_it(school, hands):
    hands.answer(school.begin(0, topic="swing"), right=False)
    asked, _ = hands.finish(school.begin(0, topic="three-point"))
    assert sorted(asked) == sorted(TOPICS["three-point"])


# Another aeroplane


def known(school, day):
    desk = school.desk(day)
    return {one.history: one.known for one in desk.grasp(desk.number) if one.known is not None}


@pytest.fixture
def on_the_first(school, hands):
    """A school whose student knows everything on the clockwise aeroplane."""
    hands.finish(school.begin(0, topic="recent"))
    hands.finish(school.begin(0, minutes=60))
    return school


def test_another_aeroplane_makes_unseen_exactly_what_uses_values_that_differ(on_the_first):
    before = set(ids(known(on_the_first, 1)))
    on_the_first.set(aircraft="bircham")
    assert sorted(before) == EVERYTHING
    assert before - set(ids(known(on_the_first, 1))) == {*USE_WHAT_DIFFERS, "heels"}  # the heel brakes are not there


def test_what_is_new_on_this_aeroplane_is_all_there_is_to_ask_and_says_so(on_the_first, hands):
    on_the_first.set(aircraft="bircham")
    session, elsewhere = on_the_first.begin(1), []
    while not hasattr(step := review.ask(session), "reason"):
        elsewhere.append((step.question.id, step.elsewhere))
        session, _ = hands.answer(session)
    assert sorted(elsewhere) == [(name, True) for name in USE_WHAT_DIFFERS]


def test_what_is_new_on_this_aeroplane_is_asked_before_what_was_never_seen_at_all(school, hands):
    hands.finish(school.begin(0, topic="numbers"))
    school.set(aircraft="bircham")
    assert planned(school, 1, questions=1) == ["approach"]


def test_changing_back_brings_back_what_was_known(on_the_first, hands):
    before = known(on_the_first, 3)
    on_the_first.set(aircraft="bircham")
    hands.finish(on_the_first.begin(1), lambda name: (False, "think"))
    on_the_first.set(aircraft="aldwick")
    after = known(on_the_first, 3)
    assert {history: after[history] for history in before if history[1]} == {
        history: value for history, value in before.items() if history[1]
    }


def test_an_answer_taken_back_is_not_taken_for_one_on_another_aeroplane(school, hands):
    hands.answer(school.begin(0, topic="three-point"))
    school.desk(0).undo()
    session, elsewhere = school.begin(1, topic="three-point"), []
    while not hasattr(step := review.ask(session), "reason"):
        elsewhere.append(step.elsewhere)
        session, _ = hands.answer(session)
    assert elsewhere == [False] * 3


def test_a_question_whose_answer_was_taken_back_is_not_asked_before_the_must_topics(school, hands):
    hands.answer(school.begin(0, topic="three-point"))
    school.desk(0).undo()
    school.set(next_lesson="landing")
    assert planned(school, 1, questions=1)[0] in TOPICS["swing"]


# The day at a glance


def test_a_first_day_at_a_glance(school):
    school.set(next_lesson="take-off")
    glance = today.glance(school.desk())
    assert (glance.questions, glance.minutes, glance.answered, glance.away) == (10, 4, 0, None)
    assert glance.about == ("Lesson 1: The aeroplane", "Lesson 2: Take-off")
    assert glance.weakest == ()


def test_a_day_that_is_done_has_nothing_more_to_come(school, hands):
    hands.finish(school.begin(0))
    glance = today.glance(school.desk(0))
    assert (glance.questions, glance.minutes, glance.about, glance.answered) == (0, 0, (), 13)


def test_a_day_whose_minutes_are_spent_has_nothing_more_to_come(school, hands):
    school.set(minutes=1)
    hands.answer(school.begin(0), seconds=60)
    glance = today.glance(school.desk(0))
    assert (glance.questions, glance.minutes) == (0, 0)


def test_minutes_to_come_never_exceed_those_left_of_the_day(school, hands):
    school.set(minutes=2)
    hands.answer(school.begin(0), seconds=100)
    assert today.glance(school.desk(0)).minutes == 1


def test_days_away_are_counted_from_the_last_answer_before_today(school, hands):
    hands.answer(school.begin(0))
    hands.answer(school.begin(9))
    assert today.glance(school.desk(9)).away == 9


def test_at_most_three_weak_topics_are_shown_worst_first(studied):
    glance = today.glance(studied.desk(42))
    assert glance.weakest == tuple(debrief.weak(studied.desk(42))[:3])
    assert len(glance.weakest) == 3


# With a date ahead


def ahead(school, days):
    return school.desk().day + timedelta(days=days)


def gained(school, day, **wish):
    """The questions of a plan by id, each with what it gains."""
    made = today.agenda(school.desk(day), Wish(**wish))
    return {ids([history])[0]: why.gain for history, why in made.why.items() if why.gain is not None}


def test_with_a_checkride_ahead_what_is_fresh_is_asked_too_as_long_as_it_gains(studied, oracle):
    studied.set(checkride=ahead(studied, 60))
    fresh = {name for name, known in oracle.known(3).items() if known >= TARGET}
    assert fresh
    assert set(planned(studied, 3, minutes=60)) >= fresh


def test_the_gain_of_a_question_is_what_the_memory_library_expects_of_its_two_outcomes(studied, oracle):
    studied.set(checkride=ahead(studied, 30))
    found = gained(studied, 12, minutes=60)
    before = oracle.known(30)
    for name, gain in found.items():
        card = oracle.cards[name]
        right = oracle.scheduler.get_card_retrievability(card, oracle.noon(12))
        after = 0.0
        for chance, rating in ((right, Rating.Good), (1 - right, Rating.Again)):
            answered, _ = oracle.scheduler.review_card(card, rating, oracle.noon(12))
            recall = oracle.scheduler.get_card_retrievability(answered, oracle.noon(30))
            after += chance * float(curve.known(recall, GUESS[name]))
        assert gain == pytest.approx(after - before[name], abs=1e-9), name
    assert len(found) > 8


def test_the_chosen_never_gain_less_than_nothing(studied):
    for day, date in ((3, 4), (3, 40), (40, 41), (40, 400)):
        studied.set(checkride=ahead(studied, date))
        assert min(gained(studied, day, minutes=60).values()) >= 0


def test_with_a_date_ahead_too_the_plan_of_a_day_stays_whatever_is_answered_on_it(studied, hands):
    studied.set(checkride=ahead(studied, 30))
    before = today.agenda(studied.desk(12), Wish())
    session = studied.begin(12)
    for right in (True, False, True):
        session, _ = hands.answer(session, right=right, confidence="sure")
    assert today.agenda(studied.desk(12), Wish()) == before == today.agenda(session.desk, Wish())


def test_with_a_date_ahead_the_minutes_still_bound_the_day(school):
    school.set(minutes=1, checkride=ahead(school, 30))
    assert len(planned(school, 0)) == 3


def test_the_unseen_question_comes_before_the_strong_one(school, hands):
    for day in (0, 2, 13):
        hands.finish(school.begin(day, topic="swing"))
    school.set(checkride=ahead(school, 40))
    assert planned(school, 14, questions=1)[0] not in TOPICS["swing"]


def test_for_a_lesson_its_topics_and_those_before_it_come_first(school):
    school.set(next_lesson="take-off", next_on=ahead(school, 2), checkride=ahead(school, 40))
    first = planned(school, 0, questions=10)
    assert not set(first) & set(TOPICS["three-point"])
    assert set(planned(school, 0, minutes=60)) >= {*first, *TOPICS["three-point"]}


def test_before_a_lesson_without_a_later_date_nothing_new_is_asked_beyond_it(school):
    school.set(next_lesson="take-off", next_on=ahead(school, 2))
    assert not set(planned(school, 0, minutes=60)) & set(TOPICS["three-point"])


def test_a_wish_keeps_to_its_part_with_a_date_ahead_and_asks_all_of_it(school, hands):
    hands.finish(school.begin(0, topic="swing"))
    school.set(next_lesson="aeroplane", next_on=ahead(school, 2))
    assert planned(school, 1, topic="swing") == sorted(TOPICS["swing"])


def test_past_the_date_the_day_is_what_it_is_without_one(studied):
    without = today.agenda(studied.desk(12), Wish())
    studied.set(checkride=ahead(studied, 11), next_lesson="landing", next_on=ahead(studied, 5))
    past = today.agenda(studied.desk(12), Wish())
    assert past.order == without.order


def test_a_misbelief_comes_first_with_a_date_ahead_and_is_the_reason(school, hands):
    hands.finish(school.begin(0), lambda name: (name != "hold-off", "sure"))
    school.set(checkride=ahead(school, 40))
    made = today.agenda(school.desk(1), Wish(questions=1))
    (why,) = made.why.values()
    assert (ids(made.order), why.candidate.first, why.sure_but_wrong) == (["hold-off"], True, True)


def test_without_a_date_a_reason_says_how_a_question_stands(studied):
    made = today.agenda(studied.desk(12), Wish())
    assert all((why.gain, why.candidate.known is None) == (None, False) for why in made.why.values())


def test_other_states_questions_come_late_to_those_who_ask_for_them(school, course_folder, tmp_path):
    deck = "---\ntopic: three-point\n---\n\n## And there? {#there rules=faa}\n\n- [x] A\n- [ ] B\n"
    own = shutil.copytree(course_folder, tmp_path / "own")
    (own / "law.md").write_text(deck)
    school = replace(school, course=folder.load(own))
    school.set(abroad=True)
    desk = school.desk()
    assert [one.history[0] for one in today.candidates(desk, desk.past) if one.late] == ["tw/there"]
