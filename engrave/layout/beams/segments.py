"""The pieces that beams are made of: primary and secondary beams, and beamlets."""

from __future__ import annotations

from collections.abc import Sequence, Set
from fractions import Fraction
from typing import NamedTuple

from engrave.layout.beams.slope import Beam
from engrave.layout.direction import Direction
from engrave.style.sections import BeamStyle


class BeamPiece(NamedTuple):
    """One straight piece: `level` 1 is the primary beam; x from and to."""

    level: int
    x1: float
    x2: float


def decide_beam_pieces(
    xs: Sequence[float],
    counts: Sequence[int],
    breaks: Set[int],
    onsets: Sequence[Fraction],
    lengths: Sequence[Fraction],
    style: BeamStyle,
) -> tuple[BeamPiece, ...]:
    """All pieces over stems at `xs` with `counts` beams each. `breaks`: the gaps before these stems have one beam only.

    A beamlet points to the note with which it makes up a larger value (common practice, no source).
    """
    pieces = [BeamPiece(1, xs[0], xs[-1])]
    last = len(xs) - 1
    for level in range(2, max(counts) + 1):
        start = 0
        while start <= last:
            if counts[start] < level:
                start += 1
                continue
            stop = start
            while stop < last and counts[stop + 1] >= level and stop + 1 not in breaks:
                stop += 1
            if stop > start:
                pieces.append(BeamPiece(level, xs[start], xs[stop]))
            else:
                pieces.append(_beamlet(level, start, xs, breaks, onsets=onsets, lengths=lengths, style=style))
            start = stop + 1
    return tuple(pieces)


def _beamlet(
    level: int,
    i: int,
    xs: Sequence[float],
    breaks: Set[int],
    onsets: Sequence[Fraction],
    lengths: Sequence[Fraction],
    style: BeamStyle,
) -> BeamPiece:
    last = len(xs) - 1
    left = i == last or (i > 0 and (i + 1 in breaks or _belongs_left(onsets[i], lengths[i])))
    if i == 0:
        left = False
    gap = xs[i] - xs[i - 1] if left else xs[i + 1] - xs[i]
    length = min(style.beamlet, style.beamlet_share * gap)
    return BeamPiece(level, xs[i] - length, xs[i]) if left else BeamPiece(level, xs[i], xs[i] + length)


def _belongs_left(onset: Fraction, length: Fraction) -> bool:
    """True when the note ends a span of twice its length, rather than starting one."""
    return (onset / length) % 2 != 0


def place_beam_polygon(
    piece: BeamPiece, beam: Beam, first_x: float, last_x: float, direction: Direction, style: BeamStyle
) -> tuple[tuple[float, float], ...]:
    """The four corners of a piece, with upright ends. `first_x` and `last_x` are where the beam's heights hold."""
    slope = (beam.right_y - beam.left_y) / (last_x - first_x) if last_x > first_x else 0.0
    inwards = -direction * (piece.level - 1) * (style.thickness + style.gap)
    y1 = beam.left_y + slope * (piece.x1 - first_x) + inwards
    y2 = beam.left_y + slope * (piece.x2 - first_x) + inwards
    half = style.thickness / 2
    return ((piece.x1, y1 - half), (piece.x2, y2 - half), (piece.x2, y2 + half), (piece.x1, y1 + half))
