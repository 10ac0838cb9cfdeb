"""The floors of flowviz: which may import which. This table is the design."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "flowviz"

MAY_IMPORT = {  # ground floor first; a floor may name only floors that stand above it in this table
    "errors": "",
    "compiled": "",
    "units": "errors",
    "formulas": "",
    "progress": "",
    "folder": "errors",
    "shapes": "errors",
    "scene": "errors units shapes",
    "plumbing": "errors units formulas scene",
    "grid": "errors units formulas shapes scene",
    "flow": "errors formulas progress grid",
    "assess": "units formulas scene grid flow",
    "cycle": "errors formulas scene plumbing grid flow",
    "study": "errors units formulas progress scene plumbing grid flow assess cycle",
    "looks": "study",
    "store": "errors units folder scene plumbing grid flow assess cycle study",
    "comparison": "errors units scene plumbing grid flow assess cycle study",
    "tables": "units scene plumbing assess cycle study comparison",
    "draw": "errors units folder shapes scene plumbing grid flow assess cycle study comparison",
    "report": "errors units folder scene plumbing grid assess study comparison store tables draw",
    "cli": "errors units progress folder scene plumbing grid study looks store comparison tables draw report",
}
LIBRARY_HOMES = {  # outside libraries that only these floors may import
    "pydantic": "scene",
    "pint": "units",
    "trimesh": "shapes",
    "pyvista": "draw store",
    "vtk": "draw store",
    "matplotlib": "draw",
    "jinja2": "report",
    "PIL": "report",
    "weasyprint": "report",
    "click": "cli",
    "rich": "cli",
}
ENTRANCES = {PACKAGE / "__init__.py", PACKAGE / "__main__.py"}
MODULES = [path for path in sorted(PACKAGE.rglob("*.py")) if path not in ENTRANCES]


def imported(module: Path) -> set[str]:
    """Dotted names that a module imports, at its top or inside a function."""
    names = set()
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module.name}, line {node.lineno}: import from flowviz, not from dots"
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def floors(names: set[str]) -> set[str]:
    """Floors of flowviz among dotted names."""
    return {f"{name}.?".split(".")[1] for name in names if name.split(".")[0] == "flowviz"}


def floor_of(module: Path) -> str:
    """The floor a module stands on."""
    return module.relative_to(PACKAGE).parts[0].removesuffix(".py")


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_a_floor_imports_only_what_the_table_allows(module):
    here = floor_of(module)
    assert floors(imported(module)) - {here} <= set(MAY_IMPORT[here].split())


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_an_outside_library_stays_on_its_floor(module):
    used = {name.split(".")[0] for name in imported(module)} & set(LIBRARY_HOMES)
    assert all(floor_of(module) in LIBRARY_HOMES[library].split() for library in used), used


@pytest.mark.parametrize("module", sorted(PACKAGE.rglob("kernels.py")), ids=lambda path: path.parent.name)
def test_kernels_import_numba_and_formulas_only(module):
    names = imported(module)
    assert {name.split(".")[0] for name in names} <= {"numba", "numpy", "math", "flowviz"}
    assert floors(names) <= {"formulas"}


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_numba_is_used_in_kernels_only(module):
    assert module.name == "kernels.py" or "numba" not in {name.split(".")[0] for name in imported(module)}


def test_the_table_only_points_down():
    below = set()
    for floor, allowed in MAY_IMPORT.items():
        assert set(allowed.split()) <= below, f"{floor} leans on a floor above it"
        below.add(floor)


def test_help_waits_for_no_heavy_library():
    """Those that compute take most of a second to load, which is left until something is read."""
    code = "import sys, flowviz.cli.commands; sys.exit(not {'numpy', 'numba', 'pydantic'}.isdisjoint(sys.modules))"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
