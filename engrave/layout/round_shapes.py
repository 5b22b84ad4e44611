"""Outlines with round ends, as polygons."""

from __future__ import annotations

from math import cos, pi, sin

_ARC_STEPS = 16
"""Straight edges to a half circle: they differ from it by half a hundredth of its radius (algorithm: 1 - cos(pi/32))."""


def round_bar(left: float, right: float, y: float, radius: float) -> tuple[tuple[float, float], ...]:
    """The outline of a level bar whose ends are half circles around (left, y) and (right, y); a disc where they are one."""
    angles = [pi * step / _ARC_STEPS - pi / 2 for step in range(_ARC_STEPS + 1)]
    right_end = [(right + radius * cos(angle), y + radius * sin(angle)) for angle in angles]
    left_end = [(left - radius * cos(angle), y - radius * sin(angle)) for angle in angles]
    return (*right_end, *left_end)


def ring(
    left: float, right: float, y: float, radius: float, thickness: float
) -> tuple[tuple[float, float], ...]:
    """The outline of the edge of such a bar, `thickness` wide inwards, with a hole: out and back along a seam."""
    outer = round_bar(left, right, y, radius)
    inner = round_bar(left, right, y, radius - thickness)
    return (*outer, outer[0], inner[0], *reversed(inner))


def half_discs(
    x: float, y: float, radius: float, gap: float, is_upright: bool
) -> tuple[tuple[tuple[float, float], ...], ...]:
    """A disc as two outlines, parted by a line `gap` wide through its middle that stands upright or lies."""
    steps = [pi * step / _ARC_STEPS for step in range(_ARC_STEPS + 1)]
    sides = []
    for side in (1, -1):
        points = [(side * (gap / 2 + radius * sin(angle)), radius * cos(angle)) for angle in steps]
        turned = points if is_upright else [(across, along) for along, across in points]
        sides.append(tuple((x + dx, y + dy) for dx, dy in turned))
    return tuple(sides)
