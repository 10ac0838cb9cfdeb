"""What every published formula owes: the unit of its answer, and a test that calls it."""

import ast
import re
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
FLOOR = TESTS.parent / "flowviz" / "formulas"
FORMULAS = [
    node
    for path in sorted(FLOOR.glob("*.py"))
    for node in ast.parse(path.read_text(encoding="utf-8")).body
    if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
]


@pytest.fixture(scope="module")
def tests():
    """The text of all tests."""
    return "\n".join(path.read_text(encoding="utf-8") for path in sorted(TESTS.rglob("test_*.py")))


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda formula: formula.name)
def test_a_formula_has_its_unit_and_its_test(formula, tests):
    assert re.search(r"\[[^\]]+\]", ast.get_docstring(formula))
    assert re.search(rf"\b{formula.name}\(", tests)
