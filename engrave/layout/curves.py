"""Ties and slurs: their shape, two cubic curves that share their ends, and where ties lie."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.style.sections import NoteStyle

Point = tuple[float, float]
Cubic = tuple[Point, Point, Point, Point]

APEX_SHARE = 0.75
"""A symmetric cubic reaches three quarters of its control height (fact: computed)."""
_PIECES = 8
"""Into so many pieces a curve is cut where its outline is taken: even, so that one joint lies on the apex (algorithm)."""


def arch_points(
    x1: float, y1: float, x2: float, y2: float, height: float, inset: float, end: float, middle: float
) -> tuple[Cubic, Cubic]:
    """Outer and inner curve from (x1, y1) to (x2, y2), `height` high at the apex (negative: bent down).

    `inset` is where the control points stand, as a share of the length; `end` and `middle` the thickness there.
    """
    side = 1.0 if height >= 0 else -1.0
    dx, dy = (x2 - x1) * inset, (y2 - y1) * inset
    control = (abs(height) + middle / 2) / APEX_SHARE * side
    inner_control = (abs(height) - middle / 2) / APEX_SHARE * side
    half = end / 2 * side
    outer = (
        (x1, y1 + half),
        (x1 + dx, y1 + dy + control),
        (x2 - dx, y2 - dy + control),
        (x2, y2 + half),
    )
    inner = (
        (x1, y1 - half),
        (x1 + dx, y1 + dy + inner_control),
        (x2 - dx, y2 - dy + inner_control),
        (x2, y2 - half),
    )
    return outer, inner


def tie_height(length: float, notes: NoteStyle) -> float:
    """The apex of a tie of `length` staff spaces above its ends."""
    height = notes.tie_height + notes.tie_height_per_space * (length - notes.tie_shortest)
    return min(max(height, notes.tie_height), notes.tie_height_most)


def slur_height(length: float, notes: NoteStyle) -> float:
    """The apex of a slur of `length` staff spaces above its ends."""
    height = notes.slur_height + notes.slur_height_per_space * (length - 2 * notes.tie_shortest)
    return min(max(height, notes.slur_height), notes.slur_height_most)


def arch_extents(curve: Cubic) -> Iterator[tuple[float, float, float, float]]:
    """The left, right, bottom and top of each short piece of a curve: its outline, closer than one box around it."""
    points = [_point_at(curve, step / _PIECES) for step in range(_PIECES + 1)]
    for (x1, y1), (x2, y2) in itertools.pairwise(points):
        yield x1, x2, min(y1, y2), max(y1, y2)


def curve_points(curve: Cubic, piece: float) -> list[Point]:
    """Points along a curve, about `piece` staff spaces apart."""
    count = max(_PIECES, round((curve[3][0] - curve[0][0]) / piece))
    return [_point_at(curve, step / count) for step in range(count + 1)]


def _point_at(curve: Cubic, t: float) -> Point:
    """The point of a cubic at the parameter `t` from 0 to 1 (Bernstein's form)."""
    s = 1.0 - t
    shares = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t)
    x, y = (sum(share * point[axis] for share, point in zip(shares, curve, strict=True)) for axis in (0, 1))
    return x, y


class TieStart(NamedTuple):
    """The side on which the tie of a note curves, and how far right of the column it starts; 0 where only the note is in its way."""

    side: Direction
    clear: float


def decide_ties(
    positions: Sequence[int],
    stem: Direction,
    voice: Direction | None,
    flag: tuple[float, float] | None,
    notes: NoteStyle,
) -> tuple[TieStart, ...]:
    """How each note of a chord is tied on; `positions` ascend.

    `flag` says how far the flags of an upward stem reach right of the column, and down to which y. A tie that would cross
    them starts right of them (common practice, no source).
    """
    sides = decide_tie_directions(positions, stem, voice)
    return tuple(
        TieStart(
            side,
            flag[0]
            if flag is not None and side is Direction.UP and _meets_flag(position / 2, flag[1], notes)
            else 0.0,
        )
        for position, side in zip(positions, sides, strict=True)
    )


def decide_tie_directions(
    positions: Sequence[int], stem: Direction, voice: Direction | None
) -> tuple[Direction, ...]:
    """The direction of the tie of each note of a chord; `positions` ascend.

    Single notes curve away from the stem, two voices away from each other; in chords the upper half curves up, the
    lower half down, a middle note away from the stem, and seconds apart (common practice, no source).
    """
    count = len(positions)
    if voice is not None:
        return (voice,) * count
    if count == 1:
        return (stem.opposite,)
    directions = []
    for i in range(count):
        if 2 * i + 1 == count:
            directions.append(stem.opposite)
        else:
            directions.append(Direction.UP if 2 * i >= count else Direction.DOWN)
    return tuple(directions)


def _meets_flag(y: float, flag_bottom: float, notes: NoteStyle) -> bool:
    """True when a tie above a head at height `y` would cross a flag that hangs down to `flag_bottom`, and must start right of it."""
    return flag_bottom < y + notes.tie_over_head + notes.tie_height + notes.tie_middle / 2


def place_tie(
    x1: float, x2: float, y: float, direction: Direction, notes: NoteStyle, lines: bool = True
) -> tuple[Cubic, Cubic]:
    """The curves of a tie between heads at height `y`, from `x1` to `x2`; short ones are lengthened on both sides.

    On a five-line staff (`lines`) the apex keeps clear of staff lines.
    """
    short = notes.tie_shortest - (x2 - x1)
    if short > 0:
        x1, x2 = x1 - short / 2, x2 + short / 2
    start = y + direction * notes.tie_over_head
    height = tie_height(x2 - x1, notes)
    if lines:
        apex = start + direction * height
        off = (apex + 0.5) % 1.0 - 0.5
        if -0.5 < apex < 4.5 and abs(off) < notes.tie_line_clearance:
            height += (
                (notes.tie_line_clearance - direction * off)
                if direction * off >= 0
                else -(notes.tie_line_clearance + direction * off)
            )
    return arch_points(
        x1,
        start,
        x2,
        start,
        height=direction * height,
        inset=notes.tie_inset,
        end=notes.tie_end,
        middle=notes.tie_middle,
    )


def decide_staff_slur_side(tie_side: Direction, arrived: Direction | None) -> Direction:
    """The side of a slur on a five-line staff, which starts at a note whose tie would stand on `tie_side`.

    Slurs of one chain stand on one side: `arrived` is that of the slur that ends at the note (common practice, no source).
    """
    return tie_side if arrived is None else arrived


def decide_tab_slur_side(stems: Direction | None, voice: Direction | None) -> Direction:
    """The side of a slur on a tab: away from the `stems`, where there are some, else that of the voice, else above (house rule)."""
    if stems is not None:
        return stems.opposite
    return Direction.UP if voice is None else voice


def decide_slur_past_arrow(usual: Direction, has_arrow: bool) -> Direction:
    """The side of a slur that starts at a bent note: its arrow takes the room above (house rule)."""
    return Direction.DOWN if has_arrow else usual
