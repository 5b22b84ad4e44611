"""The numbers of measures as they are printed and as messages name them."""

from __future__ import annotations


class Numbering:
    """Numbers measures in order: a pickup at the start is 0, one inside the piece does not count (common practice)."""

    def __init__(self) -> None:
        """Start with measure 1."""
        self._next = 1
        self._count = 0

    def number(self, given: int | None = None, pickup: bool = False, measures: int = 1) -> int:
        """The number of the next measure, which stands for so many `measures`; `given`: the author's own number."""
        self._count += 1
        if given is not None:
            self._next = given
        elif pickup:
            return 0 if self._count == 1 else self._next
        number = self._next
        self._next += measures
        return number
