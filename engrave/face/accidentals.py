"""Accidentals, centred on y = 0, and those that stand in words."""

from __future__ import annotations

import cmath
import math
from typing import Any

from engrave.face.registry import symbol
from engrave.face.shapes import (
    Shape,
    at_left,
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


def _slanted_bar(x0: float, x1: float, y: float, s: float, h: float) -> Shape:
    """A slanted bar from x0 to x1 about height y, rising by 2 s, 2 h thick."""
    return polygon([(x0, y - s - h), (x1, y + s - h), (x1, y + s + h), (x0, y - s + h)])


@symbol("accidentalSharp")
def draw_sharp() -> Shape:
    """Sharp."""
    left = rectangle(0.245, -1.40, 0.36, 1.28)
    right = rectangle(0.64, -1.28, 0.755, 1.40)
    return unite(left, right, _slanted_bar(0, 1, 0.42, 0.13, 0.135), _slanted_bar(0, 1, -0.42, 0.13, 0.135))


@symbol("accidentalNatural")
def draw_natural() -> Shape:
    """Natural."""
    left = rectangle(0, -0.70, 0.115, 1.36)
    right = rectangle(0.555, -1.36, 0.67, 0.70)
    return unite(
        left,
        right,
        _slanted_bar(0, 0.67, 0.425, 0.09, 0.135).intersection(rectangle(0, -2, 2, 2)),
        _slanted_bar(0, 0.67, -0.425, 0.09, 0.135),
    )


@symbol("accidentalFlat")
def draw_flat() -> Shape:
    """Flat."""
    stem = polygon([(0, 1.76), (0.125, 1.76), (0.105, -0.55), (0.0, -0.71)])
    outer = outline(
        [
            K(0.05, 0.22, leave=62, corner=True),
            K(0.53, 0.59, direction=-2),
            K(0.90, 0.22, direction=-93),
            K(0, -0.71, arrive=219, corner=True, straight=True),
        ]
    )
    inner = outline(
        [
            K(0.107, 0.16, leave=48, corner=True),
            K(0.40, 0.39, direction=4),
            K(0.60, 0.13, direction=-90),
            K(0.104, -0.46, arrive=231, corner=True, straight=True),
        ]
    )
    return unite(stem, without(outer, inner))


@symbol("accidentalDoubleFlat")
def draw_double_flat() -> Shape:
    """Double flat."""
    f = draw_flat()
    return unite(scale(f, 0.93, 1), move(f, 0.735, 0))


@symbol("accidentalDoubleSharp")
def draw_double_sharp() -> Shape:
    """Double sharp: a cross with four blocks."""
    knots = []
    options: dict[str, Any]
    for quarter in range(4):
        turn = cmath.rect(1, math.radians(-90 * quarter))
        back = -90 * quarter
        for x, y, options in (
            (0, 0.11, {"leave": 38, "arrive": -38}),
            (0.19, 0.5, {"arrive": 82, "corner": True, "straight": True}),
            (0.5, 0.5, {"corner": True, "straight": True}),
            (0.5, 0.19, {"leave": 188, "corner": True}),
        ):
            z = complex(x, y) * turn
            turned: dict[str, Any] = {
                name: value + back if name in ("leave", "arrive") else value
                for name, value in options.items()
            }
            knots.append(K(z.real, z.imag, **turned))
    return at_left(outline(knots))


@symbol("accidentalParensLeft")
def draw_left_accidental_parenthesis() -> Shape:
    """Opening parenthesis before an accidental."""
    return at_left(pen_stroke([K(0.42, 1.25, width=0.04), K(0.10, 0, 270, 0.17), K(0.42, -1.25, width=0.04)]))


@symbol("accidentalParensRight")
def draw_right_accidental_parenthesis() -> Shape:
    """Closing parenthesis after an accidental."""
    return move(at_left(scale(draw_left_accidental_parenthesis(), -1, 1)), 0.10, 0)


def _as_text(sign: Shape, height: float) -> Shape:
    """A sign to stand beside capitals: `height` spaces tall (4 to the em), a little below the baseline."""
    factor = height / (sign.bounds[3] - sign.bounds[1])
    sized = scale(sign, factor * 1.04, factor)
    return move(at_left(sized), 0.12, -sized.bounds[1] - 0.35)


@symbol("csymAccidentalSharp")
def draw_text_sharp() -> Shape:
    """Sharp in chord names and other words."""
    return _as_text(draw_sharp(), 3.3)


@symbol("csymAccidentalFlat")
def draw_text_flat() -> Shape:
    """Flat in chord names and other words."""
    return move(_as_text(draw_flat(), 3.15), 0, 0.30)


@symbol("csymAccidentalNatural")
def draw_text_natural() -> Shape:
    """Natural in chord names and other words."""
    return _as_text(draw_natural(), 3.3)


@symbol("csymAccidentalDoubleSharp")
def draw_text_double_sharp() -> Shape:
    """Double sharp in words, its middle as high as a sharp's."""
    sign = scale(draw_double_sharp(), 1.35, 1.35)
    return move(at_left(sign), 0.12, 1.1)


@symbol("csymAccidentalDoubleFlat")
def draw_text_double_flat() -> Shape:
    """Double flat in words, as tall as a flat."""
    return move(_as_text(draw_double_flat(), 3.15), 0, 0.30)
