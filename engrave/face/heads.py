"""Note heads. Each starts at x = 0 and is centred on y = 0."""

from __future__ import annotations

from engrave.face.registry import symbol
from engrave.face.shapes import (
    Shape,
    at_left,
    disc,
    ellipse,
    move,
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


def _head(a: float, b: float, th: float, e: float = 2.0) -> Shape:
    """A tilted head about the origin."""
    return ellipse(0, 0, a, b, th, e)


@symbol("noteheadBlack")
def draw_black_head() -> Shape:
    """Black head."""
    return at_left(_head(0.648, 0.462, 24, 2.1))


@symbol("noteheadHalf")
def draw_half_head() -> Shape:
    """Half head."""
    return at_left(without(_head(0.67, 0.465, 24, 2.1), ellipse(0, 0, 0.575, 0.225, 33, 1.95)))


@symbol("noteheadWhole")
def draw_whole_head() -> Shape:
    """Whole head."""
    return at_left(without(ellipse(0, 0, 0.86, 0.52, 0, 2.1), ellipse(0, 0, 0.46, 0.31, -58, 2.0)))


@symbol("noteheadXBlack")
def draw_cross_head() -> Shape:
    """Cross for dead notes."""
    t = 0.085

    def arm() -> Shape:
        return outline(
            [
                K(-0.60, 0.36, corner=True),
                K(0, -t, direction=-39),
                K(0.44, -0.51, corner=True, straight=True),
                K(0.60, -0.36, corner=True),
                K(0, t, direction=141),
                K(-0.44, 0.51, corner=True, straight=True),
            ]
        )

    a = arm()
    return at_left(unite(a, scale(a, -1, 1)))


@symbol("noteheadDiamondBlack")
def draw_black_diamond() -> Shape:
    """Black diamond."""
    return at_left(
        outline(
            [
                K(-0.60, 0, corner=True),
                K(0, 0.55, corner=True),
                K(0.60, 0, corner=True),
                K(0, -0.55, corner=True),
            ]
        )
    )


@symbol("noteheadDiamondHalf")
def draw_half_diamond() -> Shape:
    """Half diamond: two thick sides, two thin."""
    o = polygon([(-0.62, 0), (0, 0.56), (0.62, 0), (0, -0.56)])
    i = polygon([(-0.49, -0.045), (-0.06, 0.40), (0.49, 0.045), (0.06, -0.40)])
    return at_left(without(o, i))


def _open_cross(reach: float) -> Shape:
    """A cross in a ring, for dead notes of longer values."""
    ring = without(disc(0, 0, reach), disc(0, 0, reach - 0.13))
    return at_left(
        unite(
            ring, straight_line(-0.33, -0.33, 0.33, 0.33, 0.14), straight_line(-0.33, 0.33, 0.33, -0.33, 0.14)
        )
    )


@symbol("noteheadXHalf")
def draw_half_cross() -> Shape:
    """Dead half note: a cross with open arms."""
    return at_left(without(scale(draw_cross_head(), 1.12, 1.06), *_eyes(1.12)))


@symbol("noteheadXWhole")
def draw_whole_cross() -> Shape:
    """Dead whole note: a wider cross with open arms."""
    return at_left(without(scale(draw_cross_head(), 1.34, 1.06), *_eyes(1.34)))


def _eyes(stretch: float) -> list[Shape]:
    """The white inside the four arms of an open cross."""
    return [
        ellipse(0.60 * stretch + sx * 0.42 * stretch, sy * 0.35, 0.135 * stretch, 0.062, sx * sy * 40)
        for sx in (-1, 1)
        for sy in (-1, 1)
    ]


@symbol("noteheadCircleX")
def draw_ringed_cross() -> Shape:
    """A cross in a ring."""
    return _open_cross(0.56)


@symbol("noteheadDiamondWhole")
def draw_whole_diamond() -> Shape:
    """Wide diamond."""
    return at_left(
        without(
            polygon([(-0.78, 0), (0, 0.56), (0.78, 0), (0, -0.56)]),
            polygon([(-0.60, -0.03), (-0.05, 0.38), (0.60, 0.03), (0.05, -0.38)]),
        )
    )


@symbol("noteheadDoubleWhole")
def draw_double_whole_head() -> Shape:
    """Breve: a whole head between upright strokes."""
    whole = draw_whole_head()
    bars = [rectangle(x, -0.62, x + 0.12, 0.62) for x in (-0.46, -0.24, 1.84, 2.06)]
    return at_left(unite(whole, *bars))


@symbol("noteheadSlashHorizontalEnds")
def draw_slash_head() -> Shape:
    """Rhythm slash for quarters and shorter."""
    return polygon([(0, -1.0), (0.62, -1.0), (1.70, 1.0), (1.08, 1.0)])


@symbol("noteheadSlashWhiteHalf")
def draw_half_slash() -> Shape:
    """Rhythm slash for halves."""
    return without(
        polygon([(0, -1.0), (0.90, -1.0), (1.98, 1.0), (1.08, 1.0)]),
        polygon([(0.24, -0.86), (0.78, -0.86), (1.74, 0.86), (1.20, 0.86)]),
    )


@symbol("noteheadSlashWhiteWhole")
def draw_whole_slash() -> Shape:
    """Rhythm slash for wholes."""
    return without(
        polygon([(0, -1.0), (1.50, -1.0), (2.58, 1.0), (1.08, 1.0)]),
        polygon([(0.26, -0.86), (1.36, -0.86), (2.32, 0.86), (1.22, 0.86)]),
    )


@symbol("noteheadParenthesisLeft")
def draw_left_parenthesis() -> Shape:
    """Opening parenthesis before a head."""
    return at_left(
        pen_stroke([K(0.34, 0.72, width=0.04), K(0.08, 0, 90 + 180, 0.16), K(0.34, -0.72, width=0.04)])
    )


@symbol("noteheadParenthesisRight")
def draw_right_parenthesis() -> Shape:
    """Closing parenthesis after a head."""
    return move(at_left(scale(draw_left_parenthesis(), -1, 1)), 0.12, 0)
