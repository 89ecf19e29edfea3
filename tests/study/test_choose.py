from itertools import pairwise, permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stickback.study.candidate import Candidate, of_assumed
from stickback.study.choose import AWAY_DAYS, Budget, choose
from stickback.study.order import arrange

TARGET = 0.9
FLAGS = ("must", "assumed", "first", "elsewhere", "numbers")


def candidate(name, topic="t", known=None, *, seconds=20.0, lesson=1, place=0, **flags):
    """A candidate; unseen unless `known` is given."""
    return Candidate(
        history=(f"tw/{name}", ""),
        topic=topic,
        place=place,
        lesson=lesson,
        known=known,
        seconds=seconds,
        **dict.fromkeys(FLAGS, False) | flags,
    )


def names(chosen):
    return [one.history[0].removeprefix("tw/") for one in chosen]


def chosen(candidates, questions, *, student="me", reach=None, away=1, fresh=False):
    """The names of what is chosen for a number of questions, sorted: which they are, not in which order."""
    budget = Budget(questions=questions)
    return sorted(names(choose(candidates, budget, student, TARGET, reach=reach, away=away, fresh=fresh)))


def in_turn(candidates, **wish):
    """The names in the order in which a growing number of questions brings them in."""
    found = [chosen(candidates, many, **wish) for many in range(len(candidates) + 1)]
    found[0] = []  # a sitting has one question at the least
    return [next(iter(set(more) - set(less))) for less, more in pairwise(found) if len(more) > len(less)]


@st.composite
def candidates(draw, first=False, most=12):
    """Rusty, known well and unseen questions of a few topics; none is a misbelief unless asked for."""
    some = st.builds(
        lambda topic, known, seconds, must, first: (topic, known, seconds, must, first),
        st.sampled_from("abc"),
        st.none() | st.floats(0, 1),
        st.integers(1, 120),
        st.booleans(),
        st.booleans() if first else st.just(False),
    )
    return [
        candidate(f"q{n}", topic, known, seconds=float(seconds), place=ord(topic), must=must, first=first)
        for n, (topic, known, seconds, must, first) in enumerate(draw(st.lists(some, max_size=most)))
    ]


# What comes first


def test_a_misbelief_comes_before_what_is_known_less():
    assert chosen([candidate("rusty", known=0.1), candidate("belief", known=0.5, first=True)], 1) == ["belief"]


def test_a_misbelief_is_asked_even_where_its_recall_is_above_the_target():
    assert chosen([candidate("belief", known=0.99, first=True), candidate("fresh", known=0.99)], 9) == ["belief"]


def test_what_comes_first_takes_at_most_half_the_questions():
    behind = [candidate(f"behind{n}", known=0.95, first=True) for n in range(4)]
    rusty = [candidate(f"rusty{n}", known=0.5) for n in range(4)]
    assert chosen([*behind, *rusty], 4) == ["behind0", "behind1", "rusty0", "rusty1"]


def test_what_comes_first_takes_at_most_half_the_minutes():
    behind = [candidate(f"behind{n}", known=0.95, seconds=30, first=True) for n in range(4)]
    rusty = [candidate(f"rusty{n}", known=0.5, seconds=20) for n in range(4)]
    found = choose([*behind, *rusty], Budget(120), "me", TARGET, reach=None, away=1)
    assert sorted(names(found)) == ["behind0", "behind1", "rusty0", "rusty1", "rusty2"]


def test_of_what_comes_first_the_lowest_known_is_taken():
    behind = [candidate(name, known=known, first=True) for name, known in (("a", 0.95), ("b", 0.2), ("c", 0.93))]
    assert in_turn(behind)[0] == "b"


def test_an_unseen_question_behind_a_flown_error_is_asked_beyond_the_reach():
    assert chosen([candidate("behind", lesson=5, first=True)], 1, reach=1) == ["behind"]


def test_rusty_questions_of_must_topics_come_before_those_known_less():
    assert chosen([candidate("less", known=0.1), candidate("must", known=0.8, must=True)], 1) == ["must"]


@given(st.lists(st.floats(0, 0.89), min_size=1, max_size=8, unique=True), st.data())
def test_of_the_rusty_questions_the_lowest_known_are_asked(values, data):
    many = data.draw(st.integers(1, len(values)))
    rusty = [candidate(f"q{n}", known=value) for n, value in enumerate(values)]
    lowest = sorted(rusty, key=lambda one: one.known)[:many]
    assert chosen(rusty, many) == sorted(names(lowest))


