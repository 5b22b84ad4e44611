"""A strip of bars, one for each measure, that shows where a piece is hard."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.fonts.text_face import text_face
from engrave.layout.flow.boxes import FlowBox
from engrave.marks.mark import Group, Line, Mark, Polygon, Text
from engrave.marks.role import Role
from engrave.style.sections import Style

_MOST = 10.0
_EVERY = 5
"""Where they stand close, measures are numbered at the first and at multiples of this (house rule)."""
_NUMBER_ROOM = 2.5
"""They stand close where a measure is narrower than this many sizes of its number (house rule)."""


def place_difficulty(
    measures: Sequence[tuple[int, float]], level: float, width: float, style: Style
) -> FlowBox:
    """The strip for `measures` (printed number, difficulty from 0 to 10) in a column of `width` points.

    Its head names `level`, the difficulty of all of it. The higher and darker a bar, the harder the measure; thin lines
    stand at 5 and at 10.
    """
    prose = style.prose
    kind = prose.caption
    word = style.wordbook.words.get("difficulty", "Difficulty")
    label = f"{word} {level:g} / {_MOST:g}"
    left = text_face(kind.face).width(label, kind.size) + prose.strip_label_gap
    room = max(width - left, width / 2)
    cell = min(prose.strip_cell, room / len(measures))
    bar = cell * prose.strip_bar
    foot = -prose.strip_height
    line = foot - prose.form_line / 2  # under the feet of the bars
    end = left + cell * len(measures)
    marks: list[Mark] = [Text(Role.CAPTION, 0.0, foot, label, kind.face, kind.size)]
    marks.extend(
        Line(Role.DIFFICULTY, left, y, end, y, prose.form_line / 2, gray=prose.strip_lightest)
        for y in (foot / 2, 0.0)
    )
    marks.append(Line(Role.DIFFICULTY, left, line, end, line, prose.form_line))
    size = kind.size * prose.strip_numbers
    every = _EVERY if cell < size * _NUMBER_ROOM else 1
    free = left
    for index, (number, hard) in enumerate(measures):
        x = left + cell * index + (cell - bar) / 2
        top = foot + prose.strip_height * hard / _MOST
        corners = ((x, foot), (x + bar, foot), (x + bar, top), (x, top))
        if hard:
            marks.append(Polygon(Role.DIFFICULTY, corners, gray=prose.strip_lightest * (1 - hard / _MOST)))
        text = str(number)
        wide = text_face(kind.face).width(text, size)
        middle = x + bar / 2 - wide / 2
        if (index == 0 or number % every == 0) and middle >= free:
            marks.append(Text(Role.BAR_NUMBER, middle, line - size * 1.2, text, kind.face, size))
            free = middle + wide + size / 2
    height = prose.strip_height + size * (prose.line_pitch + 0.2)
    return FlowBox(height, (Group(0.0, 0.0, 1.0, tuple(marks)),), prose.block_gap, prose.caption_gap)
