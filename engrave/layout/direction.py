"""Up and down."""

from __future__ import annotations

from enum import IntEnum


class Direction(IntEnum):
    """A vertical direction; its value is the sign of y."""

    UP = 1
    DOWN = -1

    @property
    def opposite(self) -> Direction:
        """The other direction."""
        return Direction.DOWN if self is Direction.UP else Direction.UP
