"""Time signatures."""

from __future__ import annotations

from engrave.face.registry import DRAWINGS, Drawing, symbol
from engrave.face.shapes import (
    Shape,
    at_left,
    disc,
    ellipse,
    fillet,
    move,
    outline,
    pen_stroke,
    polygon,
    rectangle,
    rotate,
    scale,
    unite,
    without,
)
from engrave.face.splines import Knot as K


@symbol("timeSigCommon")
def draw_common_time() -> Shape:
    """The sign of common time."""
    s = pen_stroke(
        [
            K(1.45, 0.47, direction=93, width=0.13),
            K(0.97, 0.945, direction=180, width=0.13),
            K(0.28, 0, direction=-90, width=0.54),
            K(1.0, -0.945, direction=0, width=0.13),
            K(1.62, -0.42, direction=70, width=0.07),
        ]
    )
    return at_left(fillet(unite(s, disc(1.245, 0.46, 0.27)), 0.04))


@symbol("timeSigCutCommon")
def draw_cut_time() -> Shape:
    """The sign of cut time."""
    return unite(draw_common_time(), rectangle(0.90, -1.45, 1.02, 1.45))


def _foot(x0: float, x1: float, s0: float, s1: float) -> Shape:
    """A slab foot from x0 to x1 with bracketed joints to a stem from s0 to s1."""
    return outline(
        [
            K(x0, 0, corner=True, straight=True),
            K(x1, 0, corner=True, straight=True),
            K(x1, 0.11, corner=True, leave=178),
            K(s1, 0.34, arrive=92, corner=True, straight=True),
            K(s0, 0.34, corner=True, leave=-92),
            K(x0, 0.11, arrive=182, corner=True, straight=True),
        ]
    )


def _digit_0() -> Shape:
    """The figure 0, from y = 0 to 2."""
    return without(ellipse(0.8, 1, 0.80, 1.02, 0, 2.1), ellipse(0.8, 1, 0.31, 0.88, 0, 2.0))


def _digit_1() -> Shape:
    """The figure 1, from y = 0 to 2."""
    return unite(
        outline(
            [
                K(0.34, 0.14, corner=True, straight=True),
                K(0.34, 1.52, corner=True, leave=-118),
                K(0.05, 1.30, arrive=200, corner=True, straight=True),
                K(0, 1.38, corner=True, leave=32),
                K(0.46, 2.0, arrive=66, corner=True, straight=True),
                K(0.82, 2.0, corner=True, straight=True),
                K(0.82, 0.14, corner=True, straight=True),
            ]
        ),
        _foot(0, 1.14, 0.34, 0.82),
    )


def _digit_2() -> Shape:
    """The figure 2, from y = 0 to 2."""
    s = pen_stroke(
        [
            K(0.10, 1.42, direction=88, width=0.12),
            K(0.66, 1.945, direction=0, width=0.15),
            K(1.13, 1.46, direction=-90, width=0.50),
            K(0.68, 0.80, direction=-133, width=0.36),
            K(0.18, 0.18, direction=-128, width=0.12),
        ]
    )
    base = outline(
        [
            K(0.06, 0.0, corner=True, leave=52),
            K(0.42, 0.16, direction=-6),
            K(0.90, -0.02, direction=0),
            K(1.40, 0.64, arrive=88, leave=178),
            K(1.31, 0.64, corner=True, leave=-96),
            K(1.08, 0.43, direction=182),
            K(0.44, 0.50, direction=178),
            K(0.06, 0.06, arrive=-112, corner=True, straight=True),
        ]
    )
    return fillet(unite(s, disc(0.33, 1.42, 0.29), base), 0.03)


def _digit_3() -> Shape:
    """The figure 3, from y = 0 to 2."""
    s = pen_stroke(
        [
            K(0.09, 1.50, direction=88, width=0.12),
            K(0.60, 1.945, direction=0, width=0.15),
            K(1.02, 1.50, direction=-90, width=0.46),
            K(0.46, 1.055, direction=180, width=0.10),
        ]
    )
    s2 = pen_stroke(
        [
            K(0.46, 1.055, direction=0, width=0.10),
            K(1.11, 0.54, direction=-90, width=0.52),
            K(0.58, 0.055, direction=180, width=0.15),
            K(0.07, 0.48, direction=90, width=0.12),
        ]
    )
    return fillet(unite(s, s2, disc(0.30, 1.48, 0.27), disc(0.31, 0.50, 0.30)), 0.03)


def _digit_4() -> Shape:
    """The figure 4, from y = 0 to 2."""
    diag = outline(
        [
            K(0.62, 2.02, corner=True, straight=True),
            K(1.04, 2.02, corner=True, leave=-104),
            K(0.20, 0.66, arrive=-136, corner=True, straight=True),
            K(0, 0.5, corner=True, straight=True),
            K(0, 0.64, corner=True, leave=46),
        ]
    )
    return fillet(
        unite(
            diag,
            rectangle(0.0, 0.50, 1.46, 0.67),
            polygon([(0.70, 0.1), (0.70, 1.0), (1.14, 1.40), (1.14, 0.1)]),
            _foot(0.44, 1.40, 0.70, 1.14),
        ),
        0.02,
    )


