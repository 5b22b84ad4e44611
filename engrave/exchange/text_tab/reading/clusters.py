"""What is struck together: the notes of one column, and those that are typed a little beside it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from engrave.exchange.text_tab.lines.text_lines import RemarkLog
from engrave.exchange.text_tab.reading.cells import PITCHES, Cell, Cluster
from engrave.exchange.text_tab.reading.measures import TabMeasure
from engrave.theory.pitch import parse_pitch

_APART = 3
"""Columns to the notes before and after, so that two columns side by side are one chord typed carelessly (house rule)."""


def gather(cells: Sequence[Cell], log: RemarkLog) -> list[Cluster]:
    """The notes of a measure as they are struck together, from left to right.

    Those of one column are, and those that stand under the brackets or the second digit of another. Two columns side by
    side with nothing near are one chord too; a remark says so.
    """
    columns: dict[int, list[Cell]] = {}
    for cell in cells:
        columns.setdefault(cell.column, []).append(cell)
    groups: list[list[Cell]] = []
    for column in sorted(columns):
        here = columns[column]
        if groups and _touch(groups[-1], here) and _are_apart(groups[-1], here):
            groups[-1].extend(here)
        else:
            groups.append(list(here))
    return [_cluster(group) for group in _join_neighbours(groups, log)]


def _touch(before: Sequence[Cell], here: Sequence[Cell]) -> bool:
    """Whether signs of the one column stand over notes of the other."""
    column, following = _column(before), here[0].column
    return any(cell.right >= following for cell in before) or any(cell.left <= column for cell in here)


def _are_apart(before: Sequence[Cell], here: Sequence[Cell]) -> bool:
    return {cell.string for cell in before}.isdisjoint(cell.string for cell in here)


def _column(cells: Sequence[Cell]) -> int:
    """Where a chord stands: at its plain digits, else at its first one."""
    plain = [cell.column for cell in cells if cell.left == cell.column]
    return min(plain or [cell.column for cell in cells])


def _join_neighbours(groups: Sequence[list[Cell]], log: RemarkLog) -> list[list[Cell]]:
    """Columns side by side as one chord where nothing else is near, and nothing leads from the one to the other."""
    joined: list[list[Cell]] = []
    for index, here in enumerate(groups):
        before = joined[-1] if joined else []
        column = _column(here)
        far = [
            *(column - _column(other) > _APART for other in joined[-2:-1]),
            *(_column(other) - column >= _APART for other in groups[index + 1 : index + 2]),
        ]
        if not (before and _column(before) == column - 1 and all(far) and _are_apart(before, here)):
            joined.append(here)
            continue
        fewer, more = (here, before) if len(here) <= len(before) else (before, here)
        place = _column(more)
        for cell in fewer:
            cell.column = cell.left = place
            what = f"string {cell.string}: this note stands a column beside the others; it is read with them"
            log.add("doubted", cell.line, cell.text_column, what)
        before.extend(here)
    return joined


def _cluster(cells: Sequence[Cell]) -> Cluster:
    return Cluster(_column(cells), tuple(sorted(cells, key=lambda cell: cell.string)))


PLUS = "+"
"""What stands between the pitches of one event."""
_PITCH = r"[A-Ga-g](?:##|#|bb|b)?-?\d"
_WORD = re.compile(rf"{_PITCH}(?:\+{_PITCH})*")
_BETWEEN = re.compile(r"[-=_ ]*")


def read_pitch_cells(measure: TabMeasure, log: RemarkLog) -> list[Cluster]:
    """The notes of a measure by column. The upper line is that of the upper voice; what is no pitch is dropped and remarked."""
    cells: list[Cell] = []
    for index, row in enumerate(measure.rows):
        position = 0
        while True:
            step = _BETWEEN.match(row, position)
            position = step.end() if step else position
            if position >= len(row):
                break
            text_column = measure.starts[index] + position
            word = _WORD.match(row, position)
            if word is None:
                log.add(
                    "dropped",
                    measure.numbers[index],
                    text_column,
                    f'"{row[position]}" is not a pitch; write C4 or C4+E4',
                )
                position += 1
                continue
            names = PLUS.join(parse_pitch(name).name for name in word.group(0).split(PLUS))
            cell = Cell(index + 1, position, len(word.group(0)), 0, measure.numbers[index], text_column)
            cell.left = cell.right = position
            cell.details[PITCHES] = names
            cells.append(cell)
            position = word.end()
    return gather(cells, log)
