"""Dense polygons back to lines and cubics (P. J. Schneider, An Algorithm for Automatically Fitting Digitized Curves, 1990)."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from shapely.geometry import Polygon

_TOLERANCE = 0.0005
"""Staff spaces between the polygon and its curves, at most."""
_CORNER = 14.0
"""Degrees: sharper turns stay corners."""
_STRAIGHT = 0.2
"""Staff spaces: longer edges are straight lines."""
_SIMPLIFY = 4e-5
_ROUNDS = 12
_HOPELESS = 60

Points = Any


class Piece(NamedTuple):
    """A line (two points) or a cubic (four points)."""

    points: tuple[tuple[float, float], ...]


def refit_ring(ring: Points) -> list[Piece]:
    """The closed outline through a dense ring."""
    corners = np.array(Polygon(ring).simplify(_SIMPLIFY).exterior.coords)[:-1]
    return _Ring(corners).pieces()


class _Ring:
    """One closed ring with its edges, turns and the places where pieces begin."""

    def __init__(self, corners: Points) -> None:
        self.q = corners
        self.n = len(corners)
        self.edges = np.roll(corners, -1, 0) - corners
        self.lengths = np.linalg.norm(self.edges, axis=1)
        headings = np.arctan2(self.edges[:, 1], self.edges[:, 0])
        turns = np.degrees((headings - np.roll(headings, 1) + math.pi) % (2 * math.pi) - math.pi)
        self.is_corner = np.abs(turns) > _CORNER
        self.is_line = (self.lengths > _STRAIGHT) | (self.is_corner & np.roll(self.is_corner, -1))

    def pieces(self) -> list[Piece]:
        breaks = [i for i in range(self.n) if self.is_corner[i] or self.is_line[i] or self.is_line[i - 1]]
        if not breaks:
            q = self.q
            breaks = sorted({int(q[:, k].argmax()) for k in (0, 1)} | {int(q[:, k].argmin()) for k in (0, 1)})
        result: list[Piece] = []
        for a, b in zip(breaks, [*breaks[1:], breaks[0] + self.n], strict=True):
            if b == a + 1 and self.is_line[a % self.n]:
                result.append(Piece((_pair(self.q[a % self.n]), _pair(self.q[b % self.n]))))
            else:
                points = self._resample([i % self.n for i in range(a, b + 1)])
                start, end = self._tangent(a, True), -self._tangent(b, False)
                result.extend(Piece(tuple(_pair(p) for p in c)) for c in _fit(points, start, end))
        return result

    def _resample(self, indices: list[int]) -> Points:
        p = self.q[indices]
        s = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(p, axis=0), axis=1))])
        count = max(8, min(400, int(s[-1] / 0.008)))
        at = np.unique(np.concatenate([np.linspace(0, s[-1], count), s]))
        at = at[np.concatenate([[True], np.diff(at) > 1e-6])]
        return np.stack([np.interp(at, s, p[:, 0]), np.interp(at, s, p[:, 1])], 1)

    def _tangent(self, i: int, first: bool) -> Points:
        """The direction of the curve at a break; at a corner the one-sided direction, extrapolated."""
        n, v = self.n, self.edges
        j = i % n
        if not self.is_corner[j]:
            if first and self.is_line[(j - 1) % n]:
                return _unit(v[(j - 1) % n])
            if not first and self.is_line[j]:
                return _unit(v[j])
            return _unit(_unit(v[j]) + _unit(v[(j - 1) % n]))
        near, far = (j, (j + 1) % n) if first else ((j - 1) % n, (j - 2) % n)
        beyond = far if first else (j - 1) % n
        a0 = _unit(v[near])
        a1 = a0 if self.is_corner[beyond] else _unit(v[far])
        bend = math.atan2(a0[0] * a1[1] - a0[1] * a1[0], a0 @ a1)
        share = self.lengths[near] / (self.lengths[near] + self.lengths[far])
        heading = math.atan2(a0[1], a0[0]) - bend * share
        return np.array([math.cos(heading), math.sin(heading)])


def _pair(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _unit(vector: Points) -> Points:
    length = np.linalg.norm(vector)
    return vector / length if length else vector


def _bezier(c: Points, t: Points) -> Points:
    t = t[:, None]
    u = 1 - t
    return u**3 * c[0] + 3 * u * u * t * c[1] + 3 * u * t * t * c[2] + t**3 * c[3]


def _least_squares(p: Points, u: Points, t0: Points, t1: Points) -> Points:
    first, last, w = p[0], p[-1], 1 - u
    b1, b2 = 3 * u * w * w, 3 * u * u * w
    a0, a1 = t0[None] * b1[:, None], t1[None] * b2[:, None]
    c = np.array([[np.sum(a0 * a0), np.sum(a0 * a1)], [np.sum(a0 * a1), np.sum(a1 * a1)]])
    rest = p - (first[None] * (w**3 + b1)[:, None] + last[None] * (b2 + u**3)[:, None])
    x = np.array([np.sum(a0 * rest), np.sum(a1 * rest)])
    length = np.linalg.norm(last - first)
    left = right = length / 3
    if abs(np.linalg.det(c)) > 1e-14:
        left, right = np.linalg.solve(c, x)
    if not (1e-3 * length < left < 3 * length and 1e-3 * length < right < 3 * length):
        left = right = length / 3
    return np.array([first, first + t0 * left, last + t1 * right, last])


def _reparametrise(c: Points, p: Points, u: Points) -> Points:
    """One Newton step of every point towards its nearest place on the curve."""
    d1 = 3 * (c[1:] - c[:-1])
    d2 = 2 * (d1[1:] - d1[:-1])
    t = u[:, None]
    w = 1 - t
    off = _bezier(c, u) - p
    slope = w * w * d1[0] + 2 * w * t * d1[1] + t * t * d1[2]
    curl = w * d2[0] + t * d2[1]
    top, bottom = np.sum(off * slope, 1), np.sum(slope * slope, 1) + np.sum(off * curl, 1)
    return np.clip(np.where(np.abs(bottom) > 1e-12, u - top / np.where(bottom == 0, 1, bottom), u), 0, 1)


def _fit(p: Points, t0: Points, t1: Points) -> list[Points]:
    """Cubics through points `p`, leaving along `t0`, arriving against `t1`; split where they err most."""
    if len(p) <= 2 or np.linalg.norm(p[-1] - p[0]) < 1e-4:
        length = np.linalg.norm(p[-1] - p[0]) / 3
        return [np.array([p[0], p[0] + t0 * length, p[-1] + t1 * length, p[-1]])]
    s = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(p, axis=0), axis=1))])
    u = s / s[-1]
    worst, least = len(p) // 2, float("inf")
    for _ in range(_ROUNDS):
        c = _least_squares(p, u, t0, t1)
        errors = np.linalg.norm(_bezier(c, u) - p, axis=1)
        if errors.max() < least:
            least, worst = float(errors.max()), int(errors.argmax())
        if errors.max() < _TOLERANCE:
            return [c]
        if errors.max() > _TOLERANCE * _HOPELESS:
            break
        u = _reparametrise(c, p, u)
    i = min(max(worst, 2), len(p) - 3) if len(p) > 6 else len(p) // 2
    k = 2 if 2 <= i < len(p) - 2 else 1
    middle = _unit(p[i + k] - p[i - k])
    return _fit(p[: i + 1], t0, -middle) + _fit(p[i:], middle, t1)
