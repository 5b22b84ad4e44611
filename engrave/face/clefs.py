"""Clefs, with and without small figures, and the letters of tablature."""

from __future__ import annotations

from engrave.face.registry import symbol
from engrave.face.shapes import (
    Shape,
    at_left,
    centred,
    disc,
    ellipse,
    fillet,
    move,
    outline,
    pen_stroke,
    polygon,
    rectangle,
    scale,
    unite,
    without,
)
from engrave.face.splines import Knot as K


@symbol("gClef")
def draw_g_clef() -> Shape:
    """G clef; y = 0 on the G line."""
    a = pen_stroke(
        [
            K(1.32, -0.53, direction=172, width=0.02),
            K(0.88, 0.0, direction=90, width=0.21),
            K(1.48, 0.79, direction=0, width=0.40),
            K(2.37, -0.12, direction=-90, width=0.37),
            K(1.36, -1.04, direction=180, width=0.14),
            K(0.21, 0.28, direction=90, width=0.37),
            K(1.12, 2.03, direction=46, width=0.42),
            K(1.875, 3.12, width=0.385),
            K(1.75, 4.345, direction=145, width=0.12),
            K(1.165, 3.16, direction=-91, width=0.15),
            K(1.245, 2.4, direction=-81.5, width=0.17),
            K(1.82, -1.55, direction=-82, width=0.17),
            K(1.29, -2.51, direction=180, width=0.13),
            K(0.75, -1.98, direction=90, width=0.22),
        ]
    )
    return fillet(unite(a, ellipse(0.98, -1.97, 0.34, 0.345)), 0.035)


@symbol("fClef")
def draw_f_clef() -> Shape:
    """F clef; y = 0 on the F line."""
    arc = pen_stroke(
        [
            K(0.115, 0.0, direction=90, width=0.11),
            K(0.92, 0.97, direction=0, width=0.17),
            K(1.73, 0.03, direction=-90, width=0.58),
            K(1.16, -1.50, width=0.35),
            K(0.0, -2.48, direction=205, width=0.03),
        ],
        round_end=True,
    )
    return fillet(unite(arc, disc(0.46, 0.0, 0.40), disc(2.38, 0.5, 0.215), disc(2.38, -0.5, 0.215)), 0.05)


def _small_eight() -> Shape:
    """The figure of octave clefs, 1.4 spaces tall, its top at y = 0."""
    upper = without(ellipse(0, 1.50, 0.55, 0.51, 0, 2.05), ellipse(0.02, 1.53, 0.25, 0.33, 16))
    lower = without(ellipse(0, 0.55, 0.66, 0.56, 0, 2.05), ellipse(-0.02, 0.52, 0.30, 0.37, 22))
    eye, loop = ellipse(0.02, 1.53, 0.25, 0.33, 16), ellipse(-0.02, 0.52, 0.30, 0.37, 22)
    figure = fillet(unite(without(upper, loop), without(lower, eye)), 0.03)
    return move(scale(figure, 0.68, 0.68), 0, -1.38)


@symbol("gClef8vb")
def draw_g_clef_below() -> Shape:
    """G clef with an 8 below."""
    clef = draw_g_clef()
    return unite(clef, move(_small_eight(), 1.30, clef.bounds[1] - 0.14))


@symbol("gClef8va")
def draw_g_clef_above() -> Shape:
    """G clef with an 8 above."""
    clef = draw_g_clef()
    return unite(clef, move(_small_eight(), 1.72, clef.bounds[3] + 0.14 + 1.40))


@symbol("gClef15mb")
def draw_g_clef_two_below() -> Shape:
    """G clef with a 15 below."""
    clef = draw_g_clef()
    one = polygon([(0, 0), (0.28, 0), (0.28, 1.38), (0.10, 1.38), (-0.16, 1.12), (-0.10, 1.06), (0, 1.10)])
    hook = pen_stroke(
        [
            K(0.06, 0.64, 58, 0.09),
            K(0.40, 0.86, 0, 0.12),
            K(0.74, 0.44, -90, 0.33),
            K(0.40, 0.05, 180, 0.10),
            K(0.05, 0.30, 90, 0.09),
        ]
    )
    flag = polygon([(0.06, 0.66), (0.10, 1.38), (0.80, 1.38), (0.74, 1.12), (0.16, 1.12), (0.13, 0.70)])
    five = fillet(unite(hook, flag, disc(0.20, 0.32, 0.18)), 0.02)
    figures = unite(move(one, -0.62, 0), move(five, -0.10, 0))
    return unite(clef, move(figures, 1.20, clef.bounds[1] - 1.50))


