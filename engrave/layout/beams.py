"""How a beam slants and where it lies, and the pieces that beams are made of."""

from __future__ import annotations

from collections.abc import Sequence, Set
from enum import Enum
from fractions import Fraction
from math import inf
from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.style.sections import BeamStyle, NoteStyle

_GRID = 0.25
"""Beam ends lie on quarter spaces: sitting on, straddling or hanging from a line (fact: the positions that leave no sliver of white; Ross, from memory)."""
_MIDDLE_Y = 2.0
"""The middle line of the staff (fact)."""
_SEARCH = range(-4, 7)
"""How many grid steps around the ideal are tried (algorithm)."""
_SAME = 1e-9
"""Costs and heights that differ by less are the same (algorithm)."""


class SlopeReason(Enum):
    """Why a beam slants as it does."""

    CONTOUR = "follows the outer notes"
    LEVEL_ENDS = "first and last note are level"
    INNER_NOTE = "an inner note is nearest the beam"
    REPEATED_FIGURE = "the figure alternates"
    TAB = "rhythm on a tab"


class BeamStem(NamedTuple):
    """A stem to be beamed: its x, the y of the head nearest the beam, and its number of beams."""

    x: float
    near: float
    beams: int


class BeamLimit(NamedTuple):
    """At `x` the middle of the primary beam lies at `least` or farther out: the y times the stems' direction."""

    x: float
    least: float


class Beam(NamedTuple):
    """The y of the primary beam's middle at the first and the last stem, in staff spaces."""

    left_y: float
    right_y: float
    reason: SlopeReason


def decide_grace_beam(flags: Sequence[int]) -> bool:
    """True when grace notes with so many flags each share a beam: several of them, all shorter than a quarter (Gould, from memory)."""
    return len(flags) > 1 and all(flags)


def decide_beam(
    stems: Sequence[BeamStem],
    outer: tuple[int, int],
    direction: Direction,
    beams: BeamStyle,
    notes: NoteStyle,
    staff_line: float,
    limits: Sequence[BeamLimit] = (),
) -> Beam:
    """The slant and height of a beam. `outer` are the staff positions of the first and last note nearest the beam.

    `limits` keep it off what stands between the stems.

    The rise follows the outer notes within the style's limits, by interval and by distance (in the spirit of Ross's and
    Gould's tables, from memory); heights are searched on the grid for the least cost: unequal stems, a rise
    other than wished, slivers of white against staff lines.
    """
    rise, reason = _wished_rise(stems, outer, direction, beams)
    levels = max(stem.beams for stem in stems)
    wished = beams.ideal_stems[min(levels, 4) - 1]
    least = _least_stem(levels, beams)
    span = stems[-1].x - stems[0].x
    shares = [(stem.x - stems[0].x) / span if span else 0.0 for stem in stems]
    clear = [((limit.x - stems[0].x) / span if span else 0.0, limit.least) for limit in limits]
    heads = [direction * stem.near for stem in stems]
    base = max(heads) + wished - beams.thickness / 2
    steps = round(base / _GRID)
    best: tuple[float, float, float, int] | None = None
    wanted = direction * rise
    rises = sorted(
        {0.0} if rise == 0 else {round((wanted + extra) / _GRID) * _GRID for extra in (-_GRID, 0.0, _GRID)}
    )
    floor = direction * _MIDDLE_Y
    target = wished - beams.thickness / 2
    for candidate in rises:
        lengths = [candidate * share - head for share, head in zip(shares, heads, strict=True)]
        shortest, mean = min(lengths), sum(lengths) / len(lengths)
        lowest = max([needed - candidate * share for share, needed in clear], default=-inf)
        slant_cost = ((candidate - wanted) * 2) ** 2 * beams.slope_penalty
        for step in _SEARCH:
            left = (steps + step) * _GRID - max(candidate, 0.0)
            right = left + candidate
            if left + shortest < least or left < lowest:
                continue
            if min(left, right) < floor - beams.thickness / 2:
                continue
            cost = slant_cost + _stem_cost(left + shortest - target, left + mean - target, beams)
            if best is not None and cost > best[0] + _SAME:
                continue
            if staff_line:
                cost += _slit_cost(left, direction, levels, beams) + _slit_cost(
                    right, direction, levels, beams
                )
            if best is None or cost < best[0] - _SAME or (cost < best[0] + _SAME and step < best[3]):
                best = (cost, left, right, step)
    if best is None:
        left = max(max(heads) + least, floor, *(needed for _, needed in clear))
        left = -(-left // _GRID) * _GRID
        best = (0.0, left, left, 0)
    return Beam(direction * best[1], direction * best[2], reason)


def _least_stem(levels: int, beams: BeamStyle) -> float:
    """From a head's centre to the primary beam's middle, at least."""
    inner = (levels - 1) * (beams.thickness + beams.gap)
    return beams.shortest_stems[min(levels, 4) - 1] + inner + beams.thickness / 2


def _stem_cost(shortest: float, mean: float, beams: BeamStyle) -> float:
    """What stems cost of which the shortest, and all on the average, are so much longer than wished."""
    weight = 1.0 if shortest > 0 else beams.short_stem_weight
    return shortest**2 * weight * beams.stub_penalty + beams.mean_stem_weight * mean**2


def _slit_cost(y: float, direction: Direction, levels: int, beams: BeamStyle) -> float:
    """What slivers of white between staff lines and an end of `levels` beams cost, the first of which lies at `y` times `direction`."""
    cost = 0.0
    for level in range(levels):
        at = direction * y - direction * level * (beams.thickness + beams.gap)
        if -0.5 < at < 4.5 and abs((at % 1.0) - 0.5) < 0.01:
            cost += beams.slit_penalty if level == 0 else beams.slit_penalty * beams.inner_slit_share
    return cost


def _wished_rise(
    stems: Sequence[BeamStem], outer: tuple[int, int], direction: Direction, beams: BeamStyle
) -> tuple[float, SlopeReason]:
    first, last = outer
    if first == last:
        return 0.0, SlopeReason.LEVEL_ENDS
    nearest_end = max(direction * stems[0].near, direction * stems[-1].near)
    inner = [direction * stem.near for stem in stems[1:-1]]
    if inner and max(inner) > nearest_end:
        return 0.0, SlopeReason.INNER_NOTE
    if _alternates([stem.near for stem in stems]):
        return 0.0, SlopeReason.REPEATED_FIGURE
    interval = abs(last - first)
    span = stems[-1].x - stems[0].x
    limit = beams.slope_by_interval[min(interval, 7) - 1]
    limit = min(limit, beams.slope_by_distance[sum(1 for border in beams.slope_distances if span >= border)])
    limit = min(limit, beams.steepest * span)
    if all(stem.near < -1.0 for stem in stems) or all(stem.near > 5.0 for stem in stems):
        limit = min(limit, beams.ledger_rise)
    if max(stem.beams for stem in stems) >= 3:
        limit *= beams.many_beams_share
    if inner and max(inner) == nearest_end and len(stems) > 2 and abs(limit) > _GRID:
        limit = _GRID if max(inner) > min(direction * stems[0].near, direction * stems[-1].near) else limit
    rise = int(limit / _GRID) * _GRID
    return (rise if last > first else -rise), SlopeReason.CONTOUR


def _alternates(heights: Sequence[float]) -> bool:
    """True for a figure that repeats two or more heights: a b a b, a b c a b c."""
    count = len(heights)
    for period in range(2, count // 2 + 1):
        if count % period == 0 and all(heights[i] == heights[i % period] for i in range(count)):
            return True
    return False


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
