"""The house: packages stand on floors, imports only go down, and nowhere do modules import each other in a circle."""

import ast
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[1] / "src"

# From the ground to the roof: a package imports only from those before it, and from itself without a circle. The ground
# is what stands in no package.
FLOORS = (
    "ground",
    "reading",
    "trade",
    "radio",
    "sound",
    "formulas",
    "pictures",
    "kinds",
    "course",
    "memory",
    "study",
    "readiness",
    "export",
    "store",
    "services",
    "words",
    "web",
    "cli",
)
GROUND = FLOORS[0]
LONGEST = 300  # lines of a module
TO_MEND: set[tuple[str, str]] = set()


@cache
def modules():
    """Every module of the source by name, with its file; the packages themselves hold nothing but a docstring."""
    return {
        ".".join(path.relative_to(SOURCE).with_suffix("").parts): path
        for path in sorted(SOURCE.rglob("*.py"))
        if path.name != "__init__.py"
    }


@cache
def imports(name):
    """Our own modules that a module imports, for types only and inside functions too."""
    known = set(modules())
    found = set()
    for node in ast.walk(ast.parse(modules()[name].read_text())):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names if alias.name in known}
        elif isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("stickback"):
            inner = {f"{node.module}.{alias.name}" for alias in node.names} & known
            found |= inner or {node.module} & known
    return found


def floor(name):
    """The package that a module stands in."""
    parts = name.split(".")[1:]
    return parts[0] if len(parts) > 1 else GROUND


def test_every_package_has_a_floor():
    assert {floor(name) for name in modules()} == set(FLOORS)


@pytest.mark.parametrize("package", FLOORS)
def test_imports_only_go_down(package):
    allowed = FLOORS[: FLOORS.index(package) + 1]
    up = {
        (name, other)
        for name in modules()
        if floor(name) == package
        for other in imports(name)
        if floor(other) not in allowed
    }
    assert up <= TO_MEND


def test_no_modules_import_each_other_in_a_circle():
    TopologicalSorter({name: imports(name) for name in modules()}).prepare()  # raises CycleError, naming the circle


@pytest.mark.parametrize(
    ("library", "only"),
    [
        ("markdown_it", "stickback.reading.markup"),
        ("sqlmodel", "stickback.store."),
        ("sqlalchemy", "stickback.store."),
        ("alembic", "stickback.store."),
        ("espeakng_loader", "stickback.sound.engine"),
        ("click", "stickback.cli."),
        ("rich", "stickback.cli."),
    ],
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


def test_no_module_is_too_long():
    lines = {name: len(path.read_text().splitlines()) for name, path in modules().items()}
    assert {name: many for name, many in lines.items() if many > LONGEST} == {}


def test_every_package_has_its_tests():
    here = Path(__file__).parent
    missing = [name for name in FLOORS[1:] if not any(here.joinpath(name).glob("test_*.py"))]
    assert missing == []
