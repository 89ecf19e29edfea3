"""What every kind must provide, asked of each module in the table."""

from dataclasses import FrozenInstanceError, fields
from inspect import signature

import pytest

from stickback.formulas.formula import compile_
from stickback.kinds.choice import Choice, Option
from stickback.kinds.explain import Explain
from stickback.kinds.number import Number
from stickback.kinds.protocol import Kind, Mark, Point, Shown
from stickback.kinds.radio import Radio
from stickback.kinds.sequence import Sequence
from stickback.kinds.stick import Stick
from stickback.kinds.table import KINDS

BODIES = {
    "choice": Choice((Option("Left", True), Option("Right", False))),
    "number": Number(compile_("9 + 5", ()), "kt", 1, "absolute", False, ()),
    "sequence": Sequence(("Mixture rich", "Magnetos on", "Starter")),
    "stick": Stick("", "", "", "", (("back", "left"),)),
    "radio": Radio("G-WA, hold position", ("hold position",), "", "uk", "tower", False, False, True),
    "explain": Explain((Point("Stick back", must=True), Point("Feet alive")), (Point("Brake first", fails=True),)),
}
FUNCTIONS = sorted(name for name, value in vars(Kind).items() if callable(value) and not name.startswith("_"))

every_kind = pytest.mark.parametrize("name", KINDS)


def accepts(function):
    return [parameter.name for parameter in signature(function).parameters.values() if parameter.name != "self"]


def test_the_protocol_asks_for_a_name_and_these_functions():
    asked = ["answer", "chance", "describe", "expects", "mark", "parse", "present", "reads", "texts", "understand"]
    assert asked == FUNCTIONS
    assert list(Kind.__annotations__) == ["NAME"]


@every_kind
def test_a_kind_is_a_module_with_a_name(name):
    assert name == KINDS[name].NAME


@pytest.mark.parametrize("function", FUNCTIONS)
@every_kind
def test_a_kind_has_every_function_of_the_protocol_with_its_parameters(name, function):
    assert accepts(getattr(KINDS[name], function)) == accepts(getattr(Kind, function))


@every_kind
def test_every_kind_has_a_body_to_be_tested_with(name):
    assert name in BODIES


@every_kind
def test_what_a_kind_gives_is_of_the_types_it_promises(name):
    kind, body = KINDS[name], BODIES[name]
    assert isinstance(kind.present(body, 1, {}), Shown)
    assert isinstance(kind.mark(body, 1, "", {}), Mark)
    assert {type(point) for point in kind.answer(body, 1, {})} == {Point}
    assert {type(text) for text in kind.texts(body)} == {str}
    assert kind.describe(body)
    assert kind.expects(body)


@every_kind
def test_a_chance_and_a_score_lie_between_0_and_1(name):
    kind, body = KINDS[name], BODIES[name]
    assert 0 <= kind.chance(body) < 1
    assert 0 <= kind.mark(body, 1, "", {}).score <= 1


@every_kind
def test_nothing_typed_is_no_answer(name):
    assert [KINDS[name].understand(BODIES[name], text) for text in ("", "  ", "?")] == [None, None, None]


@pytest.mark.parametrize("value", [Shown("aloud"), Point("Stick back"), Mark(True, 1.0)])
def test_what_kinds_speak_in_cannot_be_changed(value):
    with pytest.raises(FrozenInstanceError):
        setattr(value, fields(value)[0].name, None)


def test_a_point_is_neither_a_must_nor_a_failure_unless_it_says_so():
    assert Point("Stick back") == Point("Stick back", letter="", must=False, fails=False)
