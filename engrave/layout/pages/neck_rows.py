"""Neck diagrams in rows; necks of a row are in line."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.layout.titled_neck import NeckItem, place_item, title_height
from engrave.marks.mark import NO_SOURCE, Mark, Source
from engrave.style.sections import Style


def place_neck_rows(
    items: Sequence[NeckItem], width: float, style: Style, source: Source = NO_SOURCE, title_lines: int = 0
) -> list[tuple[list[Mark], float]]:
    """The marks of each row under y = 0 and its height, as many necks to a row as `width` staff spaces hold.

    The first row has room for titles of `title_lines`, so that necks of several calls are in line.
    """
    rows: list[list[NeckItem]] = [[]]
    used = 0.0
    for item in items:
        if rows[-1] and used + item.width > width:
            rows.append([])
            used = 0.0
        rows[-1].append(item._replace(x=used))
        used += item.width + style.necks.apart
    lines = [title_lines] + [0] * (len(rows) - 1)
    return [_place_row(row, least, style, source) for row, least in zip(rows, lines, strict=True) if row]


def _place_row(
    row: Sequence[NeckItem], title_lines: int, style: Style, source: Source
) -> tuple[list[Mark], float]:
    """One row: the titles' last lines on one baseline, the necks' upper edges in line."""
    marks: list[Mark] = []
    titles = title_height(max(title_lines, *(len(item.title) for item in row)), style)
    corner = -titles - max(item.extent.above for item in row)
    for item in row:
        marks.extend(place_item(item, item.x, corner, -titles + style.necks.title_gap, style, source=source))
    below = max(item.extent.height - item.extent.above for item in row)
    return marks, below - corner
