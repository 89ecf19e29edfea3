import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.radio import correction, spoken

words = st.sampled_from(["correction", "runway", "24", "i", "say again", "two", "qnh", "left", "right", ","])


def rest(said):
    """What is left of it."""
    return " ".join(token.text for token in correction.corrected(spoken.tokens(said)))


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("runway two five correction runway two four", "runway 24"),
        ("runway 25, correction, runway 24, cleared to land", "runway 24 cleared land"),
        ("runway 25 cleared to land, correction, runway 24", "cleared land runway 24"),
        ("runway two five, correction, two four, cleared to land", "runway 24 cleared land"),
        ("QNH 1008, runway 25, correction, 24", "qnh 1008 runway 24"),
        ("runway 25 correction runway 26 correction runway 24", "runway 24"),
        ("runway 24 right correction left", "runway 24 left"),
        ("taxi A, correction, I say again, hold short", "i say again hold short"),
        ("taxi A, correction, say again, hold short", "say again hold short"),
        ("hold short, correction", "hold short"),
        ("correction", ""),
        ("correction correction runway 24", "runway 24"),
        ("correction runway 24", "runway 24"),
        ("QNH 1008, correction, squawk 7000", "qnh 1008 squawk 7000"),
    ],
)
def test_what_is_taken_back_is_not_heard(said, meant):
    assert rest(said) == meant


@given(st.text() | st.lists(words, max_size=30).map(" ".join))
def test_of_any_text_something_is_left_unless_it_ends_in_a_correction(said):
    left = correction.corrected(spoken.tokens(said))
    assert "correction" not in {token.text for token in left}
    assert set(left) <= set(spoken.tokens(said))
