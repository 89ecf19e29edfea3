import pytest
from hypothesis import given

import strategies
from stickback.reading import document, markup
from stickback.reading.document import Reference


def read(text):
    return document.of_text(text, "deck.md")


def problems(text):
    return [(each.line, each.column, each.code) for each in read(text).problems]


def test_front_matter_is_read_and_the_blocks_keep_the_lines_of_the_file():
    got = read("---\ntitle: Swing\n---\n\n# A\n\nb\n")
    assert (got.front.data, got.front.value("title"), got.front_broken) == ({"title": "Swing"}, (2, 8), False)
    assert [(each.text, each.line) for each in got.blocks] == [("A", 5), ("b", 7)]


def test_a_file_without_front_matter_has_an_empty_one():
    got = read("# A\n\n---\n\nb: c\n")
    assert (got.front.data, got.problems, got.front_broken) == ({}, (), False)


def test_front_matter_may_end_with_dots_and_be_empty():
    assert read("---\n...\n# A").blocks == (markup.Block(kind="heading", line=3, end=3, text="A", level=1),)


@pytest.mark.parametrize("text", ["---\na: b\n", "\n---\na: b\n---\n", "---\na: b: c\n---\n", "---\na: 1\na: 2\n---\n"])
def test_front_matter_that_is_not_read_as_meant_is_one_problem_and_known_to_be_broken(text):
    got = read(text)
    assert (len(got.problems), got.front_broken) == (1, True)


def test_front_matter_under_an_empty_line_is_not_read_as_a_heading():
    assert read("\n---\ntopic: a\n---\n# B").blocks == (markup.Block(kind="heading", line=5, end=5, text="B", level=1),)


def test_a_rule_under_an_empty_line_is_no_front_matter_that_swallows_the_file():
    assert [each.text for each in read("\n---\n# A\n").blocks] == ["A"]


def test_what_a_text_refers_to_is_found_with_its_place():
    text = "## At {{ speed }} {{b}}\n\n- [x] a[^n] ![p](figures/p.svg)\n\n[^n]: A source, [^m] too.\n"
    assert read(text).references == (
        Reference("value", 1, 7, "speed"),
        Reference("value", 1, 19, "b"),
        Reference("note", 3, 8, "n"),
        Reference("picture", 3, 13, "figures/p.svg"),
        Reference("define", 5, 1, "n"),
        Reference("note", 5, 17, "m"),
    )


@pytest.mark.parametrize("text", ["`{{ a }} [^n]`", "```\n{{ a }}\n```", "    ![p](q.svg) <b>", "``a ` {{``"])
def test_what_stands_in_code_refers_to_nothing(text):
    assert (read(text).references, read(text).problems) == ((), ())


def test_a_picture_may_have_a_title_and_pointed_brackets():
    assert [each.text for each in read('![p](a.svg "A") ![q]( <b.svg> )').references] == ["a.svg", "b.svg"]


@pytest.mark.parametrize("text", ["{{ a", "a }}", "{{}}", "{{ }}", "{{ A }}", "{{ a.b }}", "{{ a\nb }}", "{{ 1a }}"])
def test_double_braces_that_hold_no_name_are_named(text):
    assert {code for _, _, code in problems(text)} == {"value-form"}


@pytest.mark.parametrize("text", ["5 < 6 > 4", "a <- b", "<https://example.org>", "<me@example.org>", "a<3", "`<b>`"])
def test_a_pointed_bracket_is_not_always_html(text):
    assert problems(text) == []


@pytest.mark.parametrize("text", ["<b>", "</b>", "<br/>", '<a href="b">'])
def test_html_is_a_warning(text):
    assert [(each.code, each.severity) for each in read(text).problems] == [("html-shown", "warning")]


def test_a_heading_without_a_space_is_named_and_its_line_is_known_to_be_broken():
    got = read("a\n\n##B\n")
    assert ([(each.line, each.code) for each in got.problems], got.broken) == ([(3, "heading-space")], {3})


@pytest.mark.parametrize("text", ["## B", "##\tB", "##", "##\xa0B", "####### seven", "a #b", "```\n##b\n```"])
def test_what_is_a_heading_or_is_none_is_no_near_miss(text):
    assert problems(text) == []


def test_a_fence_that_is_never_closed_is_named_and_all_its_lines_are_known_to_be_broken():
    got = read("a\n\n> ~~~\n> b\n> c\n\nd\n")
    assert ([(each.line, each.column, each.code) for each in got.problems], got.broken) == (
        [(3, 3, "fence-unclosed")],
        {3, 4, 5},
    )


@pytest.mark.parametrize(
    "text",
    ["```\na\n```", "````\n```\n````", "```\na\n`````", "- ```\n  a\n  ```", "> ```\n> a\n> ```", "1. ~~~\n   ~~~"],
)
def test_a_fence_that_is_closed_is_no_problem(text):
    assert problems(text) == []


@pytest.mark.parametrize("text", ["```", "```\na", "````\na\n```", "```\na\n~~~", "```\na\n``` b", "```\na\n    ```"])
def test_a_fence_that_is_not_closed_as_it_was_opened_is_one_problem(text):
    assert problems(text) == [(1, 1, "fence-unclosed")]


def test_a_byte_order_mark_is_a_warning_and_hides_nothing():
    got = read("\ufeff---\na: b\n---\n")
    assert [(each.code, each.severity) for each in got.problems] == [("file-mark", "warning")]
    assert got.front.data == {"a": "b"}


@pytest.mark.parametrize("char", ["\0", "\x08", "\x1b", "\x7f", "\x85", "\u202e", "\u2066"])
def test_a_character_that_controls_or_turns_text_is_named(char):
    assert problems(f"a\n\n\tb{char}c{char}") == [(3, 3, "file-control")]


@pytest.mark.parametrize("char", ["\t", "\xa0", "\xad", "\u2009", "\u200d", "é", "🛩", "א"])
def test_a_character_that_people_write_is_no_problem(char):
    assert problems(f"a{char}b") == []


def test_twenty_levels_are_read_and_more_are_one_problem():
    assert problems("> " * 19 + "a") == []
    assert problems(f"a\n\n{'> ' * 25}b\n\n{'- ' * 25}c\n") == [(3, 1, "file-nesting")]


@given(strategies.texts)
def test_a_text_with_other_line_ends_reads_the_same(text):
    plain = text.replace("\r", " ")
    assert read(plain) == read(plain.replace("\n", "\r\n")) == read(plain.replace("\n", "\r"))


@given(strategies.texts)
def test_whatever_is_found_stands_where_it_is_said_to(text):
    got = read(text)
    signs = {"value": "{{", "note": "[^", "define": "[^", "picture": "!["}
    assert [
        each for each in got.references if not got.lines[each.line - 1].startswith(signs[each.kind], each.column - 1)
    ] == []


@pytest.mark.parametrize(("text", "ticks"), [("```\na", "3 backticks, ```,"), ("~~~~\na", "4 tildes, ~~~~,")])
def test_the_signs_that_close_a_fence_are_counted_and_stand_free_of_others(text, ticks):
    (problem,) = read(text).problems
    assert problem.hint == f"put a line of {ticks} under its last line"
