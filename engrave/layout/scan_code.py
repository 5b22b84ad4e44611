"""A square code that a telephone reads (QR code, ISO/IEC 18004), as dark rectangles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from engrave.marks.mark import Polygon
from engrave.marks.role import Role

QUIET = 4
"""Squares of white that must stay around a code (fact: ISO/IEC 18004)."""
_OVERLAP = 0.02
"""Share of a square by which rows overlap, so that no white line shows between them (algorithm)."""


def find_code(address: str) -> tuple[tuple[bool, ...], ...]:
    """The rows of the code for `address`, true where it is dark. Raises ValueError where it is too long for any code.

    A sixth of it may be spoilt (level M), more where that costs no room.
    """
    import segno

    code = segno.make_qr(address, error="m")
    return tuple(tuple(bool(square) for square in row) for row in code.matrix)


def place_code(code: Sequence[Sequence[bool]], left: float, top: float, size: float) -> Iterator[Polygon]:
    """The dark squares of `code` in a square of side `size` whose top left corner is given."""
    side = size / len(code)
    for number, row in enumerate(code):
        x = 0
        for is_dark, run in groupby(row):
            width = len(list(run))
            if is_dark:
                right, upper = left + (x + width) * side, top - number * side
                lower = upper - side * (1 + _OVERLAP)
                start = left + x * side
                corners = ((start, upper), (right, upper), (right, lower), (start, lower))
                yield Polygon(Role.SCAN_CODE, corners)
            x += width
