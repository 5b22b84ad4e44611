"""Ties on one staff: whole ones and the halves at the ends of lines, clear of heads, accidentals, digits and signs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.curves import Cubic, arch_points, curve_points, place_tie, tie_height
from engrave.layout.direction import Direction
from engrave.layout.slur_shape import Obstacle, decide_slur
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.bounds import measure_box
from engrave.marks.mark import Box, Curve, Glyph, Source, Text
from engrave.marks.role import Role
from engrave.style.sections import Style

_SIGNS = (Role.TIME_SIGNATURE, Role.KEY_SIGNATURE, Role.CLEF)
_IN_THE_WAY = frozenset((*_SIGNS, Role.NOTEHEAD, Role.ACCIDENTAL, Role.FRET, Role.DOT))
_WIDEST = 4.0
"""No symbol or digit reaches further from its origin, in staff spaces (fact: a clef has less than 3)."""
_PIECE = 0.3
"""A tie is compared with what stands in its way at such distances, in staff spaces (algorithm)."""
_ROUNDING = 0.01
"""Lengths in staff spaces that differ by less are equal: heads overhang their columns by a thousandth (algorithm)."""

Curves = tuple[Cubic, Cubic]


class TiedEnd(NamedTuple):
    """One end of a tie: the edge of its head or digit, and the middle of it.

    `is_open`: it leaves or enters the line there. `is_blocked`: a flag over the head keeps it from the middle.
    """

    edge: float
    middle: float
    is_open: bool = False
    is_blocked: bool = False


class TieMarks:
    """Draws the ties of one staff."""

    def __init__(self, style: Style, is_tab: bool) -> None:
        """On a tab ties stand over their string's line."""
        self._style = style
        self._is_tab = is_tab
        self._faces = InstalledFaces()

    def place(
        self, canvas: StaffCanvas, start: TiedEnd, stop: TiedEnd, y: float, side: Direction, source: Source
    ) -> None:
        """Draw the tie of a note at height `y`: whole, or in halves about a sign that it cannot pass."""
        for outer, inner in self._shape(canvas, start, stop, y, side):
            canvas.marks.append(Curve(Role.TIE, outer, inner, source))
            points = curve_points(outer, _PIECE * 2)
            heights = [height for _, height in points]
            canvas.ink(points[0][0], points[-1][0], min(heights), max(heights))

    def _shape(
        self, canvas: StaffCanvas, start: TiedEnd, stop: TiedEnd, y: float, side: Direction
    ) -> Sequence[Curves]:
        notes = self._style.notes
        left, right = start.edge + notes.tie_head_gap, stop.edge - notes.tie_head_gap
        if start.is_open:
            left = min(left, right - notes.tie_shortest)
        elif stop.is_open:
            right = max(right, left + notes.tie_shortest)
        boxes = list(self._in_the_way(canvas, start.middle, stop.middle, y))
        signs = [box for role, box in boxes if role in _SIGNS and left < box.left and box.right < right]
        tries: list[Curves] = []
        for curves in self._tries(start, stop, (left, right), y, side, boxes=[box for _, box in boxes]):
            if _is_clear(curves, [box for _, box in boxes], notes.tie_clearance):
                return [curves]
            tries.append(curves)
            if signs:
                break
        if signs:
            first = min(box.left for box in signs) - notes.half_tie_gap
            last = max(box.right for box in signs) + notes.half_tie_gap
            before = (left, min(first, left + notes.tie_shortest))
            after = (max(last, right - notes.tie_shortest), right)
            return [self._usual(*ends, y, side) for ends in (before, after)]
        return tries[-1:]

    def _tries(
        self,
        start: TiedEnd,
        stop: TiedEnd,
        ends: tuple[float, float],
        y: float,
        side: Direction,
        boxes: Sequence[Box],
    ) -> Iterator[Curves]:
        """The shapes of a tie, the best first."""
        left, right = ends
        if self._is_tab:
            yield self._usual(left, right, y, side)
            yield self._flat(left, right, y, Direction.UP)
            yield self._usual(left, right, y, Direction.DOWN)
            yield self._flat(left, right, y, Direction.DOWN)
            yield self._flat(left, right, y, Direction.UP)
            return
        if right - left > self._style.notes.tie_shortest - _ROUNDING:
            yield self._usual(left, right, y, side)
        yield from self._over_heads(start, stop, ends, y, side, boxes=boxes)

    def _over_heads(
        self,
        start: TiedEnd,
        stop: TiedEnd,
        ends: tuple[float, float],
        y: float,
        side: Direction,
        boxes: Sequence[Box],
    ) -> Iterator[Curves]:
        """Ties that start over the middle of their heads, as high as what stands between these asks for.

        So stand ties that would be too short beside the heads (common practice, no source).
        """
        notes = self._style.notes
        for way in (side, side.opposite):
            near = y + way * notes.slur_over_head
            blocked = start.is_open or (start.is_blocked and way is side)
            x1 = min(ends[0], ends[1] - notes.tie_shortest) if blocked else start.middle
            x2 = ends[1] if stop.is_open else stop.middle
            edges = [
                Obstacle(box.left, box.right, box.top if way is Direction.UP else box.bottom)
                for box in boxes
                if way * ((box.top if way is Direction.UP else box.bottom) - y) < notes.tie_lift_most
            ]
            style = notes._replace(slur_height=notes.tie_height, slur_clearance=notes.tie_clearance * 2)
            yield decide_slur((x1, near), (x2, near), way, edges, style)

    def _usual(self, left: float, right: float, y: float, side: Direction) -> Curves:
        notes = self._style.notes
        if not self._is_tab:
            return place_tie(left, right, y, side, notes)
        height = min(tie_height(right - left, notes), notes.tie_on_tab_most)
        return self._arch(left, right, y + side * notes.tie_over_digit, side * height)

    def _flat(self, left: float, right: float, y: float, side: Direction) -> Curves:
        """A tie on a tab that keeps off the digits of the next string."""
        notes = self._style.notes
        return self._arch(left, right, y + side * notes.tie_flat_over_digit, side * notes.tie_flat)

    def _arch(self, left: float, right: float, y: float, height: float) -> Curves:
        notes = self._style.notes
        return arch_points(
            left,
            y,
            right,
            y,
            height=height,
            inset=notes.tie_inset,
            end=notes.tie_end,
            middle=notes.tie_middle,
        )

    def _in_the_way(
        self, canvas: StaffCanvas, left: float, right: float, y: float
    ) -> Iterator[tuple[Role, Box]]:
        """What a tie at height `y` must not touch between the middles of its notes."""
        reach = self._style.notes.tie_lift_most
        for mark in canvas.marks:
            if (
                mark.role in _IN_THE_WAY
                and isinstance(mark, Glyph | Text)
                and left - _WIDEST < mark.x < right
            ):
                box = measure_box(mark, self._faces)
                if box.right > left and box.left < right and box.bottom < y + reach and box.top > y - reach:
                    yield mark.role, box


def _is_clear(curves: Curves, boxes: Iterable[Box], clearance: float) -> bool:
    """True when a tie keeps `clearance` from all `boxes`."""
    row = list(boxes)
    for outer, inner in zip(
        pairwise(curve_points(curves[0], _PIECE)), pairwise(curve_points(curves[1], _PIECE)), strict=True
    ):
        xs = [x for x, _ in (*outer, *inner)]
        ys = [y for _, y in (*outer, *inner)]
        piece = Box(min(xs), min(ys) - clearance, max(xs), max(ys) + clearance)
        if any(piece.overlaps(box) for box in row):
            return False
    return True
