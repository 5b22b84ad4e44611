"""The outline of the ink above or below a staff, as steps along x (staff spaces)."""

from __future__ import annotations

from collections.abc import Iterable

STEP = 0.25
"""Width of a step: fine enough beside a head of 1.25 spaces, coarse enough to be quick (algorithm)."""


class Skyline:
    """One outline. `up` True keeps the highest ink, False the lowest.

    Steps are coarse outwards: an object counts wherever it touches a step, so nothing placed on a skyline
    can collide; it may stand clear by up to a step's width sideways.
    """

    __slots__ = ("_base", "_heights", "up")

    def __init__(self, up: bool, base: float, width: float) -> None:
        """An outline that lies at `base` (the outer line of the staff) from 0 to `width`."""
        self.up = up
        self._base = base
        self._heights = [base] * (int(width / STEP) + 2)

    def add(self, left: float, right: float, y: float) -> None:
        """Ink from `left` to `right` reaches to `y`."""
        heights = self._heights
        start, stop = self._steps(left, right)
        if self.up:
            for i in range(start, stop):
                if heights[i] < y:
                    heights[i] = y
        else:
            for i in range(start, stop):
                if heights[i] > y:
                    heights[i] = y

    def height(self, left: float, right: float) -> float:
        """The outermost y between `left` and `right`."""
        start, stop = self._steps(left, right)
        span = self._heights[start:stop]
        return max(span) if self.up else min(span)

    def outermost(self) -> float:
        """The outermost y of all."""
        return max(self._heights) if self.up else min(self._heights)

    def steps(self) -> Iterable[float]:
        """The y of every step, from the left."""
        return self._heights

    def _steps(self, left: float, right: float) -> tuple[int, int]:
        last = len(self._heights)
        start = min(max(int(left / STEP), 0), last - 1)
        return start, min(max(int(right / STEP) + 1, start + 1), last)


def measure_distance(lower: Skyline, upper: Skyline) -> float:
    """How far apart two staves' origins must be so that the outlines just touch.

    `lower` looks down from the upper staff, `upper` looks up from the staff under it; both in their own
    staff's coordinates.
    """
    return max(up - down for up, down in zip(upper.steps(), lower.steps(), strict=False))
