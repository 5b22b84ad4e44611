"""Rests."""

from __future__ import annotations

from engrave.face.registry import symbol
from engrave.face.shapes import (
    Shape,
    at_left,
    disc,
    fillet,
    move,
    outline,
    pen_stroke,
    polygon,
    rectangle,
    soften,
    unite,
)
from engrave.face.splines import Knot as K


@symbol("restQuarter")
def draw_quarter_rest() -> Shape:
    """Quarter rest, centred on y = 0."""
    g = outline(
        [
            K(0.18, 1.60, leave=-40, arrive=121),
            K(1.00, 0.62, arrive=-54, leave=-132),
            K(0.70, 0.02, direction=-88),
            K(1.10, -0.72, arrive=-46, leave=160),
            K(0.64, -0.62, direction=188),
            K(0.43, -0.95, direction=-90),
            K(0.73, -1.56, arrive=-52, leave=140),
            K(0.08, -0.84, direction=90),
            K(0.42, -0.40, direction=4),
            K(0.66, -0.44, arrive=-20, leave=126),
            K(0.13, 0.36, arrive=130, leave=44),
            K(0.51, 0.92, direction=92),
        ]
    )
    return soften(fillet(g, 0.02), 0.022)


def _hook(x: float, y: float, xe: float, ye: float) -> Shape:
    """A ball at (x, y) with its arm to (xe, ye)."""
    arm = pen_stroke(
        [
            K(x - 0.225, y - 0.03, direction=-90, width=0.11),
            K(x + 0.13, y - 0.335, direction=0, width=0.12),
            K(xe, ye, direction=71, width=0.05),
        ]
    )
    return unite(arm, disc(x, y, 0.285))


def _rest_stem(n: int) -> Shape:
    """The leaning stem of a rest with `n` hooks."""
    # stem line from tip (1.03,.72); slope so that bottom right shifts
    m = 0.285
    yb = -1.0 - (n - 1)
    tip = (1.03 + 0.0 * n, 0.72)
    xb = tip[0] - m * (tip[1] - yb)
    return polygon([tip, (tip[0] - 0.12, tip[1] - 0.2), (xb - 0.145, yb), (xb, yb)])


def _hooked_rest(n: int) -> Shape:
    """A rest of `n` hooks, the highest ball near y = 0.42."""
    m = 0.285
    parts = [_rest_stem(n)]
    for i in range(n):
        parts.append(_hook(0.285 - m * i * 1.0 + 0.0, 0.42 - i, 1.0 - m * i, 0.70 - i))
    return at_left(soften(fillet(unite(*parts), 0.05), 0.02))


@symbol("rest8th")
def draw_eighth_rest() -> Shape:
    """Eighth rest."""
    return _hooked_rest(1)


@symbol("rest16th")
def draw_sixteenth_rest() -> Shape:
    """Sixteenth rest."""
    return _hooked_rest(2)


@symbol("rest32nd")
def draw_thirty_second_rest() -> Shape:
    """Thirty-second rest."""
    return move(_hooked_rest(3), 0, 1)


@symbol("restWhole")
def draw_whole_rest() -> Shape:
    """Whole rest; hangs from y = 0."""
    return rectangle(0, -0.53, 1.13, 0.0)


@symbol("restHalf")
def draw_half_rest() -> Shape:
    """Half rest; sits on y = 0."""
    return rectangle(0, 0, 1.13, 0.53)


@symbol("rest64th")
def draw_sixty_fourth_rest() -> Shape:
    """Sixty-fourth rest."""
    return move(_hooked_rest(4), 0, 1)


@symbol("restDoubleWhole")
def draw_double_whole_rest() -> Shape:
    """Breve rest; fills a space upwards from y = 0."""
    return rectangle(0, 0, 0.50, 1.0)


@symbol("restWholeLegerLine")
def draw_whole_rest_on_ledger() -> Shape:
    """Whole rest outside the staff."""
    return move(unite(rectangle(0.32, -0.53, 1.45, 0), rectangle(0, -0.08, 1.77, 0.08)), -0.32, 0)


@symbol("restHalfLegerLine")
def draw_half_rest_on_ledger() -> Shape:
    """Half rest outside the staff."""
    return move(unite(rectangle(0.32, 0, 1.45, 0.53), rectangle(0, -0.08, 1.77, 0.08)), -0.32, 0)


@symbol("restHBarLeft")
def draw_long_rest_left() -> Shape:
    """Left end of a rest of several measures."""
    return unite(rectangle(0, -1.0, 0.16, 1.0), rectangle(0.1, -0.45, 1.0, 0.45))


@symbol("restHBarMiddle")
def draw_long_rest_middle() -> Shape:
    """Middle piece of a rest of several measures."""
    return rectangle(0, -0.45, 1.0, 0.45)


@symbol("restHBarRight")
def draw_long_rest_right() -> Shape:
    """Right end of a rest of several measures."""
    return unite(rectangle(0.84, -1.0, 1.0, 1.0), rectangle(0, -0.45, 0.9, 0.45))