@symbol("fClef8vb")
def draw_f_clef_below() -> Shape:
    """F clef with an 8 below."""
    clef = draw_f_clef()
    return unite(clef, move(_small_eight(), 1.15, clef.bounds[1] - 0.14))


@symbol("cClef")
def draw_c_clef() -> Shape:
    """C clef; y = 0 on the middle line."""
    pen_stroke([K(1.02, 0.0, direction=80, width=0.06), K(1.36, 0.42, direction=0, width=0.10)])
    th = rectangle(0, -2, 0.46, 2)
    tn = rectangle(0.66, -2, 0.78, 2)

    def half() -> Shape:
        pen_stroke([K(0.92, 0.02, direction=62, width=0.10), K(1.14, 0.40, direction=80, width=0.10)])
        s = pen_stroke(
            [
                K(1.12, 0.46, direction=-50, width=0.08),
                K(1.55, 0.26, direction=0, width=0.11),
                K(2.24, 1.06, direction=92, width=0.50),
                K(1.55, 1.945, direction=180, width=0.12),
                K(1.08, 1.48, direction=-92, width=0.12),
            ]
        )
        beak = outline(
            [
                K(0.80, 0, corner=True, leave=24),
                K(1.13, 0.46, arrive=80, corner=True, straight=True),
                K(1.19, 0.46, corner=True, leave=-84),
                K(1.34, 0, corner=True, arrive=-56, straight=True),
            ]
        )
        return unite(s, beak, disc(1.29, 1.50, 0.27))

    h = half()
    return fillet(unite(th, tn, h, scale(h, 1, -1)), 0.03)


def _letter_t() -> Shape:
    """The letter T, 1.7 spaces high."""
    return unite(rectangle(0, 1.40, 1.42, 1.70), rectangle(0.53, 0, 0.89, 1.70))


def _letter_a() -> Shape:
    """The letter A."""
    o = polygon([(0, 0), (0.58, 1.70), (1.02, 1.70), (1.60, 0), (1.21, 0), (0.80, 1.28), (0.39, 0)])
    return unite(
        o,
        rectangle(0.36, 0.36, 1.24, 0.65).intersection(polygon([(0, 0), (0.58, 1.7), (1.02, 1.7), (1.6, 0)])),
    )


def _letter_b() -> Shape:
    """The letter B."""

    def d(y0: float, y1: float, x: float) -> Shape:
        r = (y1 - y0) / 2
        return outline(
            [
                K(0, y0, corner=True, straight=True),
                K(x - r * 1.0, y0, direction=0),
                K(x, (y0 + y1) / 2, direction=90),
                K(x - r, y1, direction=180, straight=True),
                K(0, y1, corner=True, straight=True),
            ]
        )

    return without(
        unite(d(0, 0.98, 1.36), d(0.74, 1.70, 1.26)),
        without(unite(d(0.28, 0.74, 1.0)).intersection(rectangle(0.36, 0, 3, 3))),
        without(d(1.0, 1.42, 0.91).intersection(rectangle(0.36, 0, 3, 3))),
    )


_LETTER = 1.70
"""Height of the letters as drawn."""
_GAP = 0.28
"""White between them."""


def _stacked_letters(height: float) -> Shape:
    """T, A and B under each other, `height` spaces in all, y = 0 in the middle; widths shrink less than heights."""
    natural = 3 * _LETTER + 2 * _GAP
    tall = height / natural
    wide = min(1.15, tall**0.6)
    letters = unite(
        move(centred(_letter_t()), 0, _LETTER / 2 + _GAP),
        move(centred(_letter_a()), 0, -_LETTER / 2),
        move(centred(_letter_b()), 0, -1.5 * _LETTER - _GAP),
    )
    return at_left(scale(letters, wide, tall))


@symbol("4stringTabClef")
def draw_four_string_clef() -> Shape:
    """Letters for a tab of four lines."""
    return _stacked_letters(3.9)


@symbol("5stringTabClef")
def draw_five_string_clef() -> Shape:
    """Letters for a tab of five lines."""
    return _stacked_letters(4.9)


@symbol("6stringTabClef")
def draw_six_string_clef() -> Shape:
    """Letters for a tab of six lines."""
    return _stacked_letters(5.66)


@symbol("7stringTabClef")
def draw_seven_string_clef() -> Shape:
    """Letters for a tab of seven lines."""
    return _stacked_letters(6.9)


@symbol("8stringTabClef")
def draw_eight_string_clef() -> Shape:
    """Letters for a tab of eight lines."""
    return _stacked_letters(8.0)
