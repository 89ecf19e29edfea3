import json

import pytest

import worlds
from worlds import squeezed


@pytest.fixture
def wanting(place):
    """The command in a course that asks too little; gives what it shows."""
    return lambda *words: place("coverage", *words)


def test_every_topic_stands_with_what_asks_about_it_and_what_is_wanted(wanting):
    result = wanting()
    assert (result.exit_code, result.stderr) == (1, "")
    assert "feet 2 must 3" in squeezed(result.stdout)
    assert result.stdout.splitlines()[-1].endswith("want more.")


def test_json_has_the_same_in_fields(wanting):
    found = {row["topic"]: row for row in json.loads(wanting("--json").stdout)}
    assert found["feet"]["weight"] == 2
    assert found["feet"]["must"] is True
    assert found["feet"]["questions"] == sum(found["feet"]["kinds"].values()) == 3
    assert found["feet"]["gaps"]


def test_a_course_that_asks_enough_wants_nothing():
    result = worlds.run("coverage")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.endswith("; 0 of them want more.\n")
