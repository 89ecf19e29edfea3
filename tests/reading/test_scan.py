import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stickback.reading import scan
from stickback.reading.scan import Reference


def found(text, hidden=()):
    return [(each.kind, each.line, each.column, each.text) for each in scan.things(text, set(hidden), "deck.md")[0]]


def problems(text, hidden=()):
    return [(each.line, each.column, each.code) for each in scan.things(text, set(hidden), "deck.md")[1]]


def control(*lines):
    return [(each.line, each.column) for each in scan.control(lines, "deck.md")]


def test_values_footnotes_and_pictures_are_found_with_their_places():
    assert scan.things("a {{ b }}\n![c](d.svg) [^e]\n", set(), "deck.md") == (
        (Reference("value", 1, 3, "b"), Reference("picture", 2, 1, "d.svg"), Reference("note", 2, 13, "e")),
        [],
    )


def test_what_stands_on_a_hidden_line_is_not_looked_at():
    text = "{{ a }}\n{{ b }} {{ ##\n##c\n{{ d }}\n"
    assert (found(text, {2, 3}), problems(text, {2, 3})) == ([("value", 1, 1, "a"), ("value", 4, 1, "d")], [])


@pytest.mark.parametrize(("text", "column"), [("[^a]: b", 1), (" [^a]: b", 2), ("   [^a]: b", 4)])
def test_a_footnote_is_defined_at_the_start_of_a_line_and_up_to_three_spaces_behind_it(text, column):
    assert found(text) == [("define", 1, column, "a")]


@pytest.mark.parametrize("text", ["    [^a]: b", "see [^a]: b", "> [^a]: b", "[^a] : b"])
def test_a_footnote_elsewhere_is_a_use_of_it(text):
    assert [kind for kind, *_ in found(text)] == ["note"]


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("`{{ a }}` {{ b }}", ["b"]),
        ("``{{ a }} ` {{ b }}`` {{ c }}", ["c"]),
        ("`{{ a }}`` {{ b }}", ["a", "b"]),  # the runs differ in length, so neither opens anything
        ("` {{ a }}\n{{ b }} `", ["a", "b"]),  # looked for within a line
        ("`` ` `` {{ a }} ` {{ b }} `", ["a"]),
    ],
)
def test_what_stands_between_equal_runs_of_ticks_is_code(text, names):
    assert [name for *_, name in found(text)] == names


def test_double_braces_may_not_go_over_a_line_end_and_are_one_problem():
    assert problems("a {{ b\nc }} d") == [(1, 3, "value-form")]


def test_double_braces_that_nothing_closes_are_named_where_they_open():
    assert problems("{{ a\n\nb }}") == [(1, 1, "value-form"), (3, 3, "value-form")]


def test_a_heading_without_a_space_is_named_where_its_signs_begin():
    assert problems("  ##a") == [(1, 3, "heading-space")]


@pytest.mark.parametrize("char", ["\0", "\x1b", "\x85", "\u200b", "\u202e", "\u2060", "\u2069", "\ufeff"])
def test_the_first_character_of_a_line_that_nobody_sees_is_named(char):
    assert control("a", f"ab{char}c{char}") == [(2, 3)]


@pytest.mark.parametrize("char", ["\t", "\xa0", "\xad", "\u200c", "\u200d", "\u2009", "é", "🛩"])
def test_a_character_that_scripts_need_is_not_named(char):
    assert control(f"a{char}b") == []


def test_a_text_is_crowded_by_what_would_have_to_be_looked_at():
    half = "{{ a }}" * (scan.MOST // 2)
    assert [scan.crowded(half), scan.crowded(f"{half}[^a]"), scan.crowded("a" * 1_000_000)] == [False, True, False]


@given(st.text(st.sampled_from("`{}[]^!(:)< >#a\n"), max_size=40))
@example("`" * 3 + "{{a}}" + "`" * 3 + "\n[^a]: ![a](b)")
def test_whatever_is_said_of_any_text_stands_inside_it(text):
    lines = text.split("\n")
    stand = [(line, column) for _, line, column, _ in found(text)] + [
        (line, column) for line, column, _ in problems(text)
    ]
    assert [at for at in stand if not 1 <= at[1] <= len(lines[at[0] - 1])] == []
