import pytest
from hypothesis import given
from hypothesis import strategies as st

import strategies
from stickback.reading import document
from stickback.reading import text as texts
from stickback.reading.text import Code, Figure, Heading, Items, Paragraph, Picture, Quote, Span, Table
from stickback.services import folder

VALUES = {"swing": "left", "speed": "50", "odd": "*a* [b] `c` {{ swing }}"}


def tree(text, values=VALUES):
    return texts.tree(document.of_text(text, "d.md").blocks, values)


def said(text):
    """A paragraph of one run of text."""
    return Paragraph((Span(text),))


def test_a_paragraph_is_one_piece_whatever_its_line_breaks():
    one, two = tree("One\ntwo\\\nthree.\n\nFour.")
    assert (texts.plain(one.spans), texts.plain(two.spans)) == ("One two three.", "Four.")


def test_bold_italic_and_code_are_styles_of_their_runs():
    (piece,) = tree("a **b *c*** _d_ `e`")
    assert piece.spans == (
        Span("a "),
        Span("b ", bold=True),
        Span("c", bold=True, italic=True),
        Span(" "),
        Span("d", italic=True),
        Span(" "),
        Span("e", code=True),
    )


def test_a_list_holds_items_that_hold_what_stands_in_them():
    assert tree("- a\n- b\n\n  more\n\n1. one\n2. two\n   - deep") == (
        Items(numbered=False, items=((said("a"),), (said("b"), said("more")))),
        Items(numbered=True, items=((said("one"),), (said("two"), Items(numbered=False, items=((said("deep"),),))))),
    )


def test_a_quote_holds_what_is_said():
    assert tree("> said\n> - a") == (Quote((said("said"), Items(numbered=False, items=((said("a"),),)))),)


def test_code_stands_line_for_line_and_is_not_read():
    assert tree("```\n*a* {{ swing }}\n\n  b\n```\n\n    **c**") == (
        Code("*a* {{ swing }}\n\n  b"),
        Code("**c**"),
    )


def test_the_first_row_of_a_table_is_its_head():
    (table,) = tree("| a | *b* |\n| - | - |\n| {{ swing }} | 2 |")
    assert isinstance(table, Table)
    assert [[texts.plain(cell) for cell in row] for row in table.rows] == [["a", "b"], ["left", "2"]]


def test_a_heading_has_its_level():
    assert tree("#### Errors") == (Heading(4, (Span("Errors"),)),)


def test_a_rule_says_nothing():
    assert tree("---\n---\n\n***\n") == ()


def test_a_figure_keeps_its_words_with_the_values_in_them():
    block = "```figure\nscene: propeller\npropeller: {{ turn }}\neffect: torque\n```"
    assert tree(block, {"turn": "clockwise"}) == (
        Figure({"scene": "propeller", "propeller": "clockwise", "effect": "torque"}),
    )


def test_a_figure_that_cannot_be_read_has_no_words():
    assert tree("```figure\n- a: [\n```") == (Figure({}),)


def test_a_picture_has_its_path_and_what_it_shows():
    assert tree("![the disc](figures/disc.svg)") == (Picture("figures/disc.svg", "the disc"),)
    assert tree("![a gust](figures/b\u00f6e%20eins.svg)") == (Picture("figures/b\u00f6e eins.svg", "a gust"),)


def test_a_picture_inside_a_text_is_named_there_and_follows_it():
    assert tree("See ![the disc](figures/disc.svg).") == (
        Paragraph((Span("See "), Span("[picture: the disc]", italic=True), Span("."))),
        Picture("figures/disc.svg", "the disc"),
    )


def test_values_are_filled_in_and_never_read_as_markup():
    assert texts.line("To the {{ swing }} at {{speed}}", VALUES) == "To the left at 50"
    assert texts.spans("{{ odd }}", VALUES) == (Span("*a* [b] `c` {{ swing }}"),)


def test_a_value_that_is_not_there_stays_as_it_was_typed():
    assert texts.line("{{ nowhere }}", VALUES) == "{{ nowhere }}"