def _digit_5() -> Shape:
    """The figure 5, from y = 0 to 2."""
    s2 = pen_stroke(
        [
            K(0.13, 0.93, direction=58, width=0.10),
            K(0.60, 1.235, direction=0, width=0.16),
            K(1.10, 0.64, direction=-90, width=0.52),
            K(0.58, 0.055, direction=180, width=0.15),
            K(0.07, 0.48, direction=90, width=0.12),
        ]
    )
    top = outline(
        [
            K(0.13, 2.02, corner=True, leave=-12),
            K(0.60, 1.96, direction=0),
            K(1.26, 2.04, arrive=16, leave=-104),
            K(0.66, 1.55, direction=180),
            K(0.20, 1.64, arrive=164, corner=True, straight=True),
        ]
    )
    return fillet(
        unite(
            s2,
            disc(0.31, 0.50, 0.30),
            top,
            polygon([(0.10, 0.88), (0.13, 2.02), (0.245, 1.98), (0.205, 1.02)]),
        ),
        0.03,
    )


def _digit_6() -> Shape:
    """The figure 6, from y = 0 to 2."""
    big = pen_stroke(
        [
            K(1.22, 1.54, direction=90, width=0.12),
            K(0.80, 1.945, direction=180, width=0.14),
            K(0.25, 0.94, direction=-90, width=0.50),
            K(0.73, 0.055, direction=0, width=0.14),
            K(1.17, 0.61, direction=90, width=0.46),
            K(0.80, 1.14, direction=180, width=0.12),
            K(0.44, 0.92, direction=-128, width=0.10),
        ]
    )
    return fillet(unite(big, disc(1.02, 1.54, 0.26)), 0.03)


def _digit_7() -> Shape:
    """The figure 7, from y = 0 to 2."""
    leg = outline(
        [
            K(1.38, 2.0, corner=True, leave=-112),
            K(0.96, 0, arrive=-88, corner=True, straight=True),
            K(0.42, 0, corner=True, leave=88),
            K(1.16, 1.62, arrive=48, corner=True, straight=True),
        ]
    )
    top = outline(
        [
            K(0, 1.26, corner=True, straight=True),
            K(0.08, 1.26, corner=True, leave=78),
            K(0.34, 1.56, direction=0),
            K(0.86, 1.40, direction=0),
            K(1.24, 1.66, corner=True, arrive=46, straight=True),
            K(1.38, 2.0, corner=True, straight=True),
            K(1.30, 2.0, corner=True, leave=-140),
            K(1.06, 1.87, direction=180),
            K(0.46, 2.03, direction=180),
            K(0.08, 1.80, arrive=-100, corner=True, straight=True),
            K(0.08, 2.0, corner=True, straight=True),
            K(0, 2.0, corner=True, straight=True),
        ]
    )
    return fillet(unite(top, leg), 0.02)


def _digit_8() -> Shape:
    """The figure 8, from y = 0 to 2."""
    up = without(ellipse(0.70, 1.50, 0.57, 0.52, 0, 2.05), ellipse(0.73, 1.545, 0.245, 0.345, 16, 2.0))
    lo = without(ellipse(0.70, 0.55, 0.70, 0.57, 0, 2.05), ellipse(0.665, 0.50, 0.29, 0.40, 22, 2.0))
    return fillet(
        unite(
            without(up, ellipse(0.665, 0.50, 0.29, 0.40, 22, 2.0)),
            without(lo, ellipse(0.73, 1.545, 0.245, 0.345, 16, 2.0)),
        ),
        0.03,
    )


def _digit_9() -> Shape:
    """The figure 9, from y = 0 to 2."""
    return rotate(_digit_6(), 180, (0, 1))


_DIGITS = (_digit_0, _digit_1, _digit_2, _digit_3, _digit_4, _digit_5, _digit_6, _digit_7, _digit_8, _digit_9)
_SHRINK = 0.965
"""Figures overshoot their two spaces a little; at this size stacked ones do not touch."""


def _register_digits() -> None:
    """Time digits are centred on y = 0 and two spaces tall."""
    for number, drawing in enumerate(_DIGITS):

        def draw_digit(drawing: Drawing = drawing) -> Shape:
            return at_left(scale(move(drawing(), 0, -1), _SHRINK, _SHRINK))

        DRAWINGS[f"timeSig{number}"] = draw_digit


_register_digits()


@symbol("timeSigPlus")
def draw_time_plus() -> Shape:
    """The plus between the beats of an additive time."""
    return unite(rectangle(0.10, -0.12, 1.10, 0.12), rectangle(0.48, -0.5, 0.72, 0.5))
