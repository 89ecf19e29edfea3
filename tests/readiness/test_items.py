import random

import pytest
from scipy import stats

from stickback.readiness import items as module
from stickback.readiness.items import Graded, Share, discrimination, items


def answer(student, question="q", right=True, **wishes):
    values = {"first": True, "sure": False, "seconds": 10.0, "revision": "r"}
    return Graded(student=student, question=question, right=right, **{**values, **wishes})


def one(answers, key=()):
    (found,) = [each for each in items(answers, {"q": key}) if each.question == "q"]
    return found


def test_shares_are_told_apart_at_first_sight_and_later():
    found = one([answer("a"), answer("b", right=False), answer("b", first=False), answer("a", first=False)])
    assert (found.first, found.later, found.answers, found.students) == (Share(1, 2), Share(2, 2), 4, 2)


def test_the_discrimination_is_worked_by_hand():
    # Rights 1 1 0 0, rests 0.8 0.6 0.6 0.2: the means differ by 0.3, the rests spread by 0.2179 (n), p = q = 0.5.
    found, many = discrimination([(True, 0.8), (True, 0.6), (False, 0.6), (False, 0.2)])
    assert (found, many) == (pytest.approx(0.3 * 0.5 / 0.2179449, abs=1e-6), 4)


@pytest.mark.parametrize("seed", range(8))
def test_the_discrimination_is_the_point_biserial_correlation_of_scipy(seed):
    rng = random.Random(seed)
    pairs = [(rng.random() < 0.6, rng.random()) for _ in range(5 + 7 * seed)]
    expected = stats.pointbiserialr(*zip(*pairs, strict=True)).statistic
    assert discrimination(pairs)[0] == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(("part", "of"), [(0, 10), (3, 7), (50, 60), (60, 60)])
def test_the_bounds_of_a_share_are_those_of_scipy(part, of):
    expected = stats.binomtest(part, of).proportion_ci(0.99, method="wilson")
    assert Share(part, of).bounds() == pytest.approx((expected.low, expected.high), abs=1e-4)


@pytest.mark.parametrize("pairs", [[], [(True, 0.5)], [(True, 0.5), (True, 0.6), (True, 0.9)], [(True, None)] * 9])
def test_where_too_few_met_it_or_all_were_alike_there_is_no_discrimination(pairs):
    assert discrimination(pairs)[0] is None


def test_a_student_who_met_few_other_questions_is_neither_strong_nor_weak():
    others = [answer("a", f"o{n}") for n in range(module.REST - 1)]
    assert one([answer("a"), *others]).judged == 0
    assert one([answer("a"), *others, answer("a", "one more")]).judged == 1


def test_options_are_counted_at_first_sight_with_how_often_they_were_sure():
    found = one(
        [answer("a", options=(1,), sure=True), answer("b", options=(2,), right=False, sure=True)], (True, False)
    )
    assert [(each.place, each.right, each.taken, each.sure) for each in found.options] == [
        (1, True, Share(1, 2), 1),
        (2, False, Share(1, 2), 1),
    ]


def test_each_revision_has_its_share_in_the_order_they_were_met():
    found = one([answer("a", revision="x"), answer("b", revision="y", right=False), answer("c", revision="x")])
    assert list(found.revisions.items()) == [("x", Share(2, 2)), ("y", Share(0, 1))]


def test_a_few_answers_are_never_enough_for_advice():
    wrong = [answer(f"s{n}", right=False, options=(2,), sure=True) for n in range(module.FEWEST - 1)]
    assert one(wrong, (True, False)).advice == ()
    assert one([*wrong, answer("more", right=False, options=(2,))], (True, False)).advice != ()


# Simulated cohorts: bad questions are planted among good ones


def cohort(seed, students=120, good=40):
    """The answers of students of different strength to good questions and to planted bad ones, and the keys.

    The chance to be right rises with the student's strength as in the model of Rasch (1960); who does not know takes
    one of the wrong options, the third seldom.
    """
    rng = random.Random(seed)
    strength = {f"s{n}": rng.gauss(0.8, 1.0) for n in range(students)}
    hard = {f"good{n}": rng.uniform(-0.5, 1.5) for n in range(good)}
    keys = dict.fromkeys((*hard, "wrong-key", "dead", "giveaway"), (True, False, False))
    answers = []
    for student, able in strength.items():
        for name in keys:
            knows = rng.random() < 1 / (1 + 2.718281828 ** (hard.get(name, 0.3) - 1.7 * able))
            took = 1 if knows else rng.choices((2, 3), (3, 1 if name in hard else 2))[0]
            if name == "wrong-key":  # the file marks the first option, the second is right
                took = {1: 2, 2: 1}.get(took, took)
            if name == "dead":
                took = 1 if knows else 2
            if name == "giveaway":
                took = 1
            answers.append(
                answer(student, name, took == 1, options=(took,), sure=rng.random() < (0.5 if knows else 0.1))
            )
    return answers, keys


@pytest.mark.parametrize("seed", range(10))
def test_planted_bad_questions_are_named_for_what_is_wrong_with_them(seed):
    told = {each.question: " ".join(each.advice) for each in items(*cohort(seed))}
    assert "check the key" in told["wrong-key"]
    assert "Nobody of 120 takes option 3" in told["dead"]
    assert "at first sight" in told["giveaway"]


def test_hardly_any_good_question_is_named():
    told = [each for seed in range(25) for each in items(*cohort(seed)) if each.question.startswith("good")]
    named = [each for each in told if each.advice]
    print(f"\n{len(named)} of {len(told)} good questions are named")
    assert len(named) <= 0.01 * len(told)
