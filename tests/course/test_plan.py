import pytest

from stickback.course import plan
from stickback.course.course import Seen
from stickback.reading import document

PLAN = """\
---
id: tailwheel
title: Tailwheel conversion
ends_with: club check
exam: {questions: 12, pass: 0.75}
revision: 3
---

# The course

## Lesson 1: Ground {#ground}

Aim.

### Brakes {#brakes weight=3 must=yes}

A brake is a heel away.

#### Errors seen

- {#dragging topics="brakes looking"} Taxi: a heel on the **brake**
- {#heads-down topics=looking} Taxi: looks at the floor

#### More

Text.

### Looking out {#looking assumed=yes}

## Lesson 2: Air {#air}

#### Errors seen

* {#late topics=brakes} Late
"""


def read(text=PLAN):
    return plan.read(document.of_text(text, "lesson-plan.md"))[0]


def found(text):
    return [(each.line, each.column, each.code) for each in plan.read(document.of_text(text, "lesson-plan.md"))[1]]


def with_front(lines):
    return f"---\n{lines}\n---\n# T\n## A {{#a}}\n### B {{#b}}\n"


def test_the_plan_of_the_tests_has_no_problem():
    assert found(PLAN) == []


def test_the_front_matter_says_what_the_course_is_and_how_it_ends():
    got = read()
    assert (got.id, got.title, got.ends_with) == ("tailwheel", "Tailwheel conversion", "club check")
    assert (got.exam_questions, got.exam_pass) == (12, 0.75)
    assert got.about == {"title": "Tailwheel conversion", "revision": "3"}


def test_what_the_front_matter_does_not_say_has_a_default():
    got = read(with_front("id: a"))
    assert (got.title, got.ends_with) == ("T", "checkride")
    assert (got.exam_questions, got.exam_pass) == (20, 0.8)


def test_lessons_are_numbered_and_hold_topics_in_order():
    got = read()
    assert [(each.number, each.id, each.title, each.line) for each in got.lessons] == [
        (1, "ground", "Lesson 1: Ground", 11),
        (2, "air", "Lesson 2: Air", 30),
    ]
    assert [(each.id, each.lesson) for each in got.topics.values()] == [("brakes", "ground"), ("looking", "ground")]


def test_a_topic_has_a_weight_and_may_be_a_must_or_assumed():
    topics = read().topics
    assert [(each.weight, each.must, each.assumed) for each in topics.values()] == [(3, True, False), (1, False, True)]


def test_the_front_page_is_what_stands_before_the_first_lesson_without_its_title():
    front = "# The course\n\nNot for flight.\n\n### A word\n\n"
    got = read(with_front("id: a").replace("## A", f"{front}## A"))
    assert [block.text for block in got.intro] == ["Not for flight.", "A word"]


def test_the_text_of_a_lesson_and_of_a_topic_is_kept_without_the_errors_seen():
    (ground, _) = read().lessons
    assert [each.text for each in ground.blocks] == ["Aim."]
    assert [each.text for each in ground.topics[0].blocks] == ["A brake is a heel away.", "More", "Text."]


def test_errors_seen_belong_to_the_lesson_wherever_in_it_they_are_listed():
    ground, air = read().lessons
    assert ground.errors[0] == Seen(
        "dragging", "Taxi: a heel on the **brake**", ("brakes", "looking"), 21, {"#": (21, 4), "topics": (21, 14)}
    )
    assert [each.id for each in ground.errors + air.errors] == ["dragging", "heads-down", "late"]


@pytest.mark.parametrize("ending", ["checkride", "endorsement", "differences", "club check"])
def test_a_course_may_end_with(ending):
    assert read(with_front(f"id: a\nends_with: {ending}")).ends_with == ending


@pytest.mark.parametrize(
    "exam",
    [
        "{questions: 0, pass: 0.8}",
        "{questions: 201, pass: 0.8}",
        "{questions: 20, pass: 0}",
        "{questions: 20, pass: 1.1}",
        "{questions: 20, pass: nan}",
        "{questions: many, pass: 0.8}",
        "{questions: 20}",
        "{questions: [20], pass: 0.8}",
        "20",
        "",
    ],
)
def test_an_exam_that_cannot_be_held_is_one_problem_and_the_default_stands(exam):
    text = with_front(f"id: a\nexam: {exam}")
    assert [code for _, _, code in found(text)] == ["front-value"]
    assert (read(text).exam_questions, read(text).exam_pass) == (20, 0.8)


@pytest.mark.parametrize("exam", ["{questions: 1, pass: 1}", "{questions: 200, pass: 0.01}"])
def test_an_exam_may_be_as_short_or_as_long_as_a_school_can_hold(exam):
    assert found(with_front(f"id: a\nexam: {exam}")) == []


def test_an_alias_stops_nothing():
    assert read(with_front("id: &a a\nexam: *a")).exam_questions == 20


@pytest.mark.parametrize(
    ("lines", "problem"),
    [
        ("title: a", (1, 1, "front-missing")),
        ("id: A b", (2, 5, "front-value")),
        ("id: a\ntopic: b", (3, 1, "front-key")),
        ("id: a\nends_with: beer", (3, 12, "front-value")),
    ],
)
def test_what_is_wrong_in_the_front_matter_is_named_where_it_stands(lines, problem):
    assert found(with_front(lines)) == [problem]


def test_a_topic_with_a_wrong_attribute_keeps_its_place():
    text = with_front("id: a").replace("{#b}", "{#b weight=9 must=1}")
    assert [code for _, _, code in found(text)] == ["attribute-value", "attribute-value"]
    assert [(each.id, each.weight, each.must) for each in read(text).topics.values()] == [("b", 1, False)]


def test_an_error_seen_without_id_or_topics_is_left_out_and_named():
    text = PLAN.replace("{#dragging ", "{").replace(" topics=looking}", "}")
    assert found(text) == [(21, 1, "error-form"), (22, 1, "error-form")]
    assert [each.id for each in read(text).lessons[0].errors] == []


def test_a_topic_above_the_first_lesson_is_one_problem():
    assert found("---\n{id: a, title: A}\n---\n### B {#b}\n\n## A {#a}\n") == [(4, 1, "plan-place")]


def test_a_plan_without_a_topic_is_one_problem():
    assert found("---\n{id: a, title: A}\n---\n## A {#a}\n") == [(5, 1, "plan-empty")]
