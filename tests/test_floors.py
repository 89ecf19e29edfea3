"""The house: every module has a floor, and imports only go down."""

import ast
from functools import cache
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[1] / "src"

# From the ground to the roof. A module imports only from those above it in this list.
FLOORS = tuple(
    f"stickback.{name}"
    for name in """
    problem refused clock places markup attribute scan document amount
    trade.physics trade.air trade.angle trade.load trade.taxi trade.units trade.wind trade.alphabet trade.aloud
    trade.atoms trade.callsign trade.spoken trade.correction trade.faults trade.phraseology trade.readback
    trade.exchange trade.examiner
    values.fill values.draw values.canvas values.shapes values.on_runway values.scene values.scene_wind
    values.scene_stick values.disc values.scene_propeller values.scene_attitude values.circuit_calls
    values.scene_circuit values.figure
    render
    values.functions values.expression values.formula values.given
    kinds.mark kinds.choice kinds.explain kinds.number kinds.sequence kinds.stick kinds.radio kinds.table
    course.front course.sheet course.plan course.question course.deck course.link course.asked course.prove_radio
    course.prove course.course course.craft
    memory.entry memory.curve memory.fold memory.past memory.misbelief memory.columns memory.predict memory.tune
    memory.fit
    study.student study.choose study.sitting study.flown study.debrief study.gain study.ahead study.outlook
    study.why
    readiness.score readiness.first_sight readiness.folded readiness.gather readiness.calibrate readiness.offset
    readiness.forecast readiness.verdict
    export.table export.chart
    store.guards store.tables store.migrations.versions.first_tables store.migrations.run store.migrations.env
    store.database store.people store.log store.parameters
    services.folder services.desk services.record services.school services.logbook services.compare
    services.dates services.today services.review services.lessons services.standing services.rehearse
    services.outlook services.readiness services.tune services.demo
    cli.options cli.show cli.words cli.lines cli.reading cli.check cli.log cli.people cli.aircraft cli.demo
    cli.keys cli.reply cli.screen cli.study cli.report_lines cli.tune cli.files cli.outlook cli.report cli.main
    """.split()
)


@cache
def modules():
    """Every module of the source, by name; the packages themselves hold nothing but a docstring."""
    return {
        ".".join(path.relative_to(SOURCE).with_suffix("").parts): path
        for path in sorted(SOURCE.rglob("*.py"))
        if path.name != "__init__.py"
    }


def imports(path):
    """Names of our own modules that a module imports, for types only and inside functions too."""
    known = set(modules())
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in known)
        elif isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("stickback"):
            inner = {f"{node.module}.{alias.name}" for alias in node.names} & known
            yield from inner or {node.module} & known


def test_every_module_has_a_floor():
    assert sorted(FLOORS) == sorted(modules())


@pytest.mark.parametrize("name", FLOORS)
def test_imports_only_go_down(name):
    below = set(FLOORS[: FLOORS.index(name)])
    assert set(imports(modules()[name])) <= below


@pytest.mark.parametrize(
    ("library", "only"),
    [("markdown_it", "stickback.markup"), ("sqlmodel", "stickback.store."), ("sqlalchemy", "stickback.store.")],
)
def test_a_library_is_imported_in_one_place(library, only):
    for name, path in modules().items():
        found = {
            (node.module or "").partition(".")[0] if isinstance(node, ast.ImportFrom) else alias.name.partition(".")[0]
            for node in ast.walk(ast.parse(path.read_text()))
            if isinstance(node, ast.Import | ast.ImportFrom)
            for alias in node.names
        }
        assert library not in found or name.startswith(only), f"{name} imports {library}"


def test_packages_hold_nothing_but_a_docstring():
    for path in SOURCE.rglob("__init__.py"):
        tree = ast.parse(path.read_text())
        assert len(tree.body) == 1, path
        assert ast.get_docstring(tree), path


def test_no_module_is_longer_than_three_hundred_lines():
    long = {name: len(path.read_text().splitlines()) for name, path in modules().items()}
    assert {name: lines for name, lines in long.items() if lines > 300} == {}
