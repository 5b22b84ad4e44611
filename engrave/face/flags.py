"""Flags; y = 0 at the end of the stem, x = 0 at its left side."""

from __future__ import annotations

from engrave.face.registry import symbol
from engrave.face.shapes import Shape, move, outline, rectangle, scale, soften, unite
from engrave.face.splines import Knot as K

_ROOT = 0.09
"""A flag starts this far right of the stem's left side, so that the stem covers its root."""


def _tail(y0: float, out: list[K], inn: list[K], h: float) -> Shape:
    """A flag: outer edge from the stem at y0, inner edge back to it `h` lower."""
    g = move(
        outline(
            [K(0, y0, arrive=90, leave=-84), *out, *inn, K(0, y0 - h, arrive=138, corner=True, straight=True)]
        ),
        _ROOT,
        0,
    )
    return unite(
        soften(g, 0.016), g.intersection(rectangle(0, -9, 0.3, 9)), rectangle(0, y0 - h, _ROOT + 0.001, y0)
    )


def _eighth_flag() -> Shape:
    """The flag of an eighth."""
    return _tail(
        0,
        [K(0.43, -0.92, direction=-50), K(1.0, -2.08, direction=-86), K(0.70, -3.24, arrive=-121, leave=69)],
        [K(0.835, -2.15, direction=96), K(0.32, -1.12, direction=130)],
        0.80,
    )


@symbol("flag8thUp")
def draw_eighth_flag_up() -> Shape:
    """One flag on an upward stem."""
    return _eighth_flag()


@symbol("flag8thDown")
def draw_eighth_flag_down() -> Shape:
    """One flag on a downward stem."""
    return scale(draw_eighth_flag_up(), 1.04, -0.98)


def _upper_flag() -> Shape:
    """The outer of several flags."""
    return _tail(
        0,
        [K(0.44, -0.80, direction=-46), K(0.99, -1.76, direction=-84), K(0.95, -2.32, arrive=-98, leave=86)],
        [K(0.80, -1.56), K(0.36, -1.0, direction=134)],
        0.66,
    )


def _lower_flag() -> Shape:
    """The innermost of several flags."""
    return _tail(
        -0.80,
        [K(0.44, -1.62, direction=-47), K(0.99, -2.68, direction=-86), K(0.70, -3.64, arrive=-121, leave=69)],
        [K(0.835, -2.70, direction=97), K(0.34, -1.81, direction=132)],
        0.68,
    )


@symbol("flag16thUp")
def draw_sixteenth_flag_up() -> Shape:
    """Two flags on an upward stem."""
    return unite(_upper_flag(), _lower_flag())


@symbol("flag16thDown")
def draw_sixteenth_flag_down() -> Shape:
    """Two flags on a downward stem."""
    return scale(draw_sixteenth_flag_up(), 1.04, -0.98)


_PITCH = 0.75
"""From flag to flag along the stem."""


def _flags_up(count: int) -> Shape:
    """Three or four flags; the outer ones stand beyond the end of a normal stem's two."""
    extra = count - 2
    outer = [move(_upper_flag(), 0, -_PITCH * number) for number in range(extra + 1)]
    return unite(*outer, move(_lower_flag(), 0, -_PITCH * extra + 0.05))


@symbol("flag32ndUp")
def draw_thirty_second_flag_up() -> Shape:
    """Three flags on an upward stem."""
    return _flags_up(3)


@symbol("flag32ndDown")
def draw_thirty_second_flag_down() -> Shape:
    """Three flags on a downward stem."""
    return scale(_flags_up(3), 1.04, -0.98)


@symbol("flag64thUp")
def draw_sixty_fourth_flag_up() -> Shape:
    """Four flags on an upward stem."""
    return _flags_up(4)


@symbol("flag64thDown")
def draw_sixty_fourth_flag_down() -> Shape:
    """Four flags on a downward stem."""
    return scale(_flags_up(4), 1.04, -0.98)
