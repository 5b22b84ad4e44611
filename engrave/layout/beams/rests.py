"""Rests under a beam: how far out the beam must lie, and when the rests rather give way."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import NamedTuple

from engrave.layout.beams.segments import BeamPiece
from engrave.layout.beams.slope import Beam, BeamLimit
from engrave.layout.direction import Direction
from engrave.style.sections import BeamStyle


class BeamedRest(NamedTuple):
    """The ink of a rest between beamed notes: its left and right, and the y nearest the beam."""

    left: float
    right: float
    edge: float


def beam_limits(
    rests: Sequence[BeamedRest], pieces: Sequence[BeamPiece], direction: Direction, style: BeamStyle
) -> tuple[BeamLimit, ...]:
    """What the ink of `rests` asks of a beam made of `pieces`, so that the innermost one over each stays clear of it."""
    limits: list[BeamLimit] = []
    for rest in rests:
        over = [
            p.level
            for p in pieces
            if p.x1 - style.rest_near < rest.right and rest.left < p.x2 + style.rest_near
        ]
        inner = (max(over, default=1) - 1) * (style.thickness + style.gap)
        least = direction * rest.edge + style.rest_gap + style.thickness / 2 + inner
        limits += [BeamLimit(rest.left, least), BeamLimit(rest.right, least)]
    return tuple(limits)


def decide_rest_retreat(
    beam: Beam, ends: tuple[float, float], limits: Sequence[BeamLimit], direction: Direction, style: BeamStyle
) -> int:
    """By how many whole spaces rests of a voice on its own give way, away from a `beam` between the x of its `ends`.

    Stems grow where little is missing; rests keep to whole spaces (common practice, no source).
    """
    first, last = ends
    slope = (beam.right_y - beam.left_y) / (last - first) if last > first else 0.0
    missing = max(
        (limit.least - direction * (beam.left_y + slope * (limit.x - first)) for limit in limits), default=0.0
    )
    return min(style.rest_retreat_most, max(0, ceil(missing - style.rest_stem_growth)))
