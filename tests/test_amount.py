import pytest

from stickback import amount


@pytest.mark.parametrize(("share", "text"), [(0, "0\xa0%"), (0.5, "50\xa0%"), (0.996, "100\xa0%"), (1, "100\xa0%")])
def test_a_share_is_said_in_per_cent_and_no_line_ends_before_its_sign(share, text):
    assert amount.percent(share) == text


@pytest.mark.parametrize(("number", "text"), [(0, "0 days"), (1, "1 day"), (2, "2 days")])
def test_a_number_has_its_noun(number, text):
    assert amount.many(number, "day") == text


def test_a_noun_may_have_a_plural_of_its_own():
    assert (amount.many(1, "entry", "entries"), amount.many(2, "entry", "entries")) == ("1 entry", "2 entries")


def test_a_small_share_may_have_digits():
    assert amount.percent(0.0161, 1) == "1.6\xa0%"
