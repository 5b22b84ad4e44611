"""Ties: which way each curves and where it stands."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.layout.curves.arch import Cubic, arch_points, tie_height
from engrave.layout.direction import Direction
from engrave.style.sections import NoteStyle


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


def meets_flag(y: float, flag_bottom: float, notes: NoteStyle) -> bool:
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
