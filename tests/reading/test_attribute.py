import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stickback.reading import markup
from stickback.reading.attribute import Attributes, attributes


def heading(line):
    """The title, attributes and problems of a heading."""
    return attributes(markup.blocks(line)[0], tuple(line.split("\n")), "deck.md", tail=True)


def item(line):
    """The text, attributes and problems of a list item."""
    return attributes(markup.blocks(line)[0].children[0].children[0], (line,), "plan.md", tail=False)


def found(line, read=heading):
    return [(each.line, each.column, each.code) for each in read(line)[2]]


def test_the_braces_at_the_end_of_a_heading_are_taken_off_and_read():
    title, read, problems = heading('## Which way? {#way topic=yaw order="as written"}')
    assert (title, problems) == ("Which way?", [])
    assert read == Attributes(
        "way", {"topic": "yaw", "order": "as written"}, {"#": (1, 16), "topic": (1, 21), "order": (1, 31)}
    )


def test_the_braces_at_the_start_of_an_item_are_taken_off_and_read():
    text, read, problems = item('- {#heel topics="a b"} A heel {on} the brake')
    assert (text, problems) == ("A heel {on} the brake", [])
    assert read == Attributes("heel", {"topics": "a b"}, {"#": (1, 4), "topics": (1, 10)})


@pytest.mark.parametrize("line", ["## Which way?", "## A {b} c", "## At {{ approach_speed }}", "## } {"])
def test_a_heading_without_braces_at_its_end_keeps_all_its_text(line):
    assert heading(line) == (line.removeprefix("## "), Attributes(), [])


def test_a_value_in_double_braces_is_no_attribute():
    title, read, problems = heading("## At {{ approach_speed }}{#q}")
    assert (title, read.id, problems) == ("At {{ approach_speed }}", "q", [])


@pytest.mark.parametrize("line", ["## A { #q  k=v }", "##\tA\t{#q\tk=v}  ", "## A {k=v #q} ##"])
def test_spaces_order_and_closing_signs_do_not_matter(line):
    title, read, problems = heading(line)
    assert (title, read.id, read.values["k"], problems) == ("A", "q", "v", [])


def test_an_empty_pair_of_braces_holds_nothing():
    assert heading("## A {}") == ("A", Attributes(), [])


def test_an_empty_value_in_quotes_is_a_value():
    assert heading('## A {#q k=""}')[1].values == {"k": ""}


@pytest.mark.parametrize(
    ("line", "place"),
    [
        ("## A {q}", 7),
        ("## A {#q word}", 10),
        ("## A {#q k=}", 10),
        ("## A {#q k =v}", 10),
        ('## A {#q k="v}', 10),
        ('## A {#q k="v"x}', 10),
        ("## A {#q 1=v}", 10),
    ],
)
def test_braces_that_cannot_be_read_are_one_problem_from_where_that_is_so(line, place):
    assert found(line) == [(1, place, "attribute-form")]


@pytest.mark.parametrize("line", ["## A {#q", "## A {#q} b", "## A { #q k=v"])
def test_braces_that_are_not_closed_or_not_at_the_end_are_one_problem(line):
    assert found(line) == [(1, 6, "attribute-form")]


def test_what_stands_twice_is_named_where_it_comes_again():
    assert found("## A {#q #r}") == [(1, 10, "attribute-doubled")]
    assert found("## A {#q k=v k=w}") == [(1, 14, "attribute-doubled")]


def test_braces_on_the_second_line_of_a_heading_are_named_there():
    assert found("A\nheading {#q k}\n---") == [(2, 13, "attribute-form")]


@given(st.text(st.sampled_from("ab{}#= \"'\t\n\\|`\x00"), max_size=25))
@example("a {#a\x00 b}")
@example("a\nb {#a b c d e f g}")
def test_any_heading_is_read_and_what_is_wrong_stands_inside_it(text):
    line = f"{text}\n---"
    blocks = [each for each in markup.blocks(line) if each.kind == "heading"]
    lines = line.split("\n")
    problems = [each for block in blocks for each in attributes(block, tuple(lines), "deck.md", tail=True)[2]]
    assert [each for each in problems if not 1 <= each.column <= len(lines[each.line - 1]) + 1] == []
