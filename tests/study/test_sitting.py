from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.memory.past import Past, Row
from stickback.study.sitting import Agenda, Sitting, cost, costs, resume

WRONG, RIGHT = False, True


def row(name, right=RIGHT, seconds=10.0, kind="choice", number=0):
    """An answer to a question that uses no values."""
    return Row(f"id{number:03}", "answer", 0, name, "", kind, "", "think", False, right, seconds, None)


def rows(*answers):
    return [row(name, right, number=number) for number, (name, right) in enumerate(answers)]


def plan(names):
    return tuple((name, "") for name in names)


def agenda(names, within="", chains=()):
    """The questions of a day, those that may come back, and pairs of which one is asked after the other."""
    after = {(one, ""): (other, "") for one, other in chains}
    return Agenda(plan(names), frozenset(plan(within)), after)


def queue(names, *answers, voided=(), within=None):
    """What is still to come of a plan, as one text."""
    asked = agenda(names, names if within is None else within)
    return "".join(name for name, _ in resume(asked, rows(*answers), voided).queue)


def test_before_any_answer_the_plan_is_to_come():
    assert resume(agenda("abc"), [], ()) == Sitting((("a", ""), ("b", ""), ("c", "")), 0, 0.0)


def test_what_was_answered_right_is_done():
    assert queue("abcd", ("a", RIGHT), ("b", RIGHT)) == "cd"


def test_a_wrong_answer_is_the_third_question_from_then():
    assert queue("abcdef", ("a", WRONG)) == "bcadef"


def test_a_wrong_answer_near_the_end_is_the_last_question():
    assert queue("ab", ("a", WRONG)) == "ba"


def test_a_day_of_one_question_does_not_repeat_it():
    assert queue("a", ("a", WRONG)) == ""


def test_a_wrong_answer_comes_back_twice_and_no_more():
    others = [(name, RIGHT) for name in "bcdefg"]
    wrong = ("a", WRONG)
    assert [queue("abcdefg", *others, *[wrong] * times) for times in (1, 2, 3)] == ["a", "a", ""]


def test_where_all_is_wrong_a_day_holds_two_different_questions_for_each_repeat():
    names = [f"q{n}" for n in range(20)]
    answered = []
    while to_come := resume(agenda(names, names), answered, ()).queue:
        answered.append(row(to_come[0][0], WRONG, number=len(answered)))
    assert (len(answered), len({one.question for one in answered})) == (30, 20)


def test_a_question_put_right_when_it_came_back_is_done():
    assert queue("abcd", ("a", WRONG), ("b", RIGHT), ("c", RIGHT), ("a", RIGHT)) == "d"


def test_an_answer_taken_back_is_not_asked_again_that_day():
    assert queue("abcd", ("a", WRONG), voided={"id000"}) == "bcd"


def test_a_second_wrong_answer_taken_back_is_not_asked_again_that_day():
    answers = [("a", WRONG), ("b", RIGHT), ("c", RIGHT), ("a", WRONG)]
    assert queue("abcd", *answers, voided={"id003"}) == "d"


def test_a_wrong_answer_outside_what_may_be_asked_does_not_come_back():
    assert queue("bc", ("a", WRONG), within="bc") == "bc"


def test_a_wrong_answer_outside_the_plan_comes_back_where_it_may_be_asked():
    assert queue("bcd", ("a", WRONG), within="abcd") == "bcad"


def test_the_same_question_on_another_aeroplane_is_another_question():
    elsewhere = [row("a")._replace(variant="other")]
    assert resume(agenda("ab"), elsewhere, ()).queue == (("a", ""), ("b", ""))


def lived(names, outcomes):
    """The answers of a day on which what is to come is answered with one outcome after the other."""
    answered, voided = [], set()
    for outcome in outcomes:
        to_come = resume(agenda(names, names), answered, voided).queue
        if not to_come:
            break
        answered.append(row(to_come[0][0], outcome == "right", number=len(answered)))
        voided |= {answered[-1].id} if outcome == "voided" else set()
    return answered, voided


OUTCOMES = st.lists(st.sampled_from(("right", "wrong", "wrong", "voided")), max_size=40)


@given(st.integers(1, 9), OUTCOMES)
def test_leaving_after_any_answer_and_going_on_leaves_the_same_rest(size, outcomes):
    names = "abcdefghi"[:size]
    answered, voided = lived(names, outcomes)
    to_come = resume(agenda(names, names), answered, voided).queue
    if to_come:
        more = [*answered, row(to_come[0][0], RIGHT, number=len(answered))]
        assert resume(agenda(names, names), more, voided).queue == to_come[1:]


@given(st.integers(1, 9), OUTCOMES)
def test_repeats_are_few_far_apart_and_never_of_what_is_right(size, outcomes):
    answered, voided = lived("abcdefghi"[:size], outcomes)
    places = {}
    for place, one in enumerate(answered):
        places.setdefault(one.question, []).append(place)
    assert sum(len(each) - 1 for each in places.values()) * 2 <= len(places)
    for question, askings in places.items():
        assert len(askings) <= 3
        for before, after in pairwise(askings):
            assert not answered[before].right
            assert answered[before].id not in voided
            assert after - before >= 3 or len(places) == size, question


