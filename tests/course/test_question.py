import pytest

from stickback.course import question
from stickback.reading import document
from stickback.reading.markup import sections

CHOICE = "- [x] Left\n- [ ] Right"
NUMBER = "### Answer\n\n```number\nanswer: {}\nunit: kt\ntolerance: 1\n```"
GIVEN = "```given\n{}\n```\n"


def read(*parts, attributes="", title="How much?", default="yaw-causes"):
    """The question and its problems; what stands under the heading begins on line 3."""
    made = document.of_text("\n".join((f"## {title} {{#q{attributes}}}", "", *parts)) + "\n", "deck.md")
    _, (section,) = sections(made.blocks, 2)
    return question.read(made, section, default, [each for each in made.references if each.kind == "value"])


def one(*parts, **wishes):
    made, problems = read(*parts, **wishes)
    assert problems == []
    return made


def faults(*parts, **wishes):
    made, problems = read(*parts, **wishes)
    assert made is None
    return [f"{each.line}:{each.column} {each.code}" for each in problems]


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        (CHOICE, "choice"),
        ("### Answer\n\n- Feet", "explain"),
        ("### Answer\n\nFeet.", "explain"),
        ("### Answer\n\n1. One\n2. Two\n3. Three", "sequence"),
        ("### Answer\n\n65 kt ± 2", "number"),
        (NUMBER.format(5), "number"),
        ("### Answer\n\n```stick\naccept: back\n```", "stick"),
    ],
)
def test_the_form_of_the_answer_decides_the_kind(body, kind):
    assert one(body).kind == kind


def test_a_question_has_its_title_prompt_hint_and_why():
    made = one("Look.", "", CHOICE, "", "### Hint", "", "Feet.", "", "### Why", "", "So.")
    assert made.title == "How much?"
    assert [[each.text for each in blocks] for blocks in (made.prompt, made.hint, made.why)] == [
        *(["Look."], ["Feet."], ["So."]),
    ]
    assert (made.line, made.end) == (1, 14)


def test_the_topic_is_its_own_or_the_decks():
    assert one(CHOICE).topic == "yaw-causes"
    assert one(CHOICE, attributes=" topic=three-point").topic == "three-point"
    assert faults(CHOICE, default="") == ["1:18 topic-missing"]


def test_a_deck_whose_topic_cannot_be_told_is_not_complained_about_in_each_question():
    assert faults(CHOICE, default=None) == []


def test_what_is_neither_topic_nor_order_nor_the_authors_own_restricts():
    made = one(CHOICE, attributes=' topic=t order=fixed then=more sides="given" brakes=heel')
    assert made.only == {"brakes": "heel"}
    assert (made.then, made.topic) == ("more", "t")


# values


def test_names_that_are_drawn_are_not_of_the_sheet_and_names_in_formulas_are():
    body = (GIVEN.format("wind: 5 to 9\nlet:\n  gust: wind + extra\nwhere: gust < limit"), NUMBER.format("gust + trim"))
    made = one("{{ wind }} at {{ approach_speed }}.", *body)
    assert made.draws.defines == {"wind", "gust"}
    assert made.uses == {"extra", "limit", "trim", "approach_speed"}


def test_names_in_why_and_hint_and_in_a_unit_are_used_too():
    made = one(
        "### Answer", "", "65 {{ speed_unit }} ± 2", "", "### Why", "", "{{ swing }}", "", "### Hint", "", "{{ name }}"
    )
    assert made.uses == {"speed_unit", "swing", "name"}


def test_the_given_block_is_not_shown():
    made = one("Before.", "", GIVEN.format("x: 1"), "After {{ x }}.", "", CHOICE)
    assert [each.text for each in made.prompt] == ["Before.", "After {{ x }}."]
    assert made.draws.lists == {"x": ("1",)}


def test_a_figure_stays_in_the_prompt():
    made = one("```figure\nscene: wind\n```", "", CHOICE)
    assert [each.info for each in made.prompt] == ["figure"]


def test_a_question_without_a_given_block_draws_nothing():
    assert one(CHOICE).draws.defines == frozenset()


def test_a_second_given_block_is_named_where_it_stands():
    assert faults(GIVEN.format("x: 1"), GIVEN.format("y: 1"), CHOICE) == ["7:1 given-form"]


def test_mistakes_in_the_given_block_and_in_the_answer_are_named_in_one_run():
    assert faults(GIVEN.format("X: 1"), NUMBER.format("x +")) == ["4:1 given-form", "10:12 number-form"]


def test_a_given_block_in_the_answer_is_named_where_it_stands():
    assert faults("### Answer", "", GIVEN.format("x: 1")) == ["5:1 fence-place"]


# mistakes


@pytest.mark.parametrize(
    ("parts", "attributes", "problem"),
    [
        (("Text.",), "", "1:1 answer-missing"),
        (("### Answer",), "", "3:1 answer-empty"),
        (("### Answer", "", "| a |\n| - |"), "", "5:1 answer-form"),
        (("### Answer", "", "> quote"), "", "5:1 radio-form"),
        ((CHOICE, "", "### Answer", "", "- A"), "", "6:1 answer-doubled"),
        ((CHOICE, "", "### Because"), "", "6:1 section-unknown"),
        ((CHOICE, "", "### Why", "", "### Why"), "", "8:1 section-doubled"),
        ((CHOICE,), " order=random", "1:18 attribute-value"),
        (("### Answer", "", "65 kt ± 2"), " order=fixed", "1:18 attribute-unknown"),
        (("### Answer", "", "65 kt ± 2"), " slip=yes", "1:18 attribute-unknown"),
        (("> Ready", "", "### Answer", "", "> **Ready**"), " slip=no", "1:18 attribute-value"),
    ],
)
def test_one_mistake_is_one_problem(parts, attributes, problem):
    assert faults(*parts, attributes=attributes) == [problem]


def test_a_heading_without_a_title_is_no_question():
    assert faults(CHOICE, title="") == ["1:1 heading-empty"]


def test_the_revision_changes_with_the_text_of_the_question():
    assert one(CHOICE).revision == one(CHOICE + "  ").revision
    assert len({one(CHOICE).revision, one(CHOICE, title="Which?").revision, one(CHOICE, "", "Text.").revision}) == 3


def test_a_question_with_a_warning_is_kept_and_its_warning_told():
    found, problems = read("### Answer\n\nAbout four litres\n")
    assert (found.kind, [each.severity for each in problems]) == ("explain", ["warning"])
