"""Smooth curves through knots with few given directions (J. D. Hobby, Smooth, Easy to Compute Interpolating Splines, 1986).

Unit: staff spaces, y upwards; points are complex numbers.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from typing import Any

import numpy as np

Cubic = tuple[complex, complex, complex, complex]
SAMPLES = 96
"""Points on each cubic where shapes are united as dense polygons."""


class Knot:
    """A point that a curve passes through.

    `direction` (degrees) holds on both sides; `arrive` and `leave` where they differ, which makes a corner. `corner` leaves
    both ends free; `straight` makes the outgoing piece a line; `width` is the pen's.
    """

    def __init__(
        self,
        x: float,
        y: float,
        direction: float | None = None,
        width: float | None = None,
        arrive: float | None = None,
        leave: float | None = None,
        corner: bool = False,
        straight: bool = False,
    ) -> None:
        """A knot at (x, y)."""
        self.point = complex(x, y)
        self.width = width
        self.arrive = direction if arrive is None else arrive
        self.leave = direction if leave is None else leave
        self.corner = corner or ((arrive is None) != (leave is None))
        self.straight = straight

    @property
    def breaks(self) -> bool:
        """True where the spline falls apart into independent pieces."""
        return self.corner or self.arrive is not None or self.leave is not None


def _velocity(theta: float, phi: float) -> float:
    """Hobby's velocity function."""
    a = (
        math.sqrt(2)
        * (math.sin(theta) - math.sin(phi) / 16)
        * (math.sin(phi) - math.sin(theta) / 16)
        * (math.cos(theta) - math.cos(phi))
    )
    return (2 + a) / (
        3 * (1 + 0.5 * (math.sqrt(5) - 1) * math.cos(theta) + 0.5 * (3 - math.sqrt(5)) * math.cos(phi))
    )


def _normal_angle(angle: float) -> float:
    return -((-angle + math.pi) % (2 * math.pi) - math.pi)


def _segment(start: complex, end: complex, theta: float, phi: float) -> Cubic:
    chord = end - start
    return (
        start,
        start + cmath.rect(1, theta) * chord * _velocity(theta, phi),
        end - cmath.rect(1, -phi) * chord * _velocity(phi, theta),
        end,
    )


def _solve_open(
    points: Sequence[complex], first: float | None, last: float | None
) -> tuple[list[float], list[float]]:
    """The angles at each knot of an open run; `first` and `last` are given directions or None (a mild curl)."""
    n = len(points) - 1
    chords = [points[i + 1] - points[i] for i in range(n)]
    lengths = [abs(chord) for chord in chords]
    turns = [0.0] * (n + 1)
    for k in range(1, n):
        turns[k] = _normal_angle(cmath.phase(chords[k] / chords[k - 1]))
    matrix, right = np.zeros((n + 1, n + 1)), np.zeros(n + 1)
    matrix[0, 0] = 1
    if first is not None:
        right[0] = _normal_angle(first - cmath.phase(chords[0]))
    else:
        matrix[0, 1] = 1
        right[0] = -turns[1] if n > 1 else 0
    for k in range(1, n):
        matrix[k, k - 1] = 1 / lengths[k - 1]
        matrix[k, k] = 2 / lengths[k - 1] + 2 / lengths[k]
        matrix[k, k + 1] = 1 / lengths[k]
        right[k] = -2 / lengths[k - 1] * turns[k] - (turns[k + 1] if k + 1 < n else 0) / lengths[k]
    matrix[n, n] = 1
    if last is not None:
        right[n] = _normal_angle(last - cmath.phase(chords[n - 1]))
    else:
        matrix[n, n - 1] = 1
        if n == 1 and first is None:
            matrix[0] = [1, 0]
            right[0] = 0
    angles = [float(angle) for angle in np.linalg.solve(matrix, right)]
    return angles[:n], [-(turns[k] + angles[k]) for k in range(1, n)] + [-angles[n]]


