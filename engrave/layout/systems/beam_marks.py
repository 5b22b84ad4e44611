"""Beams over placed stems: their slant and their pieces are decided in `engrave/layout/beams.py`."""

from __future__ import annotations

import itertools
from fractions import Fraction
from typing import NamedTuple

from engrave.layout.beams import Beam, BeamPiece, decide_beam_pieces, place_beam_polygon
from engrave.layout.direction import Direction
from engrave.layout.measures.rhythm import BeamGroup
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.mark import Polygon, Source
from engrave.marks.role import Role
from engrave.style.sections import Style


class Stem(NamedTuple):
    """One stem under a beam: event index, middle x, y of the head nearest the beam, number of beams, onset."""

    event: int
    x: float
    near: float
    beams: int
    onset: Fraction
    length: Fraction
    source: Source


def beam_y(beam: Beam, stems: list[Stem], x: float) -> float:
    """The y of the primary beam's middle at `x`."""
    first, last = stems[0].x, stems[-1].x
    if last <= first:
        return beam.left_y
    return beam.left_y + (beam.right_y - beam.left_y) * (x - first) / (last - first)


def pieces_of(group: BeamGroup, stems: list[Stem], style: Style) -> tuple[BeamPiece, ...]:
    """The pieces of the beams over `stems`, between the middles of stems."""
    numbers = {index: i for i, index in enumerate(group.members)}
    broken = {i for i, stem in enumerate(stems) if numbers.get(stem.event) in group.breaks}
    return decide_beam_pieces(
        [stem.x for stem in stems],
        [stem.beams for stem in stems],
        broken,
        [stem.onset for stem in stems],
        [stem.length for stem in stems],
        style.beams,
    )


def place_beams(
    canvas: StaffCanvas, group: BeamGroup, stems: list[Stem], beam: Beam, direction: Direction, style: Style
) -> None:
    """Draw the primary beam and all secondary beams of a group."""
    half = style.notes.stem / 2
    for piece in pieces_of(group, stems, style):
        wide = piece._replace(x1=piece.x1 - half, x2=piece.x2 + half)
        points = place_beam_polygon(wide, beam, stems[0].x, stems[-1].x, direction, style.beams)
        canvas.marks.append(Polygon(Role.BEAM, points, stems[0].source))
    edge = style.beams.thickness / 2
    for stem in stems:
        y = beam_y(beam, stems, stem.x)
        canvas.ink(stem.x - half, stem.x + half, y - edge, y + edge)
    for left, right in itertools.pairwise(stems):
        y1, y2 = beam_y(beam, stems, left.x), beam_y(beam, stems, right.x)
        canvas.ink(left.x, right.x, min(y1, y2) - edge, max(y1, y2) + edge)
