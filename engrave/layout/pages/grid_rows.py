"""The chord shapes of a piece gathered in rows, each with its name over it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.layout.chord_grid import GridExtent, measure_grid, place_grid
from engrave.layout.measures.chord_names import ChordNameMeasurer, ChordNameShape
from engrave.marks.mark import Mark, Source, Text
from engrave.marks.role import Role
from engrave.score.structure import NamedShape
from engrave.style.sections import Style

_SLACK = 1e-6
"""Columns that share out the width fill it to the last digit (algorithm)."""


class _Item(NamedTuple):
    """A shape with its measured name and grid, `x` from the left of its row; `width` of the wider of the two."""

    named: NamedShape
    name: ChordNameShape
    grid: GridExtent
    width: float
    x: float = 0.0


def place_grid_rows(
    shapes: Sequence[NamedShape | None],
    left_handed: bool,
    width: float,
    top: float,
    style: Style,
    columns: int = 0,
) -> tuple[list[Mark], float]:
    """The grids of `shapes` under y = `top` over `width` staff spaces; the marks and the height they take.

    `columns` share out the width, so that grids of several calls stand under each other, and None leaves a column
    empty; 0: as close as they can, under each other where there are several rows.
    """
    names = ChordNameMeasurer(style.words)
    items: list[_Item | None] = []
    apart = style.grids.apart * 2
    column = (width + apart) / columns - apart if columns else 0.0
    for named in shapes:
        if named is None:
            items.append(None)
            continue
        name = names.measure(named.name)
        grid = measure_grid(named.shape, style.grids, left_handed)
        items.append(_Item(named, name, grid, max(name.width, grid.width, column)))
    if not columns:
        column = _decide_column([item.width for item in items if item is not None], apart, width)
        items = [item and item._replace(width=max(item.width, column)) for item in items]
    marks: list[Mark] = []
    y = top
    for row in _rows(items, width + _SLACK, apart, column):
        y = _place_row(marks, row, y - style.grids.row_gap, left_handed, style)
    return marks, top - y


def _decide_column(widths: Sequence[float], apart: float, width: float) -> float:
    """The width that all shapes share where they need several rows; 0 where one row holds them."""
    return max(widths) if sum(widths) + apart * (len(widths) - 1) > width + _SLACK else 0.0


def _rows(items: Sequence[_Item | None], width: float, apart: float, column: float) -> list[list[_Item]]:
    """Items broken into rows, as many to a row as fit."""
    rows: list[list[_Item]] = [[]]
    used = 0.0
    for item in items:
        taken = column if item is None else item.width
        if rows[-1] and used + taken > width:
            rows.append([])
            used = 0.0
        if item is not None:
            rows[-1].append(item._replace(x=used))
        used += taken + apart
    return [row for row in rows if row]


def _place_row(marks: list[Mark], row: list[_Item], top: float, left_handed: bool, style: Style) -> float:
    """Draw one row from the left, nuts in line and grids of one height; the y of its lowest ink."""
    frets = max(item.named.shape.rows for item in row)
    grids = [measure_grid(item.named.shape, style.grids, left_handed, frets) for item in row]
    names = top - max(item.name.top for item in row)
    nut = names - style.grids.name_gap - max(item.grid.above for item in row)
    for item in row:
        source = Source(item.named.location.line, item.named.location.column)
        middle = item.x + item.width / 2
        strings = (item.named.shape.strings - 1) * style.grids.string_pitch
        for run in item.name.runs:
            at = middle - item.name.width / 2 + run.dx
            marks.append(
                Text(
                    role=Role.CHORD_NAME,
                    x=at,
                    y=names + run.dy,
                    text=run.text,
                    face=run.face,
                    size=run.size,
                    source=source,
                )
            )
        marks.extend(
            place_grid(
                item.named.shape, style.grids, middle - strings / 2, nut, source, left_handed, rows=frets
            )
        )
    return nut - max(grid.height - grid.above for grid in grids)
