import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade.number_words import in_figures


@pytest.mark.parametrize(
    ("words", "figures"),
    [
        ("fourteen", "14"),
        ("twenty-two", "22"),
        ("two hundred and forty", "240"),
        ("seventeen hundred", "1700"),
        ("two thousand five hundred", "2500"),
        ("2 thousand and five", "2005"),
        ("2.5 thousand", "2500"),
        ("a hundred and ten", "a 110"),
    ],
)
def test_numbers_are_read_as_they_are_counted(words, figures):
    assert in_figures(words) == figures


@pytest.mark.parametrize(
    ("words", "figures"),
    [
        ("two four niner", "249"),
        ("zero nine zero", "090"),
        ("two forty", "240"),
        ("ten thirteen", "1013"),
        ("one two one decimal eight", "121.8"),
        ("twenty nine point nine two", "29.92"),
        ("nought point five", "0.5"),
        ("point five", "0.5"),
    ],
)
def test_numbers_are_read_as_they_are_spoken(words, figures):
    assert in_figures(words) == figures


@pytest.mark.parametrize(
    ("words", "figures"),
    [
        ("half", "1/2"),
        ("half an hour", "1/2 an hour"),
        ("three quarters of a mile", "3/4 a mile"),
        ("two and a half", "2 1/2"),
        ("1 hour and a half", "1 1/2 hour"),
        ("one and three quarter hours", "1 3/4 hours"),
        ("twice", "2"),
        ("double", "2"),
    ],
)
def test_parts_and_multiples_are_figures(words, figures):
    assert in_figures(words) == figures


@pytest.mark.parametrize("text", ["one and three", "ten or twelve", "ten to twelve", "one, three"])
def test_two_numbers_stay_two(text):
    assert sum(word.isdecimal() for word in in_figures(text).replace(",", " ").split()) == 2


@pytest.mark.parametrize("text", ["", "14 kt", "fourteenth", "often", "tension", "someone", "phone"])
def test_what_is_no_number_word_stays(text):
    assert in_figures(text) == text


@given(st.integers(0, 99))
def test_a_number_below_a_hundred_is_read_from_its_words(number):
    ones = "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen"
    ones = [*ones.split(), "seventeen", "eighteen", "nineteen"]
    tens = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
    words = (
        ones[number]
        if number < 20
        else f"{tens[number // 10 - 2]} {ones[number % 10]}"
        if number % 10
        else tens[number // 10 - 2]
    )
    assert in_figures(words) == str(number)


@given(st.text(max_size=60) | st.text("onetwhrdfia -", max_size=40))
def test_any_text_is_taken(text):
    assert isinstance(in_figures(text), str)
