"""How a picture's stored pixels come to stand upright: the eight turns of EXIF 2.32 (CIPA DC-008, tag Orientation)."""

from __future__ import annotations

UPRIGHT = 1
"""The turn of a picture that is stored as it is looked at."""
_TURNS: dict[int, tuple[int, int, int, int, int, int]] = {
    1: (1, 0, 0, 1, 0, 0),
    2: (-1, 0, 0, 1, 1, 0),
    3: (-1, 0, 0, -1, 1, 1),
    4: (1, 0, 0, -1, 0, 1),
    5: (0, -1, -1, 0, 1, 1),
    6: (0, -1, 1, 0, 0, 1),
    7: (0, 1, 1, 0, 0, 0),
    8: (0, 1, -1, 0, 1, 0),
}


def turn_matrix(turn: int) -> tuple[int, int, int, int, int, int]:
    """The matrix (a, b, c, d, e, f) from the unit square as stored to the unit square as seen, y upwards (ISO 32000-1, 8.3.3)."""
    return _TURNS[turn]


def is_turn(number: object) -> bool:
    """True for what can be a turn."""
    return number in _TURNS


def lies_down(turn: int) -> bool:
    """True when width and height change places."""
    return _TURNS[turn][0] == 0
