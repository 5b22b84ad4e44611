"""Tuplets: what is printed, where, and whether there is a bracket."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.style.sections import BeamStyle
from engrave.theory.duration import TupletRatio

_USUAL_NORMAL = {2: 3, 3: 2, 4: 3, 5: 4, 6: 4, 7: 4, 8: 6, 9: 8}


def tuplet_text(ratio: TupletRatio) -> str:
    """The number alone where the ratio is the usual one, else both numbers: "3", "5:6"."""
    if _USUAL_NORMAL.get(ratio.actual) == ratio.normal or (ratio.actual, ratio.normal) in (
        (7, 6),
        (8, 4),
        (5, 3),
    ):
        return str(ratio.actual)
    return f"{ratio.actual}:{ratio.normal}"


class TupletMember(NamedTuple):
    """One event of a tuplet: the edges of its head or rest, and the outermost y of its ink on the number's side."""

    left: float
    right: float
    outer: float


class TupletPlan(NamedTuple):
    """Where the number's middle stands, and the bracket's strokes as (x1, y1, x2, y2); none without a bracket."""

    number_x: float
    number_y: float
    strokes: tuple[tuple[float, float, float, float], ...]


def decide_tuplet(
    members: Sequence[TupletMember],
    side: Direction,
    bracketed: bool,
    number_width: float,
    number_height: float,
    staff: tuple[float, float],
    style: BeamStyle,
    beam_middle: tuple[float, float] | None,
) -> TupletPlan:
    """The place of a tuplet's number and bracket on `side` of its notes.

    `staff` is (bottom, top) of the staff's lines, which a bracket stays outside of. Without a bracket the number
    stands beside the beam; `beam_middle` is the (x, y) of the middle of its outer edge.
    """
    x = (members[0].left + members[-1].right) / 2
    if not bracketed and beam_middle is not None:
        return TupletPlan(
            beam_middle[0], beam_middle[1] + side * (style.tuplet_gap / 2 + number_height / 2), ()
        )
    edge = staff[1] if side is Direction.UP else staff[0]
    outer = max([side * member.outer for member in members] + [side * edge])
    lift = style.tuplet_gap + number_height / 2
    first, last = side * members[0].outer, side * members[-1].outer
    rise = max(-style.tuplet_slope_most, min(style.tuplet_slope_most, (last - first) / 4))
    span = max(members[-1].right - members[0].left, 0.1)
    height = max(
        max(side * member.outer - rise * ((member.left + member.right) / 2 - x) / span for member in members),
        side * edge,
    )
    height = max(height, outer - abs(rise) / 2) + lift
    y_left, y_right = side * (height - rise / 2), side * (height + rise / 2)
    left, right = members[0].left, members[-1].right
    half = number_width / 2 + style.tuplet_digit_gap
    slope = (y_right - y_left) / span
    y = (y_left + y_right) / 2
    hook = -side * style.tuplet_hook
    strokes = [(left, y_left + hook, left, y_left), (right, y_right, right, y_right + hook)]
    if x - half > left:
        strokes.append((left, y_left, x - half, y - slope * half))
        strokes.append((x + half, y + slope * half, right, y_right))
    return TupletPlan(x, y, tuple(strokes))