def test_a_picture_in_a_line_is_its_text():
    assert texts.line("See ![the disc](figures/disc.svg).", {}) == "See [picture: the disc]."


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("a [b](http://example.org) c", "a b c"),
        ("<b>a</b> &amp; &lt;", "<b>a</b> & <"),
        ("`a * b`", "a * b"),
        (r"\*a\*", "*a*"),
        ("a[^n] b[^m].", "a b."),
    ],
)
def test_a_line_is_plain_text(text, plain):
    assert texts.line(text, {}) == plain


def test_footnotes_are_spans_of_their_own():
    (piece,) = tree("So.[^one][^two]")
    assert piece.spans == (Span("So."), Span("one", note=True), Span("two", note=True))


def test_the_keys_of_footnotes_come_once_each_in_order():
    blocks = document.of_text("a[^b] c[^a]\n\n- d[^b]\n\n| e[^c] |\n| - |\n", "d.md").blocks
    assert texts.notes(blocks) == ["b", "a", "c"]


def test_sources_come_in_the_order_of_their_footnotes_and_unknown_ones_not_at_all():
    blocks = document.of_text("a[^b] c[^x] d[^a]\n", "d.md").blocks
    assert list(texts.sources(blocks, {"a": "First.", "b": "Second."}).items()) == [("b", "Second."), ("a", "First.")]


def test_code_that_looks_like_a_footnote_is_none():
    blocks = document.of_text("`[^a]` and\n\n    [^b]\n", "d.md").blocks
    assert texts.notes(blocks) == []
    assert texts.line("`[^a]`", {}) == "[^a]"


@pytest.mark.parametrize("char", ["\x00", "\x07", "\x1b", "\x7f", "\x9b", "\u202e", "\u2066"])
def test_what_could_steer_a_terminal_is_shown_as_a_mark(char):
    for text in (f"a{char}b", f"`a{char}b`", f"a{{{{ speed }}}}{char}"):
        assert char not in texts.line(text, VALUES)
    (piece,) = tree(f"```\na{char}b\n```")
    assert char not in piece.text


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("One. Two.", "One."),
        ("Is it? Yes.", "Is it?"),
        ("No stop", "No stop"),
        ("At 2.5 kt it moves. So wait.", "At 2.5 kt it moves."),
        ("One, e.g. the rudder, is enough. More.", "One, e.g. the rudder, is enough."),
        ("One.[^n] Two.", "One."),
        ("- a list\n\nThen this. And that.", "Then this."),
        ("", ""),
    ],
)
def test_the_first_sentence_is_enough_after_a_right_answer(text, sentence):
    assert texts.first_sentence(document.of_text(text, "d.md").blocks, {}) == sentence


def test_every_first_sentence_of_the_shipped_course_is_one():
    course = folder.load(folder.shipped())
    values = next(iter(course.sheets.values())).values
    for question in course.questions.values():
        sentence = texts.first_sentence(question.why, values)
        assert sentence.endswith((".", "!", "?")), question.id
        assert len(sentence) > 12, question.id


def runs(nodes):
    """Every text in a tree."""
    for node in nodes:
        if isinstance(node, Items):
            for item in node.items:
                yield from runs(item)
        elif isinstance(node, Quote):
            yield from runs(node.inside)
        elif isinstance(node, Table):
            yield from (span.text for row in node.rows for cell in row for span in cell)
        elif isinstance(node, Paragraph | Heading):
            yield from (span.text for span in node.spans)
        elif isinstance(node, Code):
            yield node.text
        elif isinstance(node, Picture):
            yield from (node.path, node.alt)


@given(strategies.texts)
def test_whatever_is_typed_no_control_code_is_shown(text):
    for run in runs(tree(text)):
        assert not {char for char in run if ord(char) < 32 and char not in "\t\n"}


@given(st.text(alphabet=st.characters(codec="utf-8") | st.sampled_from("a b.,;:~#-+=()|'\"")))
def test_a_text_without_markup_is_what_parsing_it_gives(text):
    parsed = tuple(texts._spans(texts._inline(text, {})))
    assert texts.spans(text, {}) == parsed
