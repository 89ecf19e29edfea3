"""What every kind must do, asked of each in the table."""

from dataclasses import FrozenInstanceError, fields
from inspect import signature
from itertools import product

import pytest

from parts import part_of
from stickback.kinds.choice import Choice
from stickback.kinds.protocol import Draw, Kind
from stickback.kinds.shown import UNKNOWN, Cells, Compared, Mark, Point, Shown
from stickback.kinds.table import KINDS
from typed import heard


def written(kind):
    """The body of a kind's own example."""
    body, _, problems = kind.parse(part_of(f"## Which? {{#which}}\n\n{kind.EXAMPLE}\n"))
    assert problems == []
    return body


BODIES = {name: written(kind) for name, kind in KINDS.items()}
FUNCTIONS = sorted(name for name, value in vars(Kind).items() if callable(getattr(Kind, name)) and name[0] != "_")
BLANK = ("", "  ", "?")
VALUES = {"callsign": "G-QTWA", "callsign_short": "G-WA"}

every_kind = pytest.mark.parametrize("name", KINDS)


def accepts(function):
    return [parameter.name for parameter in signature(function).parameters.values()]


def test_the_protocol_asks_for_these_functions():
    kept = ["chosen", "from_log", "key", "solution", "to_log"]
    read = ["describe", "is_answer", "near_misses", "parse", "reads", "texts", "uses"]
    asked = ["answer", "chance", "compare", "judge", "mark", "show", "simulate", "understand"]
    made = ["craft", "habits", "misfits", "prove"]
    assert sorted([*kept, *read, *asked, *made]) == FUNCTIONS


@every_kind
def test_a_kind_is_found_by_its_name(name):
    assert name == KINDS[name].NAME == BODIES[name].NAME


@every_kind
def test_a_kind_says_of_itself_whether_its_answer_is_said_aloud(name):
    assert (BODIES[name].show(1, VALUES).manner == "aloud") == KINDS[name].ALOUD


@pytest.mark.parametrize("function", FUNCTIONS)
@every_kind
def test_a_kind_has_every_function_of_the_protocol_with_its_parameters(name, function):
    assert accepts(getattr(KINDS[name], function)) == accepts(getattr(Kind, function))


@every_kind
def test_what_a_kind_gives_is_of_the_types_it_promises(name):
    body = BODIES[name]
    right = body.simulate(1, VALUES, right=True)
    assert isinstance(body.show(1, VALUES), Shown)
    assert isinstance(body.mark(1, right, VALUES), Mark)
    assert isinstance(body.compare(1, right, VALUES), Compared)
    assert {type(point) for point in body.answer(1, VALUES)} == {Point}
    assert {type(text) for text in body.texts()} == {str}
    assert body.describe()
    assert body.show(1, VALUES).expects


@every_kind
def test_a_chance_and_a_score_lie_between_0_and_1(name):
    body = BODIES[name]
    assert 0 <= body.chance() < 1
    assert 0 <= body.mark(1, body.simulate(1, VALUES, right=False), VALUES).score <= 1


@every_kind
def test_nothing_typed_is_no_answer(name):
    assert [heard(BODIES[name], text) for text in BLANK] == [None] * len(BLANK)


@pytest.mark.parametrize("right", [True, False])
@every_kind
def test_a_simulated_answer_is_understood_as_itself_and_marks_as_wanted(name, right):
    body = BODIES[name]
    for seed in range(20):
        said = body.simulate(seed, VALUES, right=right)
        assert heard(body, said) == said
        assert body.mark(seed, said, VALUES).right is right


@every_kind
def test_what_the_log_keeps_of_an_answer_marks_the_same(name):
    body = BODIES[name]
    for seed, right in product(range(10), (True, False)):
        given = body.simulate(seed, VALUES, right=right)
        kept = body.to_log(seed, given)
        assert body.from_log(seed, kept) == given
        assert body.judge(seed, kept, VALUES)[0] == body.mark(seed, given, VALUES)


@every_kind
def test_not_to_know_is_wrong_and_not_quoted(name):
    mark, told = BODIES[name].judge(1, UNKNOWN, VALUES)
    assert (mark.right, mark.score, told.said, told.later) == (False, 0.0, "", "")
    assert told.points


@every_kind
def test_the_key_stays_the_same_for_the_same_answer(name):
    assert BODIES[name].key() == written(KINDS[name]).key()
    assert len({body.key() for body in BODIES.values()}) == len(BODIES)


@every_kind
def test_a_question_that_is_well_is_proven_without_a_problem(name):
    found = BODIES[name].prove(Draw(1, VALUES, "sheet.md", thorough=True))
    assert [each for each in found if each.severity == "error"] == []


def test_a_right_answer_that_marks_wrong_is_told_with_the_draw():
    class Deaf(Choice):
        def mark(self, seed, given, values):
            return Mark(False, 0.0)

    (found,) = Deaf(BODIES["choice"].options).prove(Draw(1, {}, "x 3", thorough=False))
    assert found.code == "answer-fails"
    assert found.message.startswith("With x 3 the right answer '")


def test_a_cell_of_a_grid_is_spoken_of_by_its_row_and_its_column():
    cells = Cells(("up", "down"), ("near", "far"), ("12", "34"))
    assert [cells.name(key) for key in "1234"] == ["up near", "up far", "down near", "down far"]


@pytest.mark.parametrize(
    "value", [Shown(manner="aloud", expects="x"), Point(text="Stick back"), Mark(True, 1.0), *BODIES.values()]
)
def test_what_kinds_speak_in_cannot_be_changed(value):
    with pytest.raises(FrozenInstanceError):
        setattr(value, fields(value)[0].name, None)


def test_a_point_is_neither_a_must_nor_a_failure_unless_it_says_so():
    assert Point(text="Stick back") == Point(text="Stick back", label="", must=False, fails=False, said=None)
