"""What stands over and under the notes of one line, from the notes outwards: the order is the style's table of signs."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.layout.systems.canvas import StaffCanvas


class RowSign(NamedTuple):
    """A sign that waits for the height of its row.

    Signs of the same `order` share a row, the smaller one nearest the notes. The sign's ink reaches from `left` to `right`
    and has to clear whatever stands between `reach_left` and `reach_right`. `edge` is how near to the outer line its
    foot may stand; `draw` draws it with its foot at a height.
    """

    order: float
    direction: Direction
    left: float
    right: float
    reach_left: float
    reach_right: float
    edge: float
    draw: Callable[[float], None]


class MarkLanes:
    """The marks of one line of a staff that wait until all that stand nearer to their notes are placed."""

    def __init__(self, sign_gap: float) -> None:
        """`sign_gap` is the white around a sign in a row."""
        self._padding = sign_gap
        self._near: dict[float, list[Callable[[], None]]] = {}
        self._rows: dict[tuple[float, Direction], list[list[RowSign]]] = {}

    def add(self, order: float, place: Callable[[], None]) -> None:
        """Let a mark wait that finds its own place: `place` draws it there."""
        self._near.setdefault(order, []).append(place)

    def add_to_row(self, sign: RowSign) -> None:
        """Let a sign wait for its row; where it would meet an earlier one there it takes a further row."""
        rows = self._rows.setdefault((sign.order, sign.direction), [])
        row = next((row for row in rows if not any(self._meet(sign, other) for other in row)), None)
        if row is None:
            rows.append([sign])
        else:
            row.append(sign)

    def place(self, canvas: StaffCanvas) -> None:
        """Draw all that waits, from the notes outwards."""
        for order in sorted({*self._near, *(order for order, _ in self._rows)}):
            for place in self._near.get(order, ()):
                place()
            for direction in Direction:
                for row in self._rows.get((order, direction), ()):
                    self._place_row(canvas, row)
        self._near, self._rows = {}, {}

    def _meet(self, sign: RowSign, other: RowSign) -> bool:
        """True when two signs of one row would come closer than the sign_gap."""
        return sign.left < other.right + self._padding and other.left < sign.right + self._padding

    def _place_row(self, canvas: StaffCanvas, row: list[RowSign]) -> None:
        edge = max(sign.edge for sign in row)
        if row[0].direction is Direction.UP:
            outline = max(canvas.upper.height(sign.reach_left, sign.reach_right) for sign in row)
            y = max(outline + self._padding, canvas.plan.height + edge)
        else:
            outline = min(canvas.lower.height(sign.reach_left, sign.reach_right) for sign in row)
            y = min(outline - self._padding, -edge)
        for sign in row:
            sign.draw(y)
