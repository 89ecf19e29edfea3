import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.course import front
from stickback.reading import document
from stickback.reading.attribute import Attributes
from stickback.reading.markup import sections


def read(text):
    return document.of_text(text, "deck.md")


def section(line):
    """A document of one heading, and its section."""
    got = read(line)
    return got, sections(got.blocks, 2)[1][0]


def found(problems):
    return [(each.line, each.column, each.code) for each in problems]


def test_a_key_that_is_not_known_is_named_at_its_line():
    problems = front.known_keys(read("---\ntitle: A\ntopics: b\ntopic: c\n---\n"), ("topic",))
    assert found(problems) == [(3, 1, "front-key")]


def test_every_file_may_say_its_title_revision_approval_and_dates():
    text = "---\ntitle: A\nrevision: 1\napproved_by: B\neffective: c\nsources_checked: d\n---\n"
    assert front.known_keys(read(text), ()) == []


def test_the_hint_for_a_key_lists_those_that_are_known():
    (problem,) = front.known_keys(read("---\na: b\n---\n"), ("topic",))
    assert problem.hint == "use one of: approved_by, effective, revision, sources_checked, title, topic"


@pytest.mark.parametrize(
    ("path", "text"), [(("a",), "b c"), (("d", "e"), "f"), (("d",), ""), (("x",), ""), (("a", "b"), ""), (("l",), "")]
)
def test_a_text_is_empty_where_there_is_none(path, text):
    assert front.text(read("---\na: ' b c '\nd: {e: f}\nl: [m]\n---\n"), *path) == text


def test_a_wrong_value_is_named_where_it_stands():
    assert found([front.wrong_value(read("---\na: {b:  c}\n---\n"), ("a", "b"), "d")]) == [(2, 9, "front-value")]


def test_a_missing_key_is_named_on_the_first_line_with_an_example():
    (problem,) = front.missing_keys(read("# A"), {"propeller": "clockwise"})
    assert found([problem]) == [(1, 1, "front-missing")]
    assert "`propeller: clockwise`" in problem.hint


def test_several_missing_keys_are_one_problem_that_names_them_all():
    (problem,) = front.missing_keys(read("---\na: 1\n---\n"), {"a": "1", "b": "2", "c": "3"})
    assert problem.message == "The front matter does not say 'b', 'c'."
    assert problem.hint.endswith("`b: 2`, `c: 3`")


@pytest.mark.parametrize(
    "text", ["---\na: b\n---\n", "---\na: [b\n---\n", "\n---\nc: d\n---\n", "---\nc\x07: d\n---\n"]
)
def test_no_key_is_missing_where_it_is_there_or_may_be(text):
    assert front.missing_keys(read(text), {"a": "b"}) == []


@pytest.mark.parametrize(("typed", "number"), [("20", 20.0), ("0.8", 0.8), ("-1", -1.0), ("inf", float("inf"))])
def test_a_number_is_what_is_typed(typed, number):
    assert front.number(typed) == number


@pytest.mark.parametrize("typed", ["", "twenty", "1,5", "20 kt", "nan"])
def test_what_is_no_number_is_not_a_number(typed):
    assert front.number(typed) != front.number(typed)


def test_a_missing_id_is_named_at_the_end_of_its_line_with_one_that_the_title_suggests():
    (problem,) = front.wrong_id(*section("## Which way?"), Attributes(), "Which way?")
    assert found([problem]) == [(1, 14, "id-missing")]
    assert problem.hint == "end the heading with {#which-way}"


@pytest.mark.parametrize("name", ["Way", "a_b", "a--b", "-a", "a-", "é", "a.b", "way?"])
def test_an_id_of_other_signs_is_named_where_it_stands(name):
    attributes = Attributes(name, {}, {"#": (1, 10)})
    assert found(front.wrong_id(*section("## Which {#x}"), attributes, "Which")) == [(1, 10, "id-form")]


@pytest.mark.parametrize("name", ["a", "1", "raise-tail-swing", "06-24"])
def test_an_id_is_lower_case_letters_digits_and_single_hyphens(name):
    assert front.wrong_id(*section("## Which {#x}"), Attributes(name, {}, {"#": (1, 10)}), "Which") == []


def test_an_attribute_is_named_when_it_is_not_taken_or_not_with_that_value():
    attributes = Attributes("a", {"weight": "4", "must": "yes", "free": "x", "odd": "1"}, {})
    attributes.places.update(weight=(1, 5), must=(1, 6), free=(1, 7), odd=(1, 8))
    allowed = {"weight": ("1", "2"), "must": ("yes", "no"), "free": ()}
    problems = front.wrong_attributes(read("## A"), attributes, allowed)
    assert found(problems) == [(1, 5, "attribute-value"), (1, 8, "attribute-unknown")]


@pytest.mark.parametrize(
    ("title", "slug"),
    [
        ("Which way does the nose go?", "which-way-does-the-nose-go"),
        ("At {{ approach_speed }}, is it *safe*?", "at-is-it-safe"),
        ("…", "question"),
        ("word " * 20, "word-word-word-word-word-word-word-word-word"),
        ("w" * 60, "w" * 48),
    ],
)
def test_a_title_suggests_an_id(title, slug):
    assert front.slug(title) == slug


@given(st.text())
def test_what_any_title_suggests_is_a_short_id(title):
    slug = front.slug(title)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", slug)
    assert len(slug) <= 48
    assert front.slug(slug) == slug
