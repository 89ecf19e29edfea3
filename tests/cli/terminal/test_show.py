import pytest
from rich.text import Text

from stickback.cli.terminal import show
from stickback.reading import document
from stickback.reading.text import Span


@pytest.fixture(autouse=True)
def narrow(monkeypatch):
    """A screen of forty columns without colours."""
    monkeypatch.setenv("COLUMNS", "40")


@pytest.fixture
def printed(capsys):
    return lambda: capsys.readouterr().out.splitlines()


def test_a_wide_terminal_is_used_to_eighty_columns_at_the_most(monkeypatch):
    monkeypatch.setenv("COLUMNS", "200")
    assert show.console().width == show.WIDEST == 80


def test_a_terminal_made_narrower_is_written_on_as_it_is_now(printed, monkeypatch):
    monkeypatch.setenv("COLUMNS", "30")
    show.say("a little more than thirty columns")
    assert printed() == ["  a little more than thirty", "  columns"]


def test_a_sentence_is_wrapped_under_its_indent(printed):
    show.say("a little more than forty columns of text are here")
    assert printed() == ["  a little more than forty columns of", "  text are here"]


def test_a_figure_is_never_parted_from_its_sign(printed):
    show.wrapped(Text.assemble("a sentence that tells of a share of ", ("62\xa0%", "bold"), ", or so"))
    assert printed() == ["  a sentence that tells of a share of", "  62 %, or so"]


def test_on_a_terminal_no_word_of_a_sentence_is_torn_and_in_a_pipe_it_is_one_line(printed, monkeypatch):
    told = ("Taken back: the answer to a question of which", "  behind it is a topic of the plan, or two")
    show.tell(*told)
    assert printed() == [*told]
    monkeypatch.setattr(type(show.console()), "is_terminal", True)
    show.tell(*told)
    assert printed() == [
        "Taken back: the answer to a question of",
        "which",
        "  behind it is a topic of the plan, or",
        "  two",
    ]


def test_a_list_item_has_its_mark_on_the_first_line_only(printed):
    show.wrapped(Text("a little more than forty columns of text"), "  - ", "    ")
    assert printed() == ["  - a little more than forty columns of", "    text"]


def test_a_long_word_is_broken_and_nothing_is_lost(printed):
    show.say("x" * 100, indent=0)
    lines = printed()
    assert max(map(len, lines)) <= 40
    assert "".join(lines) == "x" * 100


def test_brackets_and_colons_are_text_and_not_styles(printed):
    show.say("[bold]a[/bold] :smile: [red]", indent=0)
    assert printed() == ["[bold]a[/bold] :smile: [red]"]


def test_spans_become_styled_text_without_their_footnotes():
    made = show.text([Span("a ", bold=True), Span("b", italic=True), Span("note", note=True), Span(" ")])
    assert made.plain == "a b"
    assert [(span.start, span.end, span.style) for span in made.spans] == [(0, 2, "bold"), (2, 3, "italic")]


def test_blocks_are_paragraphs_lists_and_tables(printed):
    text = "One.\n\n- a\n- b\n\n> said\n\n| x | y |\n| - | - |\n| 1 | 2 |\n"
    show.flow(document.of_text(text, "d.md").blocks, {})
    lines = [line.rstrip() for line in printed()]
    assert lines[:7] == ["  One.", "", "  - a", "  - b", "", "  | said", ""]
    assert [line.split() for line in lines[7:] if line.strip(" ─-━")] == [["x", "y"], ["1", "2"]]


def test_a_heading_stands_under_a_blank_line(printed):
    show.heading("Ahead")
    assert printed() == ["", "Ahead"]


def test_columns_are_as_wide_as_they_need_and_the_last_is_wrapped(printed):
    show.columns([("a", "two", "the last one goes on for more than a line"), ("bbbb", "2", "short")])
    assert printed() == [
        "  a     two  the last one goes on for",
        "             more than a line",
        "  bbbb  2    short",
    ]


def test_columns_count_the_cells_that_characters_take(printed):
    show.columns([("日本", "x"), ("a", "y")])
    assert printed() == ["  日本  x", "  a     y"]


def test_two_columns_that_do_not_fit_stand_under_one_another(printed):
    show.columns([("The title of a topic that is long", "stickback lesson it"), ("Short", "x")])
    assert printed() == ["  The title of a topic that is long", "    stickback lesson it", "  Short", "    x"]


def test_a_command_that_does_not_fit_stands_below_its_row_and_is_not_torn(printed):
    rows = [("Where to look", "61 %", "stickback lesson a"), ("Feet", "sure but wrong", "stickback lesson feet")]
    show.columns(rows, typed=True)
    assert printed() == [
        "  Where to look  61 %",
        "    stickback lesson a",
        "  Feet  sure but wrong",
        "    stickback lesson feet",
    ]
    show.columns(rows[1:], typed=True, indent=0)
    assert printed() == ["Feet  sure but wrong", "  stickback lesson feet"]
    show.columns([rows[0][1:]], typed=True)
    assert printed() == ["  61 %  stickback lesson a"]


def test_more_columns_than_fit_are_not_cut(printed):
    show.columns([("a" * 25, "b" * 20, "c")])
    assert printed() == [f"  {'a' * 25}  {'b' * 20}  c"]


def test_a_following_line_with_a_wider_margin_stays_on_the_screen(printed):
    show.wrapped(Text("word " * 20), "  ", "        ")
    assert max(map(len, printed())) <= 40


def test_keys_with_what_they_do_are_never_torn_apart(printed):
    show.choices(["space next", "w all of why and sources", "l the lesson", "q leave"])
    assert printed() == ["  space next · w all of why and sources", "  l the lesson · q leave"]


def test_no_rows_print_nothing(printed):
    show.columns([])
    assert printed() == []


def test_a_long_work_tells_nothing_in_a_pipe(capsys):
    with show.progress(2) as tell:
        tell("the first half")
    assert capsys.readouterr() == ("", "")
