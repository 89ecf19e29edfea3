import pytest

from stickback.radio import alphabet

SPOKEN = "alfa bravo charlie delta echo foxtrot golf hotel india juliett kilo lima mike november oscar papa"


def test_every_letter_and_figure_has_its_word():
    assert " ".join(alphabet.SPELT.values()).startswith(SPOKEN)
    assert list(alphabet.SPELT) == list("abcdefghijklmnopqrstuvwxyz")
    assert list(alphabet.COUNTED.values()) == "zero one two three four five six seven eight niner".split()


@pytest.mark.parametrize(("words", "letter"), [("alfa alpha", "a"), ("juliett juliet", "j"), ("whiskey whisky", "w")])
def test_a_letter_may_be_spelt_in_either_way(words, letter):
    assert {alphabet.LETTERS[word] for word in words.split()} == {letter}


@pytest.mark.parametrize(("by_sound", "figure"), [("wun", "1"), ("fower", "4"), ("fife", "5"), ("niner", "9")])
def test_a_figure_may_be_written_by_its_sound(by_sound, figure):
    assert alphabet.FIGURES[by_sound] == figure


def test_no_word_stands_for_two_things():
    tables = (alphabet.LETTERS, alphabet.FIGURES, alphabet.TEENS, alphabet.TENS, alphabet.MULTIPLES, alphabet.UNITS)
    words = [word for table in (*tables, alphabet.FORMS, alphabet.FILLERS, alphabet.DECIMAL) for word in table]
    assert sorted(words) == sorted(set(words))


def test_a_form_stands_for_a_word_that_is_no_form_itself():
    assert not set(alphabet.FORMS.values()) & alphabet.FORMS.keys()
    assert not set(alphabet.PHRASES.values()) & alphabet.FORMS.keys()


def test_phrases_are_several_words_and_no_longer_than_is_looked_for():
    assert {len(phrase) for phrase in alphabet.PHRASES} == {2, alphabet.LONGEST_PHRASE}
