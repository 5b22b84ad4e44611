"""Ties: which way each curves and where it stands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.layout.curves.arch import Cubic, arch_points, tie_height
from engrave.layout.direction import Direction
from engrave.style.sections import NoteStyle

_LINE_CLEARANCE = 0.14
"""How near a staff line a tie's apex may come before it is moved, in staff spaces (house rule)."""


_OVER_HEAD = 0.35
"""From the middle of a head to the ends of its tie, in staff spaces (common practice, no source)."""


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
    return flag_bottom < y + _OVER_HEAD + notes.tie_height + notes.tie_middle / 2


def place_tie(
    x1: float, x2: float, y: float, direction: Direction, notes: NoteStyle, lines: bool = True
) -> tuple[Cubic, Cubic]:
    """The curves of a tie between heads at height `y`, from `x1` to `x2`; short ones are lengthened on both sides.

    On a five-line staff (`lines`) the apex keeps clear of staff lines.
    """
    short = notes.tie_shortest - (x2 - x1)
    if short > 0:
        x1, x2 = x1 - short / 2, x2 + short / 2
    start = y + direction * _OVER_HEAD
    height = tie_height(x2 - x1, notes)
    if lines:
        apex = start + direction * height
        off = (apex + 0.5) % 1.0 - 0.5
        if -0.5 < apex < 4.5 and abs(off) < _LINE_CLEARANCE:
            height += (
                (_LINE_CLEARANCE - direction * off)
                if direction * off >= 0
                else -(_LINE_CLEARANCE + direction * off)
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
