import pytest

from stickback.course import course as values
from stickback.course import plan, question, reference, sheet
from stickback.formulas.functions import FUNCTIONS
from stickback.kinds.table import KINDS
from stickback.pictures.figure import SCENES
from stickback.reading.problem import CODES

CHAPTERS = reference.chapters()


def named(chapter):
    """All that a chapter names, as one text."""
    return "\n".join([*CHAPTERS[chapter].about, *(f"{name}: {what}" for name, what in CHAPTERS[chapter].rows)])


@pytest.mark.parametrize(
    ("chapter", "names"),
    [
        ("plan", [*plan.KEYS, *plan.PARAGRAPHS, *plan.LESSON_ATTRIBUTES, *plan.TOPIC_ATTRIBUTES, *values.ENDINGS]),
        ("sheet", [*sheet.REQUIRED, *sheet.WORDS, *sheet.NUMBERS, "swing", "rudder_foot"]),
        ("deck", [*question.SECTIONS, *KINDS, *values.PHRASEOLOGIES, "topic", "then"]),
        ("functions", [name for name in FUNCTIONS if "_to_" not in name]),
        ("figure", [*SCENES, *(word for scene in SCENES.values() for word in scene.words)]),
        ("problems", [*CODES]),
    ],
)
def test_a_chapter_names_all_that_the_reader_knows(chapter, names):
    text = named(chapter).casefold()
    assert [name for name in names if name.casefold() not in text] == []


def test_every_kind_has_a_chapter_with_its_example():
    assert {name: CHAPTERS[name].example for name in KINDS} == {name: kind.EXAMPLE for name, kind in KINDS.items()}


@pytest.mark.parametrize("name", KINDS)
def test_the_example_of_a_kind_is_read_as_that_kind(course, name):
    read = course(f"## How? {{#q topic=yaw-causes}}\n\n{CHAPTERS[name].example}\n")
    assert [each.kind for each in read.questions.values()] == [name]
    assert read.problems == ()


def test_the_examples_of_plan_sheet_and_deck_are_a_course_without_a_problem(course):
    files = {"lesson-plan.md": CHAPTERS["plan"].example, "aircraft/brackle.md": CHAPTERS["sheet"].example}
    read = course(CHAPTERS["deck"].example, **files, **{"sources.md": "[^key]: A source.\n"})
    assert (read.problems, list(read.questions)) == ((), ["nose-swing"])


def test_every_row_says_what_its_name_means():
    assert [(key, row) for key, chapter in CHAPTERS.items() for row in chapter.rows if not all(row)] == []


@pytest.mark.parametrize(
    "example", [example for name in KINDS for example in CHAPTERS[name].more], ids=lambda example: example[:20]
)
def test_the_further_examples_of_a_kind_are_whole_questions_without_a_problem(course, example):
    read = course(f"---\ntopic: yaw-causes\n---\n\n{example}\n")
    assert (len(read.questions), read.problems) == (1, ())


def test_the_examples_of_what_is_drawn_show_a_list_of_conditions_and_can_be_read(course):
    (listed,) = CHAPTERS["given"].more
    assert "let:\n" in listed
    assert "where:\n  - " in listed
    text = "Runway {{ runway }}, {{ wind_from }} {{ wind }} {{ gust }}.\n\n- [x] Yes\n- [ ] No"
    assert course(f"## How? {{#q topic=yaw-causes}}\n\n{listed}\n\n{text}\n").problems == ()
