"""The rectangle that ink covers, as faces report it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple


class InkBox(NamedTuple):
    """Left, bottom, right, top of the ink, y upwards. The same four numbers, in the same order, as a mark's box.

    Faces and marks stand on the same floor and do not know each other, so each has its own name for it.
    """

    left: float
    bottom: float
    right: float
    top: float

    def scaled(self, factor: float) -> InkBox:
        """The box with every side multiplied by `factor`."""
        return InkBox(self.left * factor, self.bottom * factor, self.right * factor, self.top * factor)


NO_INK = InkBox(0.0, 0.0, 0.0, 0.0)


def enclosing_box(boxes: Iterable[InkBox]) -> InkBox:
    """The smallest box around all `boxes`; `NO_INK` when there are none."""
    sides = list(zip(*boxes, strict=True))
    if not sides:
        return NO_INK
    lefts, bottoms, rights, tops = sides
    return InkBox(min(lefts), min(bottoms), max(rights), max(tops))
