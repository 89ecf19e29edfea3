"""The course that ships: it is the lesson plan that was agreed, and nothing in it stands without a source."""

import re

import pytest

from stickback.course.course import SOURCES
from stickback.reading import markup
from stickback.services import folder

# Lesson: its topics with the exam weight; * marks a must topic.
AGREED = """\
before-you-fly: who-may-fly 2, recent-landings 1, this-aeroplane 2, own-limits 1
why-the-tail-leads: gear-and-cg 2, swerve-grows 3, tailwheel-kinds 2, loading-and-surface 1
start-and-brakes: starting 2, hand-swinging 3*, feet-and-brakes 3*, run-up 2
taxiing: seeing-ahead 2, speed-and-turns 3, stick-for-wind 3*, weathercocking 2
take-off: yaw-causes 2, yaw-by-phase 2, raising-the-tail 3, keeping-straight 3, stopping-the-take-off 3*
circuit: circuit-speeds 2, eyes-and-height 2, sideslip 1, carburettor-ice 2, engine-failure 3*
saving-it: go-around 3*, balloon 2, bounce-and-porpoise 3*, swerve-recovery 3*, after-a-bang 1
three-point: three-point-attitude 2, hold-off 3, when-stick-back 3, roll-out 3
wheel-landing: wheel-touchdown 3, tail-coming-down 3, which-landing 2
crosswind: wind-sums 2, crosswind-limits 2, crosswind-take-off 3, crosswind-landing 3, crosswind-roll-out 3
radio: who-is-talking 3, words-and-figures 1, read-backs 3, circuit-calls 2, radio-out 1
wider-and-sign-off: short-and-soft 2, hot-and-high 1, other-propeller 2, after-a-break 2, the-oral 1
"""
LESSONS, TOPICS = 12, 53

NOTE = re.compile(r"\[\^([^\]\s]+)\]")
DEFINITION = re.compile(r"(?m)^\[\^([^\]\s]+)\]:")


@pytest.fixture(scope="module")
def shipped():
    return folder.load(folder.shipped())


@pytest.fixture(scope="module")
def has_source():
    defined = set(DEFINITION.findall(read(SOURCES)))

    def check(text):
        return "common practice" in text.casefold() or not defined.isdisjoint(NOTE.findall(text))

    return check


def read(name):
    return (folder.shipped() / name).read_text(encoding="utf-8")


def written(question):
    return "\n".join(read(question.file).splitlines()[question.line - 1 : question.end])


def test_the_shipped_course_has_no_problem_and_leaves_no_question_out(shipped):
    assert shipped.problems == ()
    assert shipped.left_out == ()


def test_the_lesson_plan_is_the_agreed_one_in_its_order(shipped):
    found = [
        f"{lesson.id}: " + ", ".join(f"{each.id} {each.weight}{'*' * each.must}" for each in lesson.topics)
        for lesson in shipped.plan.lessons
    ]
    assert found == AGREED.splitlines()


def test_the_lesson_plan_has_twelve_lessons_and_fifty_three_topics(shipped):
    assert (len(shipped.plan.lessons), len(shipped.plan.topics)) == (LESSONS, TOPICS)


def test_every_topic_is_asked_about(shipped):
    assert set(shipped.plan.topics) == {question.topic for question in shipped.questions.values()}


def test_every_question_names_a_source(shipped, has_source):
    bare = [(each.file, each.line, each.id) for each in shipped.questions.values() if not has_source(written(each))]
    assert bare == []


def test_every_topic_names_a_source(shipped, has_source):
    texts = {
        (each.file, each.line, each.id): " ".join(block.text for block in markup.every(each.blocks))
        for each in shipped.plan.topics.values()
    }
    assert [place for place, text in texts.items() if not has_source(text)] == []


def test_a_text_without_a_footnote_or_with_an_unknown_one_has_no_source(has_source):
    texts = ("It swings.", "It swings.[^nobody]", "It swings.[^phak5]", "Common practice, no more.")
    assert [has_source(text) for text in texts] == [False, False, True, True]
