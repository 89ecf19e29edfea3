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
MOST_UNNAMED = 5  # fields that are told apart by their places
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


@pytest.mark.parametrize("name", modules())
def test_every_private_name_of_a_module_is_used_there(name):
    tree = ast.parse(modules()[name].read_text())
    read = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load)}
    assert [each for each in _private(tree) if each not in read] == []


def _private(tree: ast.Module) -> list[str]:
    """The names that begin with a line and are given by the statements of a module."""
    names: list[str] = []
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            names.append(node.name)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names += [each.id for target in targets for each in ast.walk(target) if isinstance(each, ast.Name)]
    return [name for name in names if name.startswith("_") and not name.startswith("__")]


def test_a_value_of_more_than_five_fields_is_made_by_their_names():
    unnamed = [
        f"{name}.{node.name}"
        for name, path in modules().items()
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.ClassDef) and _fields(node) > MOST_UNNAMED and _positional(node)
    ]
    assert unnamed == []


def _fields(node: ast.ClassDef) -> int:
    """How many fields a class has."""
    annotations = [ast.unparse(line.annotation) for line in node.body if isinstance(line, ast.AnnAssign)]
    return sum(not text.startswith("ClassVar") for text in annotations)


def _positional(node: ast.ClassDef) -> bool:
    """Whether a class is a dataclass whose values are made by the places of its fields."""
    made = [text for text in map(ast.unparse, node.decorator_list) if text.partition("(")[0] == "dataclass"]
    return any("kw_only=True" not in text for text in made)
