"""The strokes and dots that make up a barline."""

from __future__ import annotations

from typing import NamedTuple

from engrave.score.structure import Barline, Measure
from engrave.style.sections import StaffStyle


class Stroke(NamedTuple):
    """A vertical stroke, its left edge at `dx` from the sign's left edge."""

    dx: float
    width: float
    dashed: bool


class BarlineSign(NamedTuple):
    """A whole barline: strokes, the left edges of its columns of repeat dots, and its width, in staff spaces."""

    strokes: tuple[Stroke, ...]
    dots: tuple[float, ...]
    width: float


class _Pen:
    """Lays strokes and dots from left to right."""

    def __init__(self) -> None:
        self.strokes: list[Stroke] = []
        self.dots: list[float] = []
        self.x = 0.0

    def stroke(self, width: float, dashed: bool = False) -> None:
        self.strokes.append(Stroke(self.x, width, dashed))
        self.x += width

    def repeat_dots(self, width: float) -> None:
        self.dots.append(self.x)
        self.x += width

    def finished(self) -> BarlineSign:
        return BarlineSign(tuple(self.strokes), tuple(self.dots), self.x)


def decide_barline(end: Measure | None, start: Measure | None, dot: float, style: StaffStyle) -> BarlineSign:
    """The sign between two measures; `end` is None at a line's start, `start` at its end.

    At a line's start only a repeat has a sign. `dot` is the width of a repeat dot.
    """
    pen = _Pen()
    closes = end is not None and end.repeat.end_times is not None
    opens = start is not None and start.repeat.start
    if closes or opens:
        _add_repeat(pen, closes, opens, end, dot, style)
    elif end is not None:
        _add_plain(pen, end.barline, style)
    return pen.finished()


def _add_repeat(
    pen: _Pen, closes: bool, opens: bool, end: Measure | None, dot: float, style: StaffStyle
) -> None:
    if closes:
        pen.repeat_dots(dot)
        pen.x += style.repeat_dot_gap
        pen.stroke(style.thin_barline)
        pen.x += style.thick_barline_gap
    elif end is not None and end.barline is Barline.DOUBLE:
        pen.stroke(style.thin_barline)
        pen.x += style.double_barline_gap
    pen.stroke(style.thick_barline)
    if opens:
        pen.x += style.thick_barline_gap
        pen.stroke(style.thin_barline)
        pen.x += style.repeat_dot_gap
        pen.repeat_dots(dot)


def _add_plain(pen: _Pen, barline: Barline, style: StaffStyle) -> None:
    if barline is Barline.NONE:
        return
    pen.stroke(style.thin_barline, dashed=barline is Barline.DASHED)
    if barline is Barline.DOUBLE:
        pen.x += style.double_barline_gap
        pen.stroke(style.thin_barline)
    elif barline is Barline.FINAL:
        pen.x += style.thick_barline_gap
        pen.stroke(style.thick_barline)


def repeat_dot_heights(lines: int, pitch: float) -> tuple[float, float]:
    """The y of the two dots: in the two spaces around the middle of the staff (common practice, no source)."""
    middle = (lines - 1) * pitch / 2
    away = pitch if lines % 2 == 0 else pitch / 2
    return (middle - away, middle + away)
