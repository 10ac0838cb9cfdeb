"""What every published formula owes: the unit of its answer, and a test of its own."""

import ast
import re
from pathlib import Path

import pytest

HERE = Path(__file__).parent
FLOOR = HERE.parents[1] / "flowviz" / "formulas"
FORMULAS = [
    (path.stem, node)
    for path in sorted(FLOOR.glob("*.py"))
    for node in ast.parse(path.read_text(encoding="utf-8")).body
    if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
]


@pytest.mark.parametrize(("module", "formula"), FORMULAS, ids=lambda part: getattr(part, "name", part))
def test_a_formula_has_its_unit_and_its_test(module, formula):
    assert re.search(r"\[[^\]]+\]", ast.get_docstring(formula))
    assert re.search(rf"\b{formula.name}\(", (HERE / f"test_{module}.py").read_text(encoding="utf-8"))
