"""Every source module has its test module, at the same place."""

from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "stickback"
MODULES = [path.relative_to(SOURCE) for path in sorted(SOURCE.rglob("*.py")) if path.name != "__init__.py"]


@pytest.mark.parametrize("place", MODULES, ids=str)
def test_a_module_has_its_test_module(place):
    mirror = ROOT / "tests" / place.with_name(f"test_{place.name}")
    assert mirror.is_file()
    assert "def test_" in mirror.read_text()
