import pytest
from hypothesis import given
from hypothesis import strategies as st

import strategies
from stickback.reading import places


def read(text, first_line=1):
    return places.read(text, "deck.md", first_line)


def found(text, first_line=1):
    return [(each.line, each.column, each.code) for each in read(text, first_line)[1]]


def leaves(value, path=()):
    """The paths of all values in a mapping."""
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(leaf for key, each in inside for leaf in leaves(each, (*path, str(key))))]


@pytest.mark.parametrize("typed", ["07", "no", "10:30", "1e3", "2026-11-25", "null", "0x1F", "True", "~"])
def test_a_value_stays_as_it_was_typed(typed):
    assert read(f"runway: {typed}\n")[0].data == {"runway": typed}


def test_lists_and_mappings_keep_their_shape():
    assert read("a: [1, 'x']\nb: {c: d}\ne:\n- f\n")[0].data == {"a": ["1", "x"], "b": {"c": "d"}, "e": ["f"]}


def test_a_text_is_found_under_its_path_and_is_empty_where_there_is_none():
    placed, _ = read("a: x\nb: {c: y}\nd: [e, {f: z}]\n")
    assert [placed.text(*path) for path in (("a",), ("b", "c"), ("d", "0"), ("d", "1", "f"))] == ["x", "y", "e", "z"]
    nowhere = ((), ("b",), ("d",), ("x",), ("a", "x"), ("b", "x"), ("d", "x"), ("d", "2"), ("d", "0", "0"))
    assert {placed.text(*path) for path in nowhere} == {""}


def test_keys_and_values_know_their_places_in_the_file():
    placed, problems = read("title: Swing\nexam: {questions: 20, pass: 0.8}\n", first_line=2)
    assert problems == []
    assert [placed.key("title"), placed.value("title")] == [(2, 1), (2, 8)]
    assert [placed.key("exam", "pass"), placed.value("exam", "pass")] == [(3, 23), (3, 29)]


def test_a_place_counts_characters_not_bytes():
    assert read("a: {é🛩: x, b: y}\n")[0].value("a", "b") == (1, 15)


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing\n"])
def test_an_empty_text_is_an_empty_mapping(text):
    placed, problems = read(text)
    assert (placed.data, problems) == ({}, [])


@pytest.mark.parametrize("text", ["- a\n", "a\n", "'a: b'\n", "[a, b]\n"])
def test_what_is_no_mapping_is_one_problem_at_its_first_line(text):
    assert found(text, first_line=2) == [(2, 1, "front-form")]


def test_a_doubled_key_keeps_its_first_value_and_is_named_where_it_comes_again():
    placed, problems = read("a: 1\nb: 2\na: 3\n")
    assert placed.data == {"a": "1", "b": "2"}
    assert [(each.line, each.column, each.code) for each in problems] == [(3, 1, "front-doubled")]


def test_a_doubled_key_inside_a_value_is_found_too():
    assert found("a: {b: 1, b: 2}\n") == [(1, 11, "front-doubled")]


@pytest.mark.parametrize("text", ["a: &x 1\nb: *x\n", "a: &x [*x]\n", "a: &x {b: *x}\n"])
def test_an_alias_is_one_problem(text):
    assert found(text) == [(1, 4, "front-alias")]


def test_many_aliases_of_aliases_do_not_grow():
    lines = ["a0: &a0 x", *(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]" for n in range(1, 40))]
    assert {code for _, _, code in found("\n".join(lines))} == {"front-alias"}


@pytest.mark.parametrize(
    "text", ["b: *x\n", "a: b: c\n", "a: 'b\n", "a: [\n", "\ta: b\n", "a: b\n--- \nc: d\n", "%A\n"]
)
def test_what_is_no_yaml_is_one_problem(text):
    assert [code for _, _, code in found(text)] == ["front-form"]


def test_what_is_no_yaml_is_named_where_it_stops_being_so():
    assert found("title: Swing\ntopic: a: b\n", first_line=2) == [(3, 9, "front-form")]


def test_a_key_that_is_no_word_is_named():
    assert found("? [a]\n: b\n") == [(1, 3, "front-form")]


@pytest.mark.parametrize(
    "text", ["[" * 5000, "a: " + "[" * 500 + "]" * 500, "\n".join(" " * n + "a:" for n in range(90))]
)
def test_what_nests_without_end_is_one_problem(text):
    assert [code for _, _, code in found(text)] == ["front-form"]


def test_tags_of_a_programming_language_do_nothing():
    assert read("a: !!python/object/apply:os.system [x]\n")[0].data == {"a": ["x"]}


@pytest.mark.parametrize("end", ["\u2028", "\u2029", "\x85"])
def test_a_line_end_that_editors_do_not_count_moves_no_place(end):
    assert read(f"a: 'x{end}y'\nb: z\n")[0].places.get(("b",)) == (2, 4)


@pytest.mark.parametrize("text", ["a: &x 1\nb: *x\n", "a: &x [1, *x]\n", "a: " + "[" * 30 + "]" * 30])
def test_a_value_that_is_not_read_has_a_place_all_the_same(text):
    placed, _ = read(text)
    assert [path for path in leaves(placed.data) if path not in placed.places] == []


@given((st.text() | strategies.front_like).map(lambda text: text.replace("\r", "")), st.integers(1, 3))
def test_any_text_is_read_and_every_place_lies_inside_it(text, first_line):
    placed, problems = read(text, first_line)
    lines = text.split("\n")
    stand = [*placed.places.values(), *((each.line, each.column) for each in problems)]
    assert [at for at in stand if not 0 <= at[0] - first_line < len(lines)] == []
    assert [at for at in stand if not 1 <= at[1] <= len(lines[at[0] - first_line]) + 1] == []
    assert [path for path in leaves(placed.data)[1:] if path not in placed.places] == []
