import pytest

from stickback.refused import Refused


def test_a_refusal_shows_its_sentence_and_nothing_else():
    with pytest.raises(Refused) as caught:
        raise Refused("There is no student 'ann'.")
    assert str(caught.value) == caught.value.message == "There is no student 'ann'."
