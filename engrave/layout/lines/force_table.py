"""How wide each measure is at each force, summed so that any run of measures can be judged at once."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from engrave.layout.measures.ink import MeasureInk

_FORCES = tuple(0.5 * 1.12**step for step in range(26))
"""Forces from 0.5 to 8.5, each 12 % above the one before: the width is straight between them, nearly."""


class ForceTable:
    """Widths of runs of measures by force. The force between two entries is found on the straight line."""

    def __init__(self, inks: Sequence[MeasureInk]) -> None:
        """Add up `inks` (each slice is max(rod, force x natural) wide)."""
        self._sums = [
            list(accumulate((_width(ink, force) for ink in inks), initial=0.0)) for force in _FORCES
        ]
        self._inks = inks
        self._ideal = list(accumulate((_width(ink, 1.0) for ink in inks), initial=0.0))

    def width(self, first: int, stop: int, step: int) -> float:
        """Width of the slices of measures `first` to `stop` - 1 at the force of number `step`."""
        row = self._sums[step]
        return row[stop] - row[first]

    def width_at(self, first: int, stop: int, force: float) -> float:
        """Width of the slices of measures `first` to `stop` - 1 at `force`, to the point."""
        return sum(_width(ink, force) for ink in self._inks[first:stop])

    def looseness(self, first: int, stop: int, target: float) -> float:
        """`target` as a multiple of the width of measures `first` to `stop` - 1 at force 1."""
        return target / (self._ideal[stop] - self._ideal[first])

    def force(self, first: int, stop: int, target: float) -> float:
        """The force at which the slices of measures `first` to `stop` - 1 fill `target`; 0 when they cannot shrink so far."""
        low, high = 0, len(_FORCES) - 1
        if self.width(first, stop, low) > target:
            return 0.0
        if self.width(first, stop, high) <= target:
            return _FORCES[high]
        while high - low > 1:
            middle = (low + high) // 2
            if self.width(first, stop, middle) <= target:
                low = middle
            else:
                high = middle
        narrow, wide = self.width(first, stop, low), self.width(first, stop, high)
        share = (target - narrow) / (wide - narrow) if wide > narrow else 0.0
        return _FORCES[low] + share * (_FORCES[high] - _FORCES[low])


def _width(ink: MeasureInk, force: float) -> float:
    return sum([rod if rod > n * force else n * force for n, rod in zip(ink.natural, ink.rods, strict=True)])
