"""Small mistakes anywhere in the layout code, drawn at random: nobody chose the cases with them in mind."""

from __future__ import annotations

import ast
import random
from collections.abc import Iterator
from copy import copy
from pathlib import Path
from typing import NamedTuple

from tests.tools.mutation import ROOT, Mutation

FOLDERS = ("engrave/layout", "engrave/breaking")
_COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.GtE,
    ast.GtE: ast.Lt,
    ast.Gt: ast.LtE,
    ast.LtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
}
_ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
}
_CALLS = {"min": "max", "max": "min"}


class _Site(NamedTuple):
    """A node of a file, and a wrong form of it."""

    file: Path
    right: ast.expr
    wrong: ast.expr


def draw_mutations(count: int, seed: int) -> list[Mutation]:
    """`count` different mistakes; the same ones for the same seed and the same code."""
    sites = [
        site for folder in FOLDERS for file in sorted((ROOT / folder).rglob("*.py")) for site in _sites(file)
    ]
    return [_mutation(site) for site in random.Random(seed).sample(sites, min(count, len(sites)))]


def _sites(file: Path) -> Iterator[_Site]:
    """Every place of a file where a mistake can be made."""
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        wrong = _spoil(node)
        if wrong is not None and isinstance(node, ast.expr):
            yield _Site(file, node, wrong)


def _mutation(site: _Site) -> Mutation:
    """The mistake as a change of the file's text."""
    text = site.file.read_text("utf-8")
    starts = [0]
    for line in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    old = ast.get_source_segment(text, site.right) or ""
    new = ast.unparse(site.wrong)
    new = f"({new})" if not isinstance(site.wrong, ast.Constant | ast.Call) else new
    where = f"line {site.right.lineno}: {' '.join(old.split())} -> {new}"
    return Mutation(str(site.file.relative_to(ROOT)), old, new, where, _place(text, site.right, starts))


def _place(text: str, node: ast.expr, starts: list[int]) -> int:
    """The offset of a node; columns of the tree count bytes."""
    start = starts[node.lineno - 1]
    line = text[start:].partition("\n")[0]
    return start + len(line.encode()[: node.col_offset].decode())


def _spoil(node: ast.AST) -> ast.expr | None:
    """A wrong form of a node; None where there is none worth trying."""
    wrong = copy(node)
    if isinstance(wrong, ast.Compare) and type(wrong.ops[0]) in _COMPARISONS:
        wrong.ops = [_COMPARISONS[type(wrong.ops[0])](), *wrong.ops[1:]]
        return wrong
    if isinstance(wrong, ast.BinOp) and type(wrong.op) in _ARITHMETIC and not _is_text(wrong):
        wrong.op = _ARITHMETIC[type(wrong.op)]()
        return wrong
    if isinstance(wrong, ast.Call) and isinstance(wrong.func, ast.Name) and wrong.func.id in _CALLS:
        wrong.func = ast.Name(_CALLS[wrong.func.id])
        return wrong
    if isinstance(wrong, ast.BoolOp):
        wrong.op = ast.Or() if isinstance(wrong.op, ast.And) else ast.And()
        return wrong
    if isinstance(wrong, ast.IfExp):
        wrong.body, wrong.orelse = wrong.orelse, wrong.body
        return wrong
    if isinstance(wrong, ast.Constant) and isinstance(wrong.value, float):
        wrong.value = wrong.value * 1.5 if wrong.value else 1.0
        return wrong
    return None


def _is_text(node: ast.BinOp) -> bool:
    """True where strings are joined, or types."""
    return any(
        isinstance(side, ast.Constant | ast.JoinedStr) and not _is_number(side)
        for side in (node.left, node.right)
    )


def _is_number(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, int | float)
