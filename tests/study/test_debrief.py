from math import isclose

from hypothesis import given
from hypothesis import strategies as st

from stickback.course.course import Topic
from stickback.study.debrief import Grasp, weak

TARGET = 0.9


def topic(name, must=False):
    return Topic(
        id=name,
        lesson="take-off",
        title=name.title(),
        weight=1,
        must=must,
        assumed=False,
        blocks=(),
        file="lesson-plan.md",
        line=1,
    )


def standings(**topics):
    """How the questions of each topic stand, named after it: `swing-0`, `swing-1`."""
    return [
        Grasp((f"{name}-{n}", ""), name, known) for name, values in topics.items() for n, known in enumerate(values)
    ]


def debrief(misbeliefs=(), errors=None, must=(), **topics):
    found = [topic(name, name in must) for name in topics]
    return weak(found, standings(**topics), TARGET, {(name, "") for name in misbeliefs}, errors or {})


def names(found):
    return [one.topic.id for one in found]


def test_a_topic_whose_seen_questions_are_known_well_is_not_weak():
    assert names(debrief(swing=[0.95, 0.9], brakes=[0.95, 0.8])) == ["brakes"]


def test_a_topic_never_asked_is_not_weak():
    assert debrief(swing=[None, None], brakes=[]) == []


def test_the_worst_topic_comes_first():
    assert names(debrief(a=[0.7], b=[0.2], c=[0.5])) == ["b", "c", "a"]


def test_of_topics_known_alike_the_must_topic_comes_first():
    assert names(debrief(a=[0.5], b=[0.5], must=("b",))) == ["b", "a"]


def test_a_must_topic_known_better_comes_later():
    assert names(debrief(a=[0.5], b=[0.6], must=("b",))) == ["a", "b"]


def test_of_topics_alike_in_everything_the_plan_decides():
    assert names(debrief(c=[0.5], a=[0.5], b=[0.5])) == ["c", "a", "b"]


def test_what_went_wrong_in_flight_and_was_never_asked_comes_before_all():
    assert names(debrief(a=[0.0], b=[None], errors={"late-foot": ("b",)})) == ["b", "a"]


def test_a_topic_known_well_is_weak_while_a_misbelief_of_it_is_open():
    (one,) = debrief(a=[0.99, 0.95], misbeliefs=("a-1",))
    assert (one.misbeliefs, one.rusty) == ((("a-1", ""),), 0)


def test_a_topic_known_well_is_weak_while_an_error_with_it_behind_is_open():
    (one,) = debrief(a=[0.99], b=[0.99], errors={"late-foot": ("a", "gone"), "heel-drag": ("a",), "other": ("gone",)})
    assert (one.topic.id, one.errors) == ("a", ("late-foot", "heel-drag"))


def test_a_weak_topic_counts_what_was_seen_and_what_is_rusty():
    (one,) = debrief(a=[0.9, 0.6, None, 0.3])
    assert (one.seen, one.questions, one.rusty, round(one.known, 9)) == (3, 4, 2, 0.6)


@given(st.dictionaries(st.sampled_from("abcdef"), st.lists(st.none() | st.floats(0, 1), max_size=4)))
def test_weak_topics_are_those_below_the_target_on_the_whole_in_the_order_of_their_means(topics):
    means = {}
    for name, values in topics.items():
        seen = [value for value in values if value is not None]
        if seen:
            means[name] = sum(seen) / len(seen)
    found = debrief(**topics)
    assert all(isclose(one.known, means[one.topic.id], abs_tol=1e-12) for one in found)
    assert [one.known for one in found] == sorted(one.known for one in found)
    clear = {name for name, mean in means.items() if abs(mean - TARGET) > 1e-9}
    assert set(names(found)) & clear == {name for name in clear if means[name] < TARGET}