def _solve_closed(points: Sequence[complex]) -> tuple[list[float], list[float]]:
    n = len(points)
    chords = [points[(i + 1) % n] - points[i] for i in range(n)]
    lengths = [abs(chord) for chord in chords]
    turns = [_normal_angle(cmath.phase(chords[k] / chords[k - 1])) for k in range(n)]
    matrix, right = np.zeros((n, n)), np.zeros(n)
    for k in range(n):
        matrix[k, (k - 1) % n] += 1 / lengths[k - 1]
        matrix[k, k] += 2 / lengths[k - 1] + 2 / lengths[k]
        matrix[k, (k + 1) % n] += 1 / lengths[k]
        right[k] = -2 / lengths[k - 1] * turns[k] - turns[(k + 1) % n] / lengths[k]
    angles = [float(angle) for angle in np.linalg.solve(matrix, right)]
    return angles, [-(turns[(k + 1) % n] + angles[(k + 1) % n]) for k in range(n)]


def draw_spline(knots: Sequence[Knot], closed: bool = False) -> list[Cubic]:
    """The cubics of the curve through `knots`."""
    row = list(knots)
    if closed:
        breaks = [i for i in range(len(row)) if row[i].breaks or row[i].straight or row[i - 1].straight]
        if not breaks:
            points = [knot.point for knot in row]
            theta, phi = _solve_closed(points)
            return [
                _segment(points[i], points[(i + 1) % len(row)], theta[i], phi[i]) for i in range(len(row))
            ]
        row = row[breaks[0] :] + row[: breaks[0]] + [row[breaks[0]]]
    return _draw_runs(row)


def _draw_runs(row: list[Knot]) -> list[Cubic]:
    cubics: list[Cubic] = []
    i = 0
    while i < len(row) - 1:
        if row[i].straight:
            start, end = row[i].point, row[i + 1].point
            cubics.append((start, start + (end - start) / 3, end - (end - start) / 3, end))
            i += 1
            continue
        j = i + 1
        while j < len(row) - 1 and not row[j].breaks and not row[j].straight:
            j += 1
        theta, phi = _solve_open([k.point for k in row[i : j + 1]], *_end_directions(row, i, j))
        for m in range(j - i):
            cubics.append(_segment(row[i + m].point, row[i + m + 1].point, theta[m], phi[m]))
        i = j
    return cubics


def _end_directions(row: list[Knot], i: int, j: int) -> tuple[float | None, float | None]:
    """Given directions at the ends of a run, or those of straight neighbours where no corner is wanted."""
    leave, arrive = row[i].leave, row[j].arrive
    first = None if leave is None else math.radians(leave)
    last = None if arrive is None else math.radians(arrive)
    if first is None and not row[i].corner and i > 0 and row[i - 1].straight:
        first = cmath.phase(row[i].point - row[i - 1].point)
    if last is None and not row[j].corner and row[j].straight:
        following = row[j + 1] if j + 1 < len(row) else row[1]
        last = cmath.phase(following.point - row[j].point)
    return first, last


def sample_spline(cubics: Sequence[Cubic]) -> tuple[Any, Any, list[int]]:
    """Dense points, unit tangents, and where among them the knots are."""
    points, tangents, knots = [], [], [0]
    for number, (a, b, c, d) in enumerate(cubics):
        t = np.linspace(0, 1, SAMPLES + 1)
        if number:
            t = t[1:]
        u = 1 - t
        points.append(u**3 * a + 3 * u * u * t * b + 3 * u * t * t * c + t**3 * d)
        tangents.append(3 * u * u * (b - a) + 6 * u * t * (c - b) + 3 * t * t * (d - c))
        knots.append(knots[-1] + SAMPLES)
    where, along = np.concatenate(points), np.concatenate(tangents)
    still = np.abs(along) < 1e-9
    if still.any():
        along[still] = np.gradient(where)[still]
    return where, along / np.abs(along), knots
