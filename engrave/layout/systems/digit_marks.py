"""Digits of one event placed on a tab: the lines broken behind them, ghost notes in parentheses."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.fonts.text_face import text_face
from engrave.layout.measures.digits import Digit
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.mark import Box
from engrave.marks.role import Role


def place_digits(canvas: StaffCanvas, digits: Sequence[Digit], middle: float) -> Box:
    """Draw digits under the middle of a head; the box around them, those of ties counted as if they were there."""
    left = right = middle
    lowest, highest = canvas.plan.height, 0.0
    for digit in digits:
        y = (canvas.plan.lines - digit.string) * canvas.plan.pitch
        lowest, highest = min(lowest, y - digit.half_height), max(highest, y + digit.half_height)
        if not digit.text:
            continue
        start, end = middle - digit.centre, middle + digit.right
        canvas.text(
            Role.FRET,
            start + digit.parenthesis,
            y - digit.half_height,
            digit.text,
            face=digit.face,
            size=digit.size,
            source=digit.source,
        )
        if digit.parenthesis:
            _place_parentheses(canvas, digit, start, y)
        left, right = min(left, start), max(right, end)
        canvas.line_gaps[digit.string - 1].append((start - digit.clearance, end + digit.clearance))
        canvas.ink(start, end, y - digit.half_height, y + digit.half_height)
    return Box(left, lowest, right, highest)


def _place_parentheses(canvas: StaffCanvas, digit: Digit, left: float, y: float) -> None:
    """The parentheses of a ghost note, centred on the string's line."""
    face, size = digit.face, digit.parenthesis_size
    ink = text_face(face).ink("(", size)
    base = y - (ink.bottom + ink.top) / 2
    right = left + digit.width - digit.parenthesis
    canvas.text(Role.GHOST_PARENTHESIS, left, base, "(", face=face, size=size, source=digit.source)
    canvas.text(Role.GHOST_PARENTHESIS, right, base, ")", face=face, size=size, source=digit.source)
