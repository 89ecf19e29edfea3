import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.sound import listening
from stickback.sound.listening import Listening


@pytest.mark.parametrize(
    ("text", "how"),
    [
        ("off", None),
        ("", None),
        ("on", Listening()),
        ("pace 120", Listening(pace=120)),
        ("Noise, clipped", Listening(noise="light", clipped=True)),
        ("clipped , noise heavy,  pace 150", Listening(150, "heavy", True)),
        ("noise none", Listening()),
    ],
)
def test_how_to_listen_is_a_few_words(text, how):
    assert listening.read(text) == how


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("pace 20", "80 to 200 words a minute, not 20"),
        ("loud", "'loud' is none of them"),
        ("noise great", "'noise great' is none of them"),
        ("pace 100, pace 120", "'pace' stands twice"),
        ("on, clipped", "'on' is none of them"),
    ],
)
def test_what_is_none_is_named(text, wrong):
    with pytest.raises(ValueError, match=wrong):
        listening.read(text)


@given(st.builds(Listening, st.integers(80, 200), st.sampled_from(["none", "light", "heavy"]), st.booleans()))
def test_what_is_written_is_read_as_itself(how):
    assert listening.read(how.text) == how
