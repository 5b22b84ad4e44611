"""A strip of bars, one for each measure, that shows where a piece is hard."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.fonts.text_face import text_face
from engrave.layout.text.boxes import FlowBox
from engrave.marks.mark import Group, Line, Mark, Polygon, Text
from engrave.marks.role import Role
from engrave.style.sections import Style

_MOST = 10.0
"""The greatest difficulty (fact: so the fingering rates)."""


def place_difficulty(
    measures: Sequence[tuple[int, float]],
    level: float,
    lines: Sequence[Sequence[tuple[float, float]]],
    style: Style,
) -> FlowBox:
    """The strip for `measures` (printed number, difficulty from 0 to 10) under music whose `lines` have these measures.

    Each measure of a line is given by its left and right edge in points. The strip is as wide as the music; under a
    single line each bar stands under its measure. Its head names `level`, the difficulty of all of it. The higher and
    darker a bar, the harder the measure; thin lines stand at 5 and at 10.
    """
    prose = style.prose
    kind = prose.caption
    face = text_face(kind.face)
    size = kind.size * prose.strip_numbers
    book = style.wordbook
    summary = f"{book.page.difficulty} {book.difficulty(level)}"
    head = kind.size * prose.line_pitch + size * prose.strip_head_gap
    foot = -head - prose.strip_height
    line = foot - prose.form_line / 2  # under the feet of the bars
    left = face.width(f"{_MOST:g}", size) + size / 2
    end = max(bars[-1][1] for bars in lines)
    marks: list[Mark] = [Text(Role.CAPTION, 0.0, -kind.size, summary, kind.face, kind.size)]
    for value in (_MOST / 2, _MOST):
        y, text = foot + prose.strip_height * value / _MOST, f"{value:g}"
        x = left - size / 2 - face.width(text, size)
        marks.append(Line(Role.DIFFICULTY, left, y, end, y, prose.form_line / 2, grey=prose.strip_lightest))
        marks.append(Text(Role.CAPTION, x, y - face.ink("0", size).top / 2, text, kind.face, size))
    marks.append(Line(Role.DIFFICULTY, left, line, end, line, prose.form_line))
    cells = _cells(len(measures), lines, left, end)
    close = min(right - start for start, right in cells) < size * prose.strip_number_room
    free = 0.0
    for index, ((number, hard), (start, right)) in enumerate(zip(measures, cells, strict=True)):
        half = min(right - start, prose.strip_cell) * prose.strip_bar / 2
        middle = (start + right) / 2
        top = foot + prose.strip_height * hard / _MOST
        corners = ((middle - half, foot), (middle + half, foot), (middle + half, top), (middle - half, top))
        if hard:
            marks.append(Polygon(Role.DIFFICULTY, corners, grey=prose.strip_lightest * (1 - hard / _MOST)))
        text = str(number)
        x = middle - face.width(text, size) / 2
        if (index == 0 or not close or number % prose.strip_number_every == 0) and x >= free:
            marks.append(
                Text(Role.MEASURE_NUMBER, x, line - size * prose.strip_number_drop, text, kind.face, size)
            )
            free = x + face.width(text, size) + size / 2
    height = head + prose.strip_height + size * (prose.line_pitch + prose.strip_foot)
    return FlowBox(height, (Group(0.0, 0.0, 1.0, tuple(marks)),), prose.block_gap, prose.caption_gap)


def _cells(
    count: int, lines: Sequence[Sequence[tuple[float, float]]], left: float, end: float
) -> list[tuple[float, float]]:
    """Left and right edge of each measure's place in the strip."""
    if len(lines) == 1 and len(lines[0]) == count:
        return [(max(start, left), right) for start, right in lines[0]]
    cell = (end - left) / count
    return [(left + cell * index, left + cell * (index + 1)) for index in range(count)]
