"""Which tone of a triad is its lowest."""

from __future__ import annotations

from enum import Enum


class Inversion(Enum):
    """Which tone of a triad is its lowest."""

    ROOT = "root position"
    FIRST = "first inversion"
    SECOND = "second inversion"

    @property
    def number(self) -> int:
        """0 for the root, 1 for the third, 2 for the fifth."""
        return list(Inversion).index(self)
