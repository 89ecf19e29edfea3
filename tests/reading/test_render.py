import pytest
from hypothesis import given

import strategies
from stickback.reading import document, render
from stickback.reading.render import Grid, Paragraph, Span
from stickback.services import folder

VALUES = {"swing": "left", "speed": "50", "odd": "*a* [b] `c` {{ swing }}"}


def flow(text, values=VALUES):
    return render.flow(document.read(text, "d.md").blocks, values)


def shown(text):
    """Paragraphs as (before the first line, text, before the others)."""
    return [(piece.first, render.plain(piece.spans), piece.rest) for piece in flow(text)]


def test_a_paragraph_is_one_piece_whatever_its_line_breaks():
    assert shown("One\ntwo\\\nthree.\n\nFour.") == [("", "One two three.", ""), ("", "Four.", "")]


def test_bold_and_italic_are_styles_of_their_runs():
    (piece,) = flow("a **b *c*** _d_")
    assert piece.spans == (
        Span("a "),
        Span("b ", bold=True),
        Span("c", bold=True, italic=True),
        Span(" "),
        Span("d", italic=True),
    )


def test_lists_have_their_marks_and_what_follows_stands_under_the_text():
    assert shown("- a\n- b\n\n  more\n\n1. one\n2. two\n   - deep") == [
        ("- ", "a", "  "),
        ("- ", "b", "  "),
        ("  ", "more", "  "),
        ("1. ", "one", "   "),
        ("2. ", "two", "   "),
        ("   - ", "deep", "     "),
    ]


def test_the_items_of_a_list_stand_close_together():
    assert [piece.apart for piece in flow("Before.\n\n- a\n- b\n\nAfter.")] == [True, True, False, True]


def test_a_quote_has_a_bar_before_every_line():
    assert shown("> said\n> - a") == [("| ", "said", "| "), ("| - ", "a", "|   ")]


def test_code_stands_line_for_line_and_is_not_read():
    pieces = flow("```\n*a* {{ swing }}\n\n  b\n```\n\n    **c**")
    assert [(render.plain(each.spans), each.style) for each in pieces] == [
        ("*a* {{ swing }}", "code"),
        ("", "code"),
        ("b", "code"),
        ("**c**", "code"),
    ]


def test_a_table_is_a_grid_whose_first_row_is_the_head():
    (grid,) = flow("| a | *b* |\n| - | - |\n| {{ swing }} | 2 |")
    assert isinstance(grid, Grid)
    assert [[render.plain(cell) for cell in row] for row in grid.rows] == [["a", "b"], ["left", "2"]]


def test_a_heading_has_its_style():
    assert flow("#### Errors") == [Paragraph((Span("Errors"),), style="heading")]


def test_a_rule_says_nothing():
    assert flow("---\n---\n\n***\n") == []


def test_values_are_filled_in_and_never_read_as_markup():
    assert render.line("To the {{ swing }} at {{speed}}", VALUES) == "To the left at 50"
    assert render.spans("{{ odd }}", VALUES) == (Span("*a* [b] `c` {{ swing }}"),)


def test_a_value_that_is_not_there_stays_as_it_was_typed():
    assert render.line("{{ nowhere }}", VALUES) == "{{ nowhere }}"


def test_a_picture_is_its_text():
    assert render.line("See ![the disc](figures/disc.svg).", {}) == "See [picture: the disc]."


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
    assert render.line(text, {}) == plain


def test_footnotes_are_spans_of_their_own():
    (piece,) = flow("So.[^one][^two]")
    assert piece.spans == (Span("So."), Span("one", note=True), Span("two", note=True))


def test_the_keys_of_footnotes_come_once_each_in_order():
    blocks = document.read("a[^b] c[^a]\n\n- d[^b]\n\n| e[^c] |\n| - |\n", "d.md").blocks
    assert render.notes(blocks) == ["b", "a", "c"]


def test_code_that_looks_like_a_footnote_is_none():
    blocks = document.read("`[^a]` and\n\n    [^b]\n", "d.md").blocks
    assert render.notes(blocks) == []
    assert render.line("`[^a]`", {}) == "[^a]"


@pytest.mark.parametrize("char", ["\x00", "\x07", "\x1b", "\x7f", "\x9b", "\u202e", "\u2066"])
def test_what_could_steer_a_terminal_is_shown_as_a_mark(char):
    for text in (f"a{char}b", f"`a{char}b`", f"a{{{{ speed }}}}{char}"):
        assert char not in render.line(text, VALUES)
    (piece,) = flow(f"```\na{char}b\n```")
    assert char not in render.plain(piece.spans)


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
    assert render.first_sentence(document.read(text, "d.md").blocks, {}) == sentence


def test_every_first_sentence_of_the_shipped_course_is_one():
    course = folder.load(folder.shipped())
    values = next(iter(course.sheets.values())).values
    for question in course.questions.values():
        sentence = render.first_sentence(question.why, values)
        assert sentence.endswith((".", "!", "?")), question.id
        assert len(sentence) > 12, question.id


@given(strategies.texts)
def test_whatever_is_typed_no_control_code_is_shown(text):
    for piece in flow(text):
        rows = [cell for row in piece.rows for cell in row] if isinstance(piece, Grid) else [piece.spans]
        for spans in rows:
            assert not {char for span in spans for char in span.text if ord(char) < 32 and char not in "\t\n"}
