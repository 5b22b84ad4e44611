"""Pen strokes, outlines and simple bodies as polygons, and what is done with them. Unit: staff spaces."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from scipy.interpolate import PchipInterpolator
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon
from shapely.ops import unary_union

from engrave.face.splines import SAMPLES, Knot, draw_spline, sample_spline

Shape = Any
"""A polygon or several, as shapely has them."""
_QUAD = 6
"""Samples to a piece of a stroke: small pieces unite rightly even where a stroke crosses itself."""
_SPECK = 1e-5
"""Areas below this are no ink."""


def outline(knots: Sequence[Knot]) -> Shape:
    """The body inside a closed curve."""
    points, _, _ = sample_spline(draw_spline(knots, closed=True))
    return Polygon([(z.real, z.imag) for z in points]).buffer(0)


def pen_stroke(knots: Sequence[Knot], round_start: bool = False, round_end: bool = False) -> Shape:
    """A stroke whose width changes from knot to knot; both edges are curves of their own, so tight turns do not kink.

    At a knot with a direction each edge leans out by half the slope of the width.
    """
    points, tangents, places = sample_spline(draw_spline(knots))
    along = np.concatenate([[0], np.cumsum(np.abs(np.diff(points)))])
    width, slope = _width_profile(knots, [along[place] for place in places])
    edges: tuple[list[Knot], list[Knot]] = ([], [])
    for i, knot in enumerate(knots):
        place = along[places[i]]
        half = width(place) / 2
        given = knot.arrive if knot.arrive is not None else knot.leave
        heading = cmath.phase(tangents[places[i]]) if given is None else math.radians(given)
        is_end = i in (0, len(knots) - 1)
        for edge, sign in zip(edges, (1, -1), strict=True):
            z = knot.point + sign * 1j * cmath.rect(1, heading) * half
            if given is None and not is_end:
                edge.append(Knot(z.real, z.imag))
            else:
                lean = math.atan(sign * slope(place) / 2)
                edge.append(Knot(z.real, z.imag, direction=math.degrees(heading + lean)))
    parts = _quads(draw_spline(edges[0]), draw_spline(edges[1]))
    for wanted, knot in ((round_start, knots[0]), (round_end, knots[-1])):
        if wanted and knot.width:
            parts.append(disc(knot.point.real, knot.point.imag, knot.width / 2))
    return _join(parts)


def _width_profile(knots: Sequence[Knot], places: Sequence[float]) -> tuple[Any, Any]:
    given = [(place, knot.width) for place, knot in zip(places, knots, strict=True) if knot.width is not None]
    if len(given) == 1:
        constant = given[0][1]
        return (lambda _: constant), (lambda _: 0.0)
    profile = PchipInterpolator([place for place, _ in given], [width for _, width in given])
    derivative = profile.derivative()
    return (lambda x: float(profile(x))), (lambda x: float(derivative(x)))


def _quads(left: Sequence[Any], right: Sequence[Any]) -> list[Shape]:
    parts = []
    for first, second in zip(left, right, strict=True):
        a, b = sample_spline([first])[0], sample_spline([second])[0]
        for i in range(0, SAMPLES, _QUAD):
            ring = list(a[i : i + _QUAD + 1]) + list(b[i : i + _QUAD + 1][::-1])
            piece = Polygon([(z.real, z.imag) for z in ring])
            parts.append(piece if piece.is_valid else piece.buffer(0))
    return parts


def _join(parts: Sequence[Shape], margin: float = 2e-4) -> Shape:
    return unary_union([part.buffer(margin, join_style=2) for part in parts]).buffer(-margin, join_style=2)


def disc(x: float, y: float, radius: float) -> Shape:
    """A filled circle."""
    return Point(x, y).buffer(radius, quad_segs=64)


def ellipse(x: float, y: float, a: float, b: float, tilt: float = 0, exponent: float = 2.0) -> Shape:
    """A superellipse with half axes `a` and `b`, tilted by degrees."""
    ring = []
    for i in range(360):
        c, s = math.cos(math.radians(i)), math.sin(math.radians(i))
        ring.append(
            (a * math.copysign(abs(c) ** (2 / exponent), c), b * math.copysign(abs(s) ** (2 / exponent), s))
        )
    return affinity.translate(affinity.rotate(Polygon(ring), tilt, origin=(0, 0)), x, y)


def rectangle(left: float, bottom: float, right: float, top: float) -> Shape:
    """An upright rectangle."""
    return Polygon([(left, bottom), (right, bottom), (right, top), (left, top)])


def polygon(corners: Sequence[tuple[float, float]]) -> Shape:
    """A body with straight edges."""
    return Polygon(corners)


def straight_line(
    x1: float, y1: float, x2: float, y2: float, width: float, round_ends: bool = False
) -> Shape:
    """A straight stroke of even width."""
    from_to = complex(x2 - x1, y2 - y1)
    normal = 1j * from_to / abs(from_to) * width / 2
    ring = [
        complex(x1, y1) + normal,
        complex(x2, y2) + normal,
        complex(x2, y2) - normal,
        complex(x1, y1) - normal,
    ]
    body = Polygon([(z.real, z.imag) for z in ring])
    return unite(body, disc(x1, y1, width / 2), disc(x2, y2, width / 2)) if round_ends else body


def unite(*shapes: Shape) -> Shape:
    """All ink of the shapes."""
    return unary_union(list(shapes))


def without(shape: Shape, *holes: Shape) -> Shape:
    """The shape with holes cut into it."""
    for hole in holes:
        shape = shape.difference(hole)
    return shape


def move(shape: Shape, dx: float, dy: float) -> Shape:
    """The shape moved."""
    return affinity.translate(shape, dx, dy)


def scale(shape: Shape, sx: float, sy: float) -> Shape:
    """The shape scaled about the origin."""
    return affinity.scale(shape, sx, sy, origin=(0, 0))


def rotate(shape: Shape, degrees: float, centre: tuple[float, float] = (0, 0)) -> Shape:
    """The shape turned counter-clockwise."""
    return affinity.rotate(shape, degrees, origin=centre)


def at_left(shape: Shape) -> Shape:
    """The shape with its left edge at x = 0."""
    return move(shape, -shape.bounds[0], 0)


def centred(shape: Shape) -> Shape:
    """The shape with its middle at x = 0."""
    return move(shape, -(shape.bounds[0] + shape.bounds[2]) / 2, 0)


def fillet(shape: Shape, radius: float) -> Shape:
    """Inner corners rounded, as in worn engraving; outer ones left."""
    return shape.buffer(radius, quad_segs=48).buffer(-radius, quad_segs=48, join_style=1)


def soften(shape: Shape, radius: float) -> Shape:
    """Outer corners rounded."""
    return shape.buffer(-radius, quad_segs=32).buffer(radius, quad_segs=32)


def bodies(shape: Shape) -> Iterator[Shape]:
    """The separate polygons of a shape, specks left out."""
    for part in shape.geoms if isinstance(shape, MultiPolygon) else [shape]:
        if not part.is_empty and part.area > _SPECK:
            yield part


def is_speck(ring: Any) -> bool:
    """True for holes too small to see."""
    return bool(Polygon(ring).area <= _SPECK)


def skewed(shape: Shape) -> Shape:
    """The shape leaning like italics."""
    return affinity.skew(shape, xs=14, origin=(0, 0))
