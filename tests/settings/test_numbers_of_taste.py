"""Numbers of taste stand in styles/, where a house style can change them; layout/ keeps facts and algorithms. House rule.

A constant of a module of layout/ with a number that is not whole says in its docstring that it is a fact, or part of
an algorithm. Inside functions stand only halves, for lines and spaces of the staff lie half a space apart.
"""

import ast
import re
from pathlib import Path

import pytest

import engrave

ROOT = Path(engrave.__file__).parent
MODULES = sorted((ROOT / "layout").rglob("*.py"))
SAID = re.compile(r"\((fact|algorithm|safety limit)\b")
LEAST_OF_TASTE = 0.01
"""This and smaller numbers are for rounding."""


def is_fractional(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, float)


def unexplained_constants(source: str) -> list[str]:
    """The constants of a module that hold a float and do not say what it is."""
    body = ast.parse(source).body
    found = []
    for node, after in zip(body, [*body[1:], None], strict=True):
        if not isinstance(node, ast.Assign | ast.AnnAssign) or node.value is None:
            continue
        is_said = (
            isinstance(after, ast.Expr)
            and isinstance(after.value, ast.Constant)
            and SAID.search(str(after.value.value))
        )
        if any(map(is_fractional, ast.walk(node.value))) and not is_said:
            found.append(ast.unparse(node))
    return found


def numbers_inside(source: str) -> list[float]:
    """Floats inside the functions of a module that are neither halves nor for rounding."""
    functions = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.FunctionDef)]
    inside = {node for function in functions for node in ast.walk(function) if is_fractional(node)}
    return sorted(
        node.value for node in inside if node.value * 2 != int(node.value * 2) and node.value > LEAST_OF_TASTE
    )


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_constants_of_layout_are_facts_or_algorithms(path):
    assert unexplained_constants(path.read_text("utf-8")) == []


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_functions_of_layout_hold_no_number_of_taste(path):
    assert numbers_inside(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("_GAP = 0.3\n", ["_GAP = 0.3"]),
        ('_GAP = 0.3\n"""White between two signs (house rule)."""\n', ["_GAP = 0.3"]),
        ("_A, _B = 1, 0.5\n", ["_A, _B = (1, 0.5)"]),
        ('_POINTS = 72 / 25.4\n"""Points to a millimetre (fact)."""\n', []),
        ("_STRINGS = 6\n", []),
    ],
)
def test_a_constant_that_does_not_say_what_it_is_is_found(source, found):
    assert unexplained_constants(source) == found


@pytest.mark.parametrize(
    ("source", "found"),
    [("def f(x):\n    return x * 0.85\n", [0.85]), ("def f(x):\n    return x + 1.5\n", [])],
)
def test_a_number_of_taste_inside_a_function_is_found(source, found):
    assert numbers_inside(source) == found