def test_what_is_known_at_the_target_is_not_asked():
    assert chosen([candidate("at", known=TARGET), candidate("below", known=0.8999)], 9) == ["below"]


def test_what_is_known_well_is_asked_on_request_once_nothing_else_is_left_lowest_first():
    fresh = [candidate("best", known=0.99), candidate("good", known=0.92)]
    assert in_turn([*fresh, candidate("new"), candidate("rusty", known=0.2)], fresh=True)[2:] == ["good", "best"]


# Rusty and unseen


def test_rusty_and_unseen_questions_alternate():
    both = [candidate(f"{kind}{n}", known=known) for n in range(3) for kind, known in (("new", None), ("rusty", n / 9))]
    assert [name[:3] for name in in_turn(both)] == ["rus", "new", "rus", "new", "rus", "new"]


@settings(max_examples=50)
@given(candidates())
def test_at_every_point_unseen_questions_took_at_most_half_the_time_while_anything_is_rusty(some):
    rusty = {one.history for one in some if one.known is not None and one.known < TARGET}
    for many in range(1, len(some) + 1):
        found = choose(some, Budget(questions=many), "me", TARGET, reach=None, away=1)
        if rusty - {one.history for one in found}:
            new = sum(one.seconds for one in found if one.known is None)
            assert 2 * new <= sum(one.seconds for one in found)


@settings(max_examples=50)
@given(candidates(first=True))
def test_with_time_enough_all_that_is_rusty_unseen_or_comes_first_is_asked_once(some):
    due = [one.history for one in some if one.first or one.known is None or one.known < TARGET]
    found = choose(some, Budget(), "me", TARGET, reach=None, away=1)
    assert sorted(one.history for one in found) == sorted(due)


def test_unseen_questions_come_only_up_to_the_reach():
    new = [candidate(f"lesson{n}", lesson=n) for n in (1, 2, 3)]
    assert chosen(new, 9, reach=2) == ["lesson1", "lesson2"]


def test_rusty_questions_come_from_beyond_the_reach_too():
    assert chosen([candidate("later", known=0.3, lesson=3)], 9, reach=1) == ["later"]


def test_without_a_reach_unseen_questions_follow_the_lessons():
    new = [candidate(f"lesson{n}", lesson=n, must=n == 3, place=n) for n in (3, 1, 2)]
    assert in_turn(new) == ["lesson1", "lesson2", "lesson3"]


def test_within_the_reach_unseen_must_topics_come_first_and_then_the_plan():
    new = [candidate(f"lesson{n}", lesson=n, must=n == 3, place=n) for n in (2, 3, 1)]
    assert in_turn(new, reach=3) == ["lesson3", "lesson1", "lesson2"]


def test_what_is_new_on_this_aeroplane_comes_before_anything_else_unseen():
    new = [candidate("must", must=True), candidate("other-side", lesson=9, place=9, elsewhere=True)]
    assert in_turn(new) == ["other-side", "must"]


def test_a_question_of_a_lesson_taught_beside_the_others_follows_every_third():
    new = [candidate(f"plan{n}", f"topic{n}", lesson=1, place=n) for n in range(6)]
    beside = [candidate(f"beside{n}", f"radio{n}", lesson=0, place=9 + n) for n in range(3)]
    order = ["plan0", "plan1", "plan2", "beside0", "plan3", "plan4", "plan5", "beside1", "beside2"]
    assert in_turn([*beside, *new]) == order


# The order inside a topic

TOPIC = [candidate(f"q{n}") for n in range(5)]


def test_the_order_inside_a_topic_is_the_students_own():
    assert len({tuple(in_turn(TOPIC, student=name)) for name in ("ada", "bea", "cyd", "dot")}) > 1


def test_the_order_inside_a_topic_does_not_hang_on_the_order_in_the_deck():
    assert {tuple(in_turn(list(order))) for order in permutations(TOPIC)} == {tuple(in_turn(TOPIC))}


def test_the_order_inside_a_topic_stays_when_questions_are_added():
    more = in_turn([*TOPIC, candidate("added"), candidate("too")])
    assert [name for name in more if name.startswith("q")] == in_turn(TOPIC)


