import pytest

from stickback.course import deck
from stickback.reading import document

FULL = """\
---
title: Take-off swing
topic: yaw-causes
revision: 2
---

# Intro

## Which way? {#way brakes=toe order=fixed}

The propeller turns {{ propeller }}.

- [x] To the {{ swing }}
- [ ] Nowhere

### Why

Because.

### Hint

Feet.

## And why? {#why topic=three-point}

### Answer

- This
"""
CHOICE = "- [x] a\n- [ ] b\n"


def read(text=FULL):
    return deck.read(document.of_text(text, "deck.md"))[0]


def found(text):
    return [(each.line, each.column, each.code) for each in deck.read(document.of_text(text, "deck.md"))[1]]


def one(body, heading="## A {#q topic=t}"):
    """A deck of one question."""
    return f"{heading}\n{body}"


def texts(blocks):
    return [each.text for each in blocks]


def test_the_deck_of_the_tests_has_no_problem():
    assert found(FULL) == []


def test_a_deck_has_its_title_and_what_is_said_about_it():
    assert (read().title, read().about) == ("Take-off swing", {"title": "Take-off swing", "revision": "2"})
    assert read("# A").title == "deck.md"


def test_a_question_has_its_parts():
    (way, _) = read().questions
    assert (way.id, way.kind, way.title) == ("way", "choice", "Which way?")
    assert texts(way.prompt) == ["The propeller turns {{ propeller }}."]
    assert (texts(way.why), texts(way.hint)) == (["Because."], ["Feet."])
    assert (way.file, way.line, way.end) == ("deck.md", 9, 22)


def test_the_topic_of_a_heading_goes_before_that_of_the_front_matter():
    assert [each.topic for each in read().questions] == ["yaw-causes", "three-point"]


def test_restrictions_are_the_attributes_that_are_neither_topic_nor_order():
    assert [each.only for each in read().questions] == [{"brakes": "toe"}, {}]


def test_a_question_knows_the_values_in_its_own_text():
    assert [each.uses for each in read().questions] == [{"propeller", "swing"}, frozenset()]


def test_a_value_in_the_heading_is_used_too():
    assert read(one(CHOICE, "## At {{ speed }}? {#q topic=t}")).questions[0].uses == {"speed"}


def test_the_form_of_the_answer_decides_the_kind():
    assert [each.kind for each in read().questions] == ["choice", "explain"]


def test_the_revision_follows_from_the_text_of_the_question_alone():
    way, why = [each.revision for each in read().questions]
    moved = FULL.replace("# Intro", "# Intro\n\nMore text.").replace("Feet.", "Hands.")
    assert [each.revision == old for each, old in zip(read(moved).questions, (way, why), strict=True)] == [False, True]


@pytest.mark.parametrize("section", ["### WHY", "###  Why  ", "Why"])
def test_a_section_is_known_by_its_name_in_any_case(section):
    text = FULL.replace("### Why", section)
    assert bool(read(text).questions[0].why) == section.startswith("#")


def test_a_question_ends_where_the_next_heading_of_its_level_or_above_begins():
    (question,) = read(one(f"{CHOICE}\n# Part two\n\n- [x] no option\n")).questions
    assert question.end == 3


@pytest.mark.parametrize(
    ("body", "problem"),
    [
        ("", (1, 1, "answer-missing")),
        ("Text.\n\n### Why\n\nMore.", (1, 1, "answer-missing")),
        ("### Answer\n", (2, 1, "answer-empty")),
        ("### Answer\n\n***\n", (4, 1, "answer-form")),
        (f"{CHOICE}### Answer\n\n- c\n", (4, 1, "answer-doubled")),
        (f"{CHOICE}### Because\n\nc\n", (4, 1, "section-unknown")),
        (f"{CHOICE}### Why\n\nc\n\n### Why\n\nd\n", (8, 1, "section-doubled")),
        ("-[x] a\n- [ ] b\n", (2, 1, "choice-marker")),
    ],
)
def test_a_question_with_one_mistake_is_left_out_with_one_problem(body, problem):
    assert found(one(body)) == [problem]
    assert (read(one(body)).questions, read(one(body)).left_out) == ((), ("A {#q topic=t}",))


@pytest.mark.parametrize(
    ("heading", "problem"),
    [
        ("## A {topic=t}", (1, 15, "id-missing")),
        ("## A {#Q topic=t}", (1, 7, "id-form")),
        ("## A {#q}", (1, 10, "topic-missing")),
        ("## {#q topic=t}", (1, 1, "heading-empty")),
        ("## A {#q topic=t order=free}", (1, 18, "attribute-value")),
        ("## A {#q topic=t", (1, 6, "attribute-form")),
    ],
)
def test_a_heading_with_one_mistake_is_one_problem(heading, problem):
    assert found(one(CHOICE, heading)) == [problem]


def test_every_mistake_of_a_question_is_named_in_one_run():
    text = one("- [ ] a\n- [ ] b\n\n### Because\n", "## A {#q}")
    assert sorted(found(text)) == [(1, 10, "topic-missing"), (2, 1, "choice-no-right"), (5, 1, "section-unknown")]


def test_a_question_with_a_mistake_does_not_touch_the_next():
    text = one("- [ ] a\n- [ ] b\n\n") + one(CHOICE, "## B {#r topic=t}")
    assert [each.id for each in read(text).questions] == ["r"]


@pytest.mark.parametrize("body", ["##Why\n", f"{CHOICE}\n```\nc\n", "###Answer\n\n- a\n"])
def test_where_the_text_is_broken_nothing_that_follows_from_it_is_complained_about(body):
    assert (found(one(body)), read(one(body)).questions) == ([], ())


def test_broken_front_matter_is_not_also_a_missing_topic():
    assert found(f"---\ntopic: t\n\n## A {{#q}}\n{CHOICE}") == []


def test_a_deck_without_a_question_is_a_warning_and_a_broken_one_is_not():
    assert found("# A\n") == [(2, 1, "deck-empty")]
    assert found("##A\n") == []


def test_questions_beyond_the_most_are_not_read():
    text = "".join(one(CHOICE, f"## A {{#q{number} topic=t}}") for number in range(deck.MOST + 1))
    assert found(text) == [(3 * deck.MOST + 1, 1, "deck-large")]
    assert len(read(text).questions) == deck.MOST


def test_a_deck_without_a_topic_is_told_so_once():
    text = FULL.replace("topic: yaw-causes\n", "").replace(" topic=three-point", "")
    _, (problem,) = deck.read(document.of_text(text, "deck.md"))
    assert (problem.line, problem.column, problem.code) == (1, 1, "topic-missing")
    assert problem.message == "This deck does not say its topic, nor do 2 of its questions."
    assert problem.hint.startswith("add `topic: …` to its front matter")


def test_one_question_without_a_topic_is_told_at_its_own_heading():
    _, (problem,) = deck.read(document.of_text(FULL.replace("topic: yaw-causes\n", ""), "deck.md"))
    assert (problem.line, problem.code) == (8, "topic-missing")