def chained(names, chains, *answers, voided=(), within="abcdef"):
    """What is still to come of a plan in which each pair of `chains` is asked one after the other."""
    return "".join(name for name, _ in resume(agenda(names, within, chains), rows(*answers), voided).queue)


def test_what_goes_on_from_a_question_is_asked_straight_after_it():
    assert chained("abc", ["ad"]) == "abc"
    assert chained("abc", ["ad"], ("a", RIGHT)) == "dbc"


def test_what_goes_on_and_stands_in_the_plan_is_asked_once():
    assert chained("abcd", ["ad"], ("a", RIGHT)) == "dbc"
    assert chained("abcd", ["ad"], ("a", RIGHT), ("d", RIGHT)) == "bc"


def test_a_chain_goes_on_as_long_as_it_is():
    chains = ["ad", "de", "ef"]
    assert chained("ab", chains, ("a", RIGHT), ("d", RIGHT)) == "eb"
    assert chained("ab", chains, ("a", RIGHT), ("d", RIGHT), ("e", RIGHT)) == "fb"
    assert chained("ab", chains, ("a", RIGHT), ("d", RIGHT), ("e", RIGHT), ("f", RIGHT)) == "b"


def test_each_question_of_a_chain_has_its_own_mark():
    assert chained("ab", ["ad"], ("a", WRONG)) == "dba"
    assert chained("ab", ["ad"], ("a", WRONG), ("d", RIGHT)) == "ba"
    assert chained("abc", ["ad"], ("a", RIGHT), ("d", WRONG)) == "bcd"


def test_a_chain_goes_on_only_once_a_day():
    wrong_twice = [("a", WRONG), ("d", RIGHT), ("b", RIGHT), ("a", WRONG)]
    assert chained("abc", ["ad"], *wrong_twice) == "ca"
    assert chained("da", ["ad"], ("d", RIGHT), ("a", RIGHT)) == ""


def test_what_came_back_already_and_goes_on_from_another_question_is_not_brought_forward():
    assert chained("dabc", ["ad"], ("d", WRONG), ("a", RIGHT)) == "bdc"


def test_a_chain_goes_on_only_inside_what_may_be_asked():
    assert chained("abc", ["ad"], ("a", RIGHT), within="abc") == "bc"
    assert chained("abc", ["ad", "de"], ("a", RIGHT), within="abce") == "bc"


def test_a_chain_goes_on_from_an_answer_taken_back_too():
    assert chained("ab", ["ad"], ("a", WRONG), voided={"id000"}) == "db"


def test_a_chain_that_leads_back_ends():
    assert chained("ab", ["ad", "da"], ("a", RIGHT), ("d", RIGHT)) == "b"
    assert chained("a", ["aa"], ("a", RIGHT)) == ""


@given(st.lists(st.sampled_from(("right", "wrong")), max_size=40))
def test_a_sitting_with_chains_ends_whatever_is_answered(outcomes):
    chains, answered = ["ad", "de", "bd", "cf"], []
    while (to_come := chained("abc", chains, *answered)) and outcomes:
        assert len(set(to_come)) == len(to_come)
        answered.append((to_come[0], outcomes.pop() == "right"))
    assert len(answered) <= 3 * 6


def test_a_sitting_counts_its_askings_and_their_seconds():
    sitting = resume(agenda("ab"), [row("a", seconds=12.5), row("b", seconds=None, number=1)], ())
    assert (sitting.answered, sitting.seconds) == (2, 12.5)


def test_an_answer_taken_back_took_its_time_all_the_same():
    assert resume(agenda("a"), [row("a", seconds=30)], {"id000"}).seconds == 30


def test_no_answer_counts_for_more_than_two_minutes():
    assert resume(agenda("a"), [row("a", seconds=3600)], ()).seconds == 120


def of(*answers):
    """The costs after answers that were given to a question of each kind."""
    found = Past(tuple(row(kind, seconds=seconds, kind=kind, number=n) for n, (kind, seconds) in enumerate(answers)))
    return costs(found.columns, {kind: kind for kind in ("choice", "explain", "radio")})


def test_a_question_costs_the_students_median_seconds_for_its_kind():
    assert of(("choice", 5), ("explain", 60), ("choice", 7), ("choice", 90)) == {"choice": 7, "explain": 60}


def test_one_long_answer_is_capped_before_the_median():
    assert of(("explain", 100), ("explain", 5000)) == {"explain": 110}


def test_an_answer_to_what_the_course_has_no_more_says_nothing():
    assert of(("gone", 5)) == {}


@pytest.mark.parametrize(("found", "seconds"), [({}, 20), ({"choice": 8.5}, 8.5), ({"choice": 0.2}, 1)])
def test_a_kind_never_answered_costs_twenty_seconds_and_none_costs_less_than_one(found, seconds):
    assert cost(found, "choice") == seconds
