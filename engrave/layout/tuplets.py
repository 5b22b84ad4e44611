"""Tuplets: what is printed, where, and whether there is a bracket."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.style.sections import BeamStyle
from engrave.theory.duration import TupletRatio

_LEAST_SPAN = 0.1
"""What a slope is divided by is no less (algorithm)."""
_USUAL_NORMAL = {2: 3, 3: 2, 4: 3, 5: 4, 6: 4, 7: 4, 8: 6, 9: 8}
"""How many notes a tuplet stands in the place of where nothing is said (fact: common notation)."""


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
    """One event of a tuplet: the edges of its head or rest, and the outermost y of all ink there on the number's side.

    `end` is the outermost y of the note alone, which a bracket's slant follows; None for a rest.
    """

    left: float
    right: float
    outer: float
    end: float | None = None


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
    stands beside the beam; `beam_middle` is the (x, y) of the middle of its outer edge. No bracket is narrower than
    its number.
    """
    x = (members[0].left + members[-1].right) / 2
    if not bracketed and beam_middle is not None:
        return TupletPlan(
            beam_middle[0], beam_middle[1] + side * (style.tuplet_gap / 2 + number_height / 2), ()
        )
    edge = staff[1] if side is Direction.UP else staff[0]
    outer = max([side * member.outer for member in members] + [side * edge])
    lift = style.tuplet_gap + number_height / 2
    rise = _bracket_rise([side * member.end for member in members if member.end is not None], style)
    span = max(members[-1].right - members[0].left, _LEAST_SPAN)
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
    if x - half - left < style.tuplet_stroke_least:
        return TupletPlan(x, y, ())
    hook = -side * style.tuplet_hook
    strokes = (
        (left, y_left + hook, left, y_left),
        (right, y_right, right, y_right + hook),
        (left, y_left, x - half, y - slope * half),
        (x + half, y + slope * half, right, y_right),
    )
    return TupletPlan(x, y, strokes)


def _bracket_rise(ends: Sequence[float], style: BeamStyle) -> float:
    """How far a bracket rises outwards over notes that end at `ends`: level unless they all rise or all fall."""
    steps = [after - before for before, after in pairwise(ends)]
    if not steps or (min(steps) < 0.0 < max(steps)):
        return 0.0
    return max(-style.tuplet_slope_most, min(style.tuplet_slope_most, sum(steps) / 4))
