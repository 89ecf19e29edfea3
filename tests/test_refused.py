import pytest

from stickback.refused import Refused


def test_a_refusal_shows_its_sentence_and_nothing_else():
    with pytest.raises(Refused) as caught:
        raise Refused("There is no student 'ann'.")
    assert str(caught.value) == caught.value.message == "There is no student 'ann'."


def test_what_a_terminal_offers_stands_behind_the_sentence_and_not_in_it():
    refused = Refused("There is no student 'ann'.", "`stickback student add` adds one")
    assert str(refused) == "There is no student 'ann'; `stickback student add` adds one."
    assert refused.message == "There is no student 'ann'."