def test_every_question_of_a_topic_is_about_equally_often_a_students_first():
    firsts = [chosen(TOPIC, 1, student=f"student{n}")[0] for n in range(500)]
    assert all(70 <= firsts.count(one) <= 130 for one in names(TOPIC))


# The order of asking


def neighbours(topics):
    """How often two neighbours are of one topic."""
    return sum(a == b for a, b in pairwise(topics))


def fewest(first, middle, last):
    """The fewest neighbours of one topic in any order of the middle."""
    return min(neighbours([first, *order, last]) for order in permutations(middle))


SHORT = [topics for size in range(3, 8) for topics in product("abc", repeat=size)]


def test_no_order_of_a_short_list_has_fewer_neighbours_of_one_topic():
    wrong = []
    for topics in SHORT:
        some = [candidate(f"q{n}", topic, 0.5 if n < 2 else 0.1) for n, topic in enumerate(topics)]
        found = [one.topic for one in arrange(some)]
        first, last, *middle = topics
        if neighbours(found) > 0 and neighbours(found) > fewest(first, middle, last):
            wrong.append((topics, found))
    assert wrong == []


@given(st.lists(st.floats(0, 1), min_size=2, max_size=9, unique=True))
def test_the_first_and_the_last_are_the_two_likeliest_to_be_right(values):
    found = arrange([candidate(f"q{n}", known=value) for n, value in enumerate(values)])
    assert {found[0].known, found[-1].known} == set(sorted(values)[-2:])


@settings(max_examples=50)
@given(candidates(first=True))
def test_arranging_loses_and_doubles_nothing(some):
    assert sorted(names(arrange(some))) == sorted(names(some))


def test_an_unseen_question_is_neither_first_nor_last_where_two_are_known():
    found = arrange([candidate("new"), candidate("newer"), candidate("a", known=0.2), candidate("b", known=0.1)])
    assert names(found) == ["a", "new", "newer", "b"]


# After a long time away

AWAY = [
    candidate("plain", known=0.1),
    candidate("numbers", known=0.7, numbers=True),
    candidate("must", known=0.8, must=True),
]


@pytest.mark.parametrize(
    ("away", "order"),
    [
        (None, ["must", "plain", "numbers"]),
        (AWAY_DAYS - 1, ["must", "plain", "numbers"]),
        (AWAY_DAYS, ["must", "numbers", "plain"]),
    ],
)
def test_after_three_weeks_away_must_topics_and_this_aeroplanes_numbers_come_first(away, order):
    assert (AWAY_DAYS, in_turn(AWAY, away=away)) == (21, order)


def test_nothing_is_new_on_the_first_day_after_a_long_time_away():
    some = [candidate("new"), candidate("elsewhere", elsewhere=True), candidate("error", first=True)]
    some += [candidate("seen", known=0.5), candidate("fresh", known=0.95)]
    assert (chosen(some, 9, away=AWAY_DAYS), dated(some, some, 9, away=AWAY_DAYS)) == (["seen"], ["seen"])


def test_after_a_long_time_away_must_topics_and_numbers_take_turns():
    must = [candidate(f"must{n}", known=0.1, must=True) for n in range(4)]
    numbers = [candidate(f"numbers{n}", known=0.5, numbers=True) for n in range(4)]
    assert [name[:4] for name in in_turn([*must, *numbers], away=AWAY_DAYS)] == ["must", "numb"] * 4


# The first days


OPENING = [candidate("numbers", opening=5), candidate("tail", opening=0), candidate("feet", opening=2, must=True)]


def first_day(candidates, questions=9, *, day=1, away=None, **more):
    budget = Budget(questions=questions)
    return names(choose(candidates, budget, "me", TARGET, reach=None, away=away, day=day, **more))


def test_a_newcomer_begins_with_what_the_plan_names_in_its_order():
    others = [candidate(f"other{n}", f"topic{n}", must=True) for n in range(9)]
    assert first_day([*others, *OPENING], 6)[:3] == ["tail", "feet", "numbers"]


def test_a_newcomer_with_a_date_begins_in_the_same_way():
    others = [candidate(f"other{n}", f"topic{n}", must=True) for n in range(9)]
    assert first_day([*others, *OPENING], 6, dated=others, only_dated=True)[:3] == ["tail", "feet", "numbers"]


