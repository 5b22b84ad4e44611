"""Repeat and navigation signs, dots, brackets."""

from __future__ import annotations

from engrave.face.registry import symbol
from engrave.face.shapes import (
    Shape,
    at_left,
    disc,
    ellipse,
    fillet,
    outline,
    pen_stroke,
    polygon,
    rectangle,
    scale,
    straight_line,
    unite,
    without,
)
from engrave.face.splines import Knot as K


@symbol("segno")
def draw_segno() -> Shape:
    """Segno."""
    s = pen_stroke(
        [
            K(0.26, 0.62, direction=20, width=0.12),
            K(0.54, 0.98, direction=92, width=0.13),
            K(0.12, 1.38, direction=180, width=0.14),
            K(-0.60, 0.86, direction=-90, width=0.30),
            K(0, 0, direction=-38, width=0.46),
            K(0.60, -0.86, direction=-90, width=0.30),
            K(-0.12, -1.38, direction=180, width=0.14),
            K(-0.54, -0.98, direction=92, width=0.13),
            K(-0.26, -0.62, direction=20, width=0.12),
        ]
    )
    g = unite(
        s,
        disc(0.16, 0.74, 0.17),
        disc(-0.16, -0.74, 0.17),
        straight_line(-0.98, -1.42, 0.98, 1.42, 0.13),
        disc(-0.88, 0.02, 0.17),
        disc(0.88, -0.02, 0.17),
    )
    return at_left(fillet(g, 0.03))


@symbol("coda")
def draw_coda() -> Shape:
    """Coda."""
    ring = without(ellipse(0, 0, 0.98, 1.16, 0, 2.05), ellipse(0, 0, 0.62, 1.03, 0, 2.0))
    return at_left(unite(ring, rectangle(-0.065, -1.62, 0.065, 1.62), rectangle(-1.42, -0.065, 1.42, 0.065)))


@symbol("augmentationDot")
def draw_augmentation_dot() -> Shape:
    """The dot that lengthens a note."""
    return disc(0.2, 0, 0.2)


@symbol("repeatDot")
def draw_repeat_dot() -> Shape:
    """One dot of a repeat sign."""
    return disc(0.22, 0, 0.22)


def _thick_slash(x: float) -> Shape:
    """A slanted bar over two spaces."""
    return polygon([(x, -1.0), (x + 0.42, -1.0), (x + 1.62, 1.0), (x + 1.20, 1.0)])


@symbol("repeat1Bar")
def draw_repeat_one() -> Shape:
    """Play the last measure again."""
    return at_left(unite(_thick_slash(0.2), disc(0.28, 0.52, 0.24), disc(1.74, -0.52, 0.24)))


@symbol("repeat2Bars")
def draw_repeat_two() -> Shape:
    """Play the last two measures again."""
    return at_left(
        unite(_thick_slash(0.2), _thick_slash(1.1), disc(0.28, 0.52, 0.24), disc(2.64, -0.52, 0.24))
    )


@symbol("repeat4Bars")
def draw_repeat_four() -> Shape:
    """Play the last four measures again."""
    slashes = [_thick_slash(0.2 + 0.9 * i) for i in range(4)]
    return at_left(unite(*slashes, disc(0.28, 0.52, 0.24), disc(4.44, -0.52, 0.24)))


@symbol("bracketTop")
def draw_bracket_top() -> Shape:
    """The upper end of a system bracket; x = 0 at the bar's left side, y = 0 at its end."""
    return outline(
        [
            K(0, -0.05, corner=True, straight=True),
            K(0, 0.16, corner=True, leave=4),
            K(1.35, 0.72, arrive=52, corner=True, straight=True),
            K(1.30, 0.76, corner=True, leave=-140),
            K(0.45, -0.05, arrive=186, corner=True, straight=True),
        ]
    )


@symbol("bracketBottom")
def draw_bracket_bottom() -> Shape:
    """The lower end of a system bracket."""
    return scale(draw_bracket_top(), 1, -1)
