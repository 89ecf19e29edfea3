import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stickback.radio import atoms


def texts(said):
    return [atom.text for atom in atoms.atoms(said)]


@pytest.mark.parametrize(
    ("said", "cut"),
    [
        ("Runway 24L", "runway 24 l"),
        ("golf-quebec WHISKEY, Alpha", "g q w a"),
        ("G-QTWA", "g qtwa"),
        ("two fower niner", "2 4 9"),
        ("fifteen twenty", "15 20"),
        ("2,500 ft, 12,500ft", "2500 ft 12500 ft"),
        ("2 500 feet and 12 000ft", "2500 feet and 12000 ft"),
        ("118,300 118.300 118.3 118,3 118.000", "118.3 118.3 118.3 118.3 118.0"),
        ("squawk 4320,7TW", "squawk 4320 7 tw"),
        ("QNH 1008,24", "qnh 1008 24"),
        ("runway 24 500 metres", "runway 24 500 metres"),
        ("1.2.3", "1.2 3"),
        ("one_two", "1 2"),
    ],
)
def test_a_transmission_is_cut_into_words_letters_and_numbers(said, cut):
    assert texts(said) == cut.split()


@pytest.mark.parametrize("said", ["", "  ", "...", ",,,", "-_-", "\u202e\u200f", "\x00\x1b", "\u20e3"])
def test_where_nothing_is_said_there_is_no_atom(said):
    assert atoms.atoms(said) == ()


@pytest.mark.parametrize(
    "said",
    ["run\x00way 24", "run\u202eway\u202c 24", "runway\u00a024", "\ufeffrunway\t24\u200b", "run\u00adway\u2028" + "24"],
)
def test_what_cannot_be_seen_is_not_heard(said):
    assert texts(said) == ["runway", "24"]


@pytest.mark.parametrize(
    "script", sorted({unicodedata.name(chr(c))[:-5] for c in range(0x110000) if unicodedata.decimal(chr(c), 0) == 4})
)
def test_the_figures_of_every_script_are_figures(script):
    assert texts(f"24{unicodedata.lookup(f'{script} FOUR')}") == ["244"]


@pytest.mark.parametrize("figure", ["²", "⑨", "\u1371", "Ⅳ", "½", "一"])
def test_what_only_stands_for_a_number_is_read_without_an_error(figure):
    assert texts(f"runway 24 {figure}")[:2] == ["runway", "24"]


def test_full_width_letters_and_figures_are_plain_ones():
    assert texts("\uff32\uff37\uff39 \uff12\uff14") == ["rwy", "24"]


def test_an_atom_knows_where_it_stood_and_what_stood_before_it():
    runway, number, side, comma = atoms.atoms("Runway 24L, three")
    assert (runway.start, runway.end, number.start, number.end) == (0, 6, 7, 9)
    assert (number.alone, side.glued, comma.apart, comma.alone) == (True, True, True, False)
    assert [atom.apart for atom in atoms.atoms("1, 2; 3. 4/5 6-7")] == [False, True, True, True, True, False, False]


def test_of_a_very_long_answer_the_beginning_is_heard():
    assert texts("9" * 10_000) == ["9" * atoms.MOST]
    assert len(texts("nine " * 10_000)) == atoms.MOST // 5
    assert len(atoms.clean("\ufdfa" * 10_000)) == atoms.MOST  # one character that becomes eighteen


@given(st.text() | st.text(alphabet="0123456789.,- /GWA"))
@example("1,000,00")
@example("\u0130")
def test_any_text_has_a_reading_and_cleaning_it_twice_changes_nothing(said):
    clean = atoms.clean(said)
    assert atoms.clean(clean) == clean
    for atom in atoms.atoms(said):
        assert atom.text
        assert atom.number == (clean[atom.start] in "0123456789" or atom.text.isdecimal())