@pytest.mark.parametrize(("flag", "begins"), [({"lesson": 0}, 3), ({"late": True}, 5)])
def test_radio_and_law_are_new_only_after_some_days(flag, begins):
    some = [candidate(f"plan{n}", f"topic{n}", known=0.1) for n in range(9)] + [candidate("new", **flag)]
    asked = [day for day in range(1, 9) if "new" in first_day(some, 20, day=day, away=1, dated=some)]
    assert asked == list(range(begins, 9))


@given(st.lists(st.booleans(), max_size=20), st.integers(3, 28), st.booleans())
def test_in_the_first_weeks_the_radio_is_one_question_in_four_at_most(beside, day, with_a_date):
    some = [candidate(f"q{n}", f"t{n}", known=0.1, lesson=0 if radio else 1) for n, radio in enumerate(beside)]
    found = first_day(some, 20, day=day, away=1, dated=some if with_a_date else ())
    radio = sum(beside[int(name[1:])] for name in found)
    assert 4 * radio <= len(found)


def test_later_the_radio_fills_what_nothing_else_wants():
    some = [candidate(f"q{n}", f"t{n}", known=0.1, lesson=0) for n in range(4)]
    assert (len(first_day(some, day=28, away=1)), len(first_day(some, day=29, away=1))) == (0, 4)


@pytest.mark.parametrize(("day", "asked"), [(3, 0), (28, 0), (29, 1)])
def test_a_chain_of_calls_is_begun_after_the_first_weeks(day, asked):
    some = [candidate("call", "radio", lesson=0, chained=True), *(candidate(f"q{n}", f"t{n}") for n in range(4))]
    assert first_day(some, day=day, away=1).count("call") == asked


def test_a_chain_is_begun_at_once_where_the_end_of_the_course_is_near():
    some = [*(candidate(f"q{n}", f"t{n}") for n in range(4)), candidate("call", "radio", lesson=0, chained=True)]
    near, far = (first_day(some, day=9, away=1, dated=some, only_dated=True, far=far) for far in (False, True))
    assert ("call" in near, "call" in far) == (True, False)


def test_a_chain_that_was_begun_comes_back_like_anything_else():
    some = [candidate("call", "radio", known=0.1, lesson=0, chained=True), *(candidate(f"q{n}") for n in range(4))]
    assert "call" in first_day(some, day=9, away=1)


def test_the_plan_comes_in_passes_of_three_questions_a_topic_and_what_can_wait_a_pass_later():
    some = [
        candidate(f"{topic}{n}", topic, lesson=place, place=place, late=topic == "law")
        for place, topic in enumerate(("law", "tail", "feet"), 1)
        for n in range(4)
    ]
    order = [name[:-1] for name in in_turn(some)]
    assert order == ["tail"] * 3 + ["feet"] * 3 + ["law"] * 3 + ["tail", "feet", "law"]


def test_with_a_far_date_what_is_new_comes_in_plan_order_at_the_places_that_gain_gives_it():
    new = [candidate(f"new{n}", f"topic{n}", lesson=n, place=n) for n in (3, 1, 2)]
    ranked = [new[0], candidate("rusty", known=0.3), *new[1:]]
    near, far = (first_day(ranked, many, day=9, away=1, dated=ranked, only_dated=True, far=True) for many in (2, 3))
    assert (sorted(near), sorted(far)) == (["new1", "rusty"], ["new1", "new2", "rusty"])


# Assumed topics


def assumed(many, **known):
    return [candidate(f"q{n}", "old", known.get(f"q{n}"), assumed=True) for n in range(many)]


@pytest.mark.parametrize(("questions", "asked"), [(1, 1), (4, 1), (5, 2), (8, 2), (9, 3)])
def test_of_an_assumed_topic_one_question_in_four_is_asked(questions, asked):
    assert len(of_assumed(assumed(questions), frozenset(), "me")) == asked


def test_a_miss_opens_the_rest_of_an_assumed_topic():
    assert of_assumed(assumed(8), frozenset({"old"}), "me") == assumed(8)


def test_a_miss_in_one_assumed_topic_does_not_open_another():
    assert len(of_assumed(assumed(8), frozenset({"other"}), "me")) == 2


def test_once_the_quarter_was_answered_an_assumed_topic_brings_nothing_new():
    quarter = names(of_assumed(assumed(8), frozenset(), "me"))
    answered = assumed(8, **dict.fromkeys(quarter, 0.95))
    assert names(of_assumed(answered, frozenset(), "me")) == quarter


