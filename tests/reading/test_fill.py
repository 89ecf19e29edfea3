from html import escape

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from stickback.reading import fill

MARKUP = "*_`[]<>#|~!\\(){}:-+=\"'^$&;"
names = st.from_regex(r"[a-z][a-z0-9_]{0,8}", fullmatch=True)
sheets = st.dictionaries(names, st.text(max_size=9), min_size=1, max_size=6)
# a value of a sheet is one line of printable text
lines = st.text(st.characters(exclude_categories=["C", "Zl", "Zp"]) | st.sampled_from(MARKUP), min_size=1, max_size=12)


def shown(text, values):
    """The filled text as HTML."""
    return MarkdownIt("commonmark", {"html": False}).renderInline(fill.fill(text, values))


def as_html(text):
    """The text as it was typed, in HTML; an apostrophe needs no escape."""
    return escape(text, quote=False).replace('"', "&quot;")


def test_names_are_filled_with_their_values():
    values = {"swing": "left", "approach_speed": "60"}
    assert fill.fill("{{ swing }}, {{approach_speed}} and {{  swing }}", values) == "left, 60 and left"


@pytest.mark.parametrize("text", ["{{ flaps }}", "{ swing }", "{{ Swing }}", "{{ swing side }}", "{{}}", "swing"])
def test_what_names_no_value_stays_as_it_stands(text):
    assert fill.fill(text, {"swing": "left"}) == text


def test_a_value_is_not_filled_again():
    assert fill.fill("{{ a }}", {"a": "{{ b }}", "b": "deeper"}) == "{{ b }}"


@given(lines)
@example("*left*")
@example("[here](where)")
@example("<b>left</b>")
@example("`left`")
@example("\\")
def test_a_value_is_shown_as_it_was_typed(value):
    assert shown("say {{ v }} now", {"v": value}) == f"say {as_html(value)} now"


@pytest.mark.parametrize("value", ["A&amp;B", "&lt;", "&#42;", "&copy;"])
def test_a_value_that_looks_like_a_character_reference_is_shown_as_it_was_typed(value):
    assert shown("say {{ v }} now", {"v": value}) == f"say {as_html(value)} now"


@pytest.mark.parametrize("value", ["N07_TW", "~65"])
def test_a_value_in_code_is_shown_as_it_was_typed(value):
    assert shown("say `{{ v }}`", {"v": value}) == f"say <code>{as_html(value)}</code>"


def test_a_value_makes_no_picture_of_a_link_behind_it():
    assert shown("{{ v }}[map](map.md)", {"v": "Look!"}) == 'Look!<a href="map.md">map</a>'


def test_markup_around_a_value_stays_markup():
    assert shown("**{{ v }}** kt", {"v": "6*5"}) == "<strong>6*5</strong> kt"


# plain


@given(lines)
def test_a_value_in_what_is_spoken_stands_as_it_was_typed(value):
    assert fill.plain("say {{ v }} and {{v}}", {"v": value}) == f"say {value} and {value}"


def test_in_what_is_spoken_an_unknown_name_stays_and_no_value_is_filled_again():
    assert fill.plain("{{ a }}, `{{ a }}`, {{ c }}", {"a": "{{ b }}", "b": "x"}) == "{{ b }}, `{{ b }}`, {{ c }}"


# variants


@given(sheets, st.text(max_size=9), st.text(max_size=9))
def test_a_variant_ignores_the_callsign(values, callsign, other):
    names = {*values, "callsign"}
    one = fill.variant(names, {**values, "callsign": callsign})
    assert one == fill.variant(names, {**values, "callsign": other})
    assert fill.variant(["callsign"], {**values, "callsign": callsign}) == ""


def test_a_variant_ignores_the_short_callsign():
    assert fill.variant(["callsign_short", "callsign"], {"callsign_short": "G-WA", "callsign": "G-QTWA"}) == ""


@given(sheets)
def test_a_variant_is_empty_when_no_value_is_used(values):
    assert fill.variant([], values) == ""
    assert fill.variant(values, {}) == ""
    assert fill.variant(["no such value"], values) == ""


@given(sheets, st.text(max_size=9), st.data())
def test_a_variant_differs_when_a_used_value_differs(values, other, data):
    name = data.draw(st.sampled_from(sorted(values)))
    changed = {**values, name: values[name] + "+" + other}
    assert (fill.variant(values, values) == fill.variant(values, changed)) is (name == "callsign")


@given(sheets, names, st.text(max_size=9))
def test_a_variant_ignores_values_that_are_not_used(values, name, value):
    used = set(values) - {name}
    assert fill.variant(used, values) == fill.variant(used, {**values, name: value})


@given(sheets)
def test_a_variant_ignores_the_order_of_names_and_values(values):
    turned = dict(reversed(values.items()))
    assert fill.variant(list(values), values) == fill.variant(list(turned), turned)


def test_values_of_the_same_text_under_other_names_are_other_variants():
    assert fill.variant(["swing"], {"swing": "left"}) != fill.variant(["solo_seat"], {"solo_seat": "left"})


def test_a_variant_never_changes_from_one_version_to_the_next():
    """The log stores it; a changed digest would turn every answer unseen."""
    assert fill.variant({"swing", "callsign"}, {"swing": "left", "callsign": "G-QTWA"}) == "aed43159"
