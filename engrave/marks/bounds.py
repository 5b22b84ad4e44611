"""Where the ink of each mark lies."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from engrave.marks.mark import Anchor, Box, Curve, Glyph, Group, Line, Link, Mark, Page, Picture, Polygon


class Faces(Protocol):
    """What boxes need to know of fonts (see `engrave/fonts/text_setting.py`)."""

    def symbol_box(self, name: str) -> tuple[float, float, float, float]:
        """The ink of a symbol at its usual size, in staff spaces."""

    def text_ink(self, face: str, text: str, size: float) -> tuple[float, float, float, float]:
        """The ink of a text set from the origin."""


def measure_box(mark: Mark, faces: Faces) -> Box:
    """The box of a mark's ink, in the unit of its group."""
    if isinstance(mark, Glyph):
        left, bottom, right, top = faces.symbol_box(mark.name)
        size = mark.size
        return Box(mark.x + left * size, mark.y + bottom * size, mark.x + right * size, mark.y + top * size)
    if isinstance(mark, Line):
        return _line_box(mark)
    if isinstance(mark, Curve):
        points = _bounds_of_cubic(mark.outer) + _bounds_of_cubic(mark.inner)
        return _enclose(points)
    if isinstance(mark, Polygon):
        return _enclose(list(mark.points))
    if isinstance(mark, Link | Picture):
        return mark.box
    if isinstance(mark, Anchor):
        return Box(mark.x, mark.y, mark.x, mark.y)
    left, bottom, right, top = faces.text_ink(mark.face, mark.text, mark.size)
    return Box(mark.x + left, mark.y + bottom, mark.x + right, mark.y + top)


def measure_page_marks(page: Page, faces: Faces) -> Iterator[tuple[Group, Mark, Box]]:
    """Every mark of a page with its group and its box in points."""
    for group in page.groups:
        for mark in group.marks:
            box = measure_box(mark, faces)
            scale = group.scale
            yield (
                group,
                mark,
                Box(
                    group.x + box.left * scale,
                    group.y + box.bottom * scale,
                    group.x + box.right * scale,
                    group.y + box.top * scale,
                ),
            )


def _line_box(line: Line) -> Box:
    """A stroke with flat ends: half its width to both sides."""
    dx, dy = line.x2 - line.x1, line.y2 - line.y1
    length = (dx * dx + dy * dy) ** 0.5
    half = line.width / 2
    across = (abs(dy) / length * half, abs(dx) / length * half) if length else (half, half)
    return Box(
        min(line.x1, line.x2) - across[0],
        min(line.y1, line.y2) - across[1],
        max(line.x1, line.x2) + across[0],
        max(line.y1, line.y2) + across[1],
    )


def _enclose(points: list[tuple[float, float]]) -> Box:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def _bounds_of_cubic(curve: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """Two opposite corners of a cubic's box: its ends, and where it turns."""
    low, high = [], []
    for axis in (0, 1):
        a, b, c, d = (point[axis] for point in curve)
        values = [a, d]
        for t in _turns(a, b, c, d):
            s = 1 - t
            values.append(a * s**3 + 3 * b * s * s * t + 3 * c * s * t * t + d * t**3)
        low.append(min(values))
        high.append(max(values))
    return [(low[0], low[1]), (high[0], high[1])]


def _turns(a: float, b: float, c: float, d: float) -> list[float]:
    """Where the derivative of a cubic is zero, inside 0 to 1."""
    p, q, r = -a + 3 * b - 3 * c + d, 2 * (a - 2 * b + c), b - a
    if abs(p) < 1e-12:
        roots = [-r / q] if abs(q) > 1e-12 else []
    else:
        inside = q * q - 4 * p * r
        roots = [(-q + sign * inside**0.5) / (2 * p) for sign in (1, -1)] if inside >= 0 else []
    return [t for t in roots if 0 < t < 1]