def test_a_question_of_an_assumed_topic_that_was_answered_stays():
    rest = set(names(assumed(8))) - set(names(of_assumed(assumed(8), frozenset(), "me")))
    seen = min(rest)
    assert seen in names(of_assumed(assumed(8, **{seen: 0.5}), frozenset(), "me"))


def test_the_quarter_of_an_assumed_topic_is_the_students_own():
    assert len({tuple(names(of_assumed(assumed(8), frozenset(), name))) for name in ("ada", "bea", "cyd", "dot")}) > 1


def test_other_topics_lose_nothing_to_the_rule_of_assumed_ones():
    assert of_assumed(TOPIC, frozenset(), "me") == TOPIC


# The budget


@given(candidates(first=True), st.floats(0, 600), st.integers(0, 12))
def test_the_budget_is_kept_but_for_a_single_question(some, seconds, questions):
    found = choose(some, Budget(seconds, questions), "me", TARGET, reach=None, away=1, fresh=True)
    assert len(found) <= 1 or (sum(one.seconds for one in found) <= seconds and len(found) <= questions)


@settings(max_examples=50)
@given(candidates(first=True), st.floats(0, 600))
def test_there_is_a_question_however_small_the_budget(some, seconds):
    found = choose(some, Budget(seconds), "me", TARGET, reach=None, away=1, fresh=True)
    assert bool(found) == bool(some)


def test_half_a_budget_is_half_the_seconds_and_half_the_questions():
    assert Budget(60, 5).half() == Budget(30, 2.5)


# With a date ahead


def dated(candidates, ahead, questions, **more):
    """The names of what is chosen with a date ahead, in the order in which a growing number brings them in."""
    found = []
    for many in range(1, questions + 1):
        budget = Budget(questions=many)
        wish = {"reach": None, "away": 1, "dated": ahead, **more}
        found += [name for name in names(choose(candidates, budget, "me", TARGET, **wish)) if name not in found]
    return found


def test_what_is_worth_asking_for_the_date_comes_in_its_order_and_before_all_else():
    some = [candidate("rusty", known=0.1, must=True), candidate("second", known=0.8), candidate("best")]
    assert dated(some, [some[2], some[1]], 3) == ["best", "second", "rusty"]


def test_nothing_else_is_asked_where_only_the_date_counts():
    some = [candidate("rusty", known=0.1), candidate("best")]
    assert dated(some, [some[1]], 2, only_dated=True) == ["best"]


def test_what_comes_first_still_takes_half_the_day_with_a_date_ahead():
    behind = [candidate(f"behind{n}", known=0.95, first=True) for n in range(4)]
    ahead = [candidate(f"ahead{n}", known=0.5) for n in range(4)]
    found = choose([*behind, *ahead], Budget(questions=4), "me", TARGET, reach=None, away=1, dated=[*ahead, *behind])
    assert sorted(names(found)) == ["ahead0", "ahead1", "behind0", "behind1"]


def test_what_comes_first_is_not_asked_twice_when_it_is_worth_asking_for_the_date_too():
    belief = candidate("belief", known=0.5, first=True)
    assert names(choose([belief], Budget(), "me", TARGET, reach=None, away=1, dated=[belief])) == ["belief"]


def test_what_is_new_on_this_aeroplane_comes_before_what_gains_more_for_the_date():
    some = [candidate("more"), candidate("other-side", elsewhere=True)]
    assert dated(some, some, 2) == ["other-side", "more"]


@pytest.mark.parametrize(
    ("away", "order"),
    [(AWAY_DAYS - 1, ["plain", "numbers", "must"]), (AWAY_DAYS, ["must", "numbers", "plain"])],
)
def test_after_three_weeks_away_must_topics_and_numbers_come_first_whatever_gains_more(away, order):
    assert dated(AWAY, AWAY, 3, away=away) == order


@settings(max_examples=50)
@given(candidates(first=True), st.floats(0, 600), st.integers(0, 12))
def test_the_budget_is_kept_with_a_date_ahead_too(some, seconds, questions):
    found = choose(some, Budget(seconds, questions), "me", TARGET, reach=None, away=1, dated=some[::2])
    assert len(found) <= 1 or (sum(one.seconds for one in found) <= seconds and len(found) <= questions)
    assert len({one.history for one in found}) == len(found)
