"""Numbers of taste stand in styles/, where a house style can change them; code keeps facts and algorithms. House rule.

A constant of a module of layout/, fingering/ or prepress/ with a number that is not whole says in its docstring that it
is a fact, part of an algorithm, or a safety limit; in layout/ so does one with a whole number of more than two. Inside
functions stand only halves, for lines and spaces of the staff lie half a space apart.
"""

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

import engrave

ROOT = Path(engrave.__file__).parent
LAYOUT = sorted((ROOT / "layout").rglob("*.py"))
MODULES = [*LAYOUT, *sorted((ROOT / "fingering").rglob("*.py")), *sorted((ROOT / "prepress").rglob("*.py"))]
SAID = re.compile(r"\((fact|algorithm|safety limit)\b")
LEAST_OF_TASTE = 0.01
"""This and smaller numbers are for rounding."""
MOST_COUNTED = 2
"""Whole numbers up to this count sides, ends and halves."""


def is_fractional(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, float)


def is_greater(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and type(node.value) is int and node.value > MOST_COUNTED


def parts(value: ast.expr) -> Iterator[ast.AST]:
    """All that a value is made of but the keys of mappings: they are names, of note values for instance."""
    keys = {key for node in ast.walk(value) if isinstance(node, ast.Dict) for key in node.keys}
    return (node for node in ast.walk(value) if node not in keys)


def unexplained_constants(source: str, of_taste: Callable[[ast.AST], bool] = is_fractional) -> list[str]:
    """The constants of a module that hold a number which may be of taste, and do not say what it is."""
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
        if any(map(of_taste, parts(node.value))) and not is_said:
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
def test_constants_are_facts_or_algorithms(path):
    assert unexplained_constants(path.read_text("utf-8")) == []


@pytest.mark.parametrize("path", LAYOUT, ids=lambda path: str(path.relative_to(ROOT)))
def test_whole_numbers_of_layout_are_facts_or_algorithms(path):
    assert unexplained_constants(path.read_text("utf-8"), is_greater) == []


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_functions_hold_no_number_of_taste(path):
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
    [
        ("_STRINGS = 6\n", ["_STRINGS = 6"]),
        ("_A, _B = 2, 3\n", ["_A, _B = (2, 3)"]),
        ('_MOST = 24\n"""No line holds more (safety limit)."""\n', []),
        ("_SIDES = 2\n", []),
        ('_RESTS = {4: "restQuarter"}\n', []),
        ("_NOTES = {3: 5}\n", ["_NOTES = {3: 5}"]),
    ],
)
def test_a_whole_number_that_does_not_say_what_it_is_is_found(source, found):
    assert unexplained_constants(source, is_greater) == found


@pytest.mark.parametrize(
    ("source", "found"),
    [("def f(x):\n    return x * 0.85\n", [0.85]), ("def f(x):\n    return x + 1.5\n", [])],
)
def test_a_number_of_taste_inside_a_function_is_found(source, found):
    assert numbers_inside(source) == found
