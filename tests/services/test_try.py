import pytest

from stickback.refused import Refused
from stickback.services.try_ import as_data, trial, tried

DECK = """\
---
topic: three-point
---

## Crosswind at {{ wind }} knots? {#sum}

Approach at {{ approach_speed }}.

```given
wind: 10 | 20
let:
  half: wind / 2
```

### Answer

```number
answer: half
unit: kt
tolerance: 1
```

## Brakes? {#brakes brakes=toe}

- [x] Toe
- [ ] Heel

## Read back {#rt phraseology=faa}

> {{ callsign }}, **runway 33, cleared to land**.
"""


@pytest.fixture
def read(course):
    made = course(DECK)
    assert not made.problems
    return made


def test_a_question_is_put_as_it_is_met_on_the_first_aeroplane_that_has_it(read):
    assert trial(read, "brakes").sheet.id == "mossbank"
    assert trial(read, "sum", aircraft="mossbank").values["approach_speed"] == "65"


def test_a_seed_draws_otherwise_and_the_same_again(read):
    seen = [trial(read, "sum", seed=seed).values["wind"] for seed in range(12)]
    assert set(seen) == {"10", "20"}
    assert seen == [trial(read, "sum", seed=seed).values["wind"] for seed in range(12)]


def test_a_value_is_set_and_what_follows_from_it_follows(read):
    one = trial(read, "sum", fixed={"wind": "16", "approach_speed": "70"})
    assert (one.values["half"], one.values["approach_speed"]) == ("8", "70")
    assert [point.text for point in one.answer] == ["8 kt"]


def test_an_answer_is_marked_and_told_and_one_that_is_none_is_not_understood(read):
    one = trial(read, "sum", fixed={"wind": "16"})
    assert as_data(one, tried(one, "8 kt")) == {
        "given": "8 kt",
        "right": True,
        "score": 1.0,
        "remarks": [],
        "understood": True,
    }
    assert not as_data(one, tried(one, "eleventy"))["understood"]
    assert as_data(one, tried(one, "12 kt"))["right"] is False


@pytest.mark.parametrize(
    ("name", "more", "says"),
    [
        ("sums", {}, "did you mean 'sum'"),
        ("zzz", {}, "has no question 'zzz'"),
        ("sum", {"aircraft": "none"}, "no aircraft sheet 'none'; it has mossbank, quillon"),
        ("brakes", {"aircraft": "quillon"}, "never asked on quillon"),
        ("rt", {"phraseology": "uk"}, "asked only under faa"),
        ("sum", {"fixed": {"half": "3"}}, "worked out from other values"),
        ("sum", {"fixed": {"nothing": "3"}}, "has a value 'nothing'; drawn: wind"),
        ("sum", {"fixed": {"wind": "calm"}}, "The question 'sum' has no answer with wind calm."),
    ],
)
def test_what_cannot_be_tried_is_refused_in_one_sentence(read, name, more, says):
    with pytest.raises(Refused, match=says):
        trial(read, name, **more)
