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
        self.raise_to(y, *self.steps_between(left, right))

    def raise_to(self, y: float, start: int, stop: int) -> None:
        """Ink reaches to `y` from step `start` to before step `stop`."""
        heights = self._heights
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
        start, stop = self.steps_between(left, right)
        span = self._heights[start:stop]
        return max(span) if self.up else min(span)

    def outermost(self) -> float:
        """The outermost y of all."""
        return max(self._heights) if self.up else min(self._heights)

    def steps(self) -> Iterable[float]:
        """The y of every step, from the left."""
        return self._heights

    def steps_between(self, left: float, right: float) -> tuple[int, int]:
        """The first step that `left` to `right` touches, and the one after the last."""
        last = len(self._heights)
        start, stop = int(left / STEP), int(right / STEP) + 1
        if start < 0:
            start = 0
        elif start >= last:
            start = last - 1
        if stop <= start:
            stop = start + 1
        return start, min(stop, last)


def add_to_both(upper: Skyline, lower: Skyline, left: float, right: float, bottom: float, top: float) -> None:
    """Ink in a rectangle, told to the upper and the lower outline of one staff."""
    start, stop = upper.steps_between(left, right)
    upper.raise_to(top, start, stop)
    lower.raise_to(bottom, start, stop)


def measure_distance(lower: Skyline, upper: Skyline) -> float:
    """How far apart two staves' origins must be so that the outlines just touch.

    `lower` looks down from the upper staff, `upper` looks up from the staff under it; both in their own
    staff's coordinates.
    """
    return max(up - down for up, down in zip(upper.steps(), lower.steps(), strict=False))
