import ast
import re
from pathlib import Path

import pytest

from parts import part_of
from stickback.kinds import table
from stickback.kinds.choice import Choice
from stickback.kinds.explain import Explain
from stickback.kinds.table import KINDS


def part(body):
    return part_of(f"## Which way? {{#way}}\n\n{body}\n")


def test_kinds_are_found_by_their_names():
    assert KINDS["choice"] is Choice
    assert KINDS["explain"] is Explain
    assert all(name == kind.NAME for name, kind in KINDS.items())


def test_every_module_of_a_kind_stands_in_the_table():
    modules = {path.stem for path in Path(table.__file__).parent.glob("*.py") if "(Kind)" in path.read_text()}
    assert modules == set(KINDS)


@pytest.mark.parametrize("name", KINDS)
def test_a_kind_has_a_test_module_that_says_what_is_made_of_what_is_typed(name):
    module = ast.parse(Path(__file__).with_name(f"test_{name}.py").read_text())
    asserted = [ast.unparse(node.test) for node in ast.walk(module) if isinstance(node, ast.Assert)]
    assert any(re.search(r"\bheard\(|\.understand\(", each) for each in asserted)


@pytest.mark.parametrize("name", KINDS)
def test_an_example_is_read_by_its_own_kind_alone(name):
    assert [kind.NAME for kind in KINDS.values() if kind.reads(part(KINDS[name].EXAMPLE))] == [name]


def test_a_line_with_a_tolerance_is_a_number_before_it_is_a_point_to_listen_for():
    reading = [kind.NAME for kind in KINDS.values() if kind.reads(part("### Answer\n\n65 kt ± 2"))]
    assert reading == ["number", "explain"]


@pytest.mark.parametrize("body", ["", "Only prose.", "- a\n- b", "### Why\n\n- a", "### Answer\n\n```\na\n```"])
def test_a_text_in_no_known_form_is_read_by_none(body):
    assert [kind.NAME for kind in KINDS.values() if kind.reads(part(body))] == []


def test_nobody_else_knows_a_kind():
    source = Path(table.__file__).parents[1]
    doors = {"shown", "protocol", "table"}
    for path in source.rglob("*.py"):
        if path.parent != Path(table.__file__).parent:
            asked = re.findall(r"from stickback\.kinds(?:\.(\w+))? import (\w+)", path.read_text())
            assert {module or name for module, name in asked} <= doors, path
