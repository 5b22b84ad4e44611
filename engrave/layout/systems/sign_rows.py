"""Signs of one kind over or under a tab stand in one row along the line."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.layout.systems.canvas import StaffCanvas


class RowSign(NamedTuple):
    """A sign that waits for the height of its row.

    Signs of the same `order` share a row, the smaller one nearest the tab. The sign's ink reaches from `left` to `right`
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


class SignRows:
    """The rows of one line of a tab."""

    def __init__(self, sign_gap: float) -> None:
        """`sign_gap` is the white around a sign."""
        self._padding = sign_gap
        self._signs: list[RowSign] = []

    def add(self, sign: RowSign) -> None:
        """Let a sign wait for its row."""
        self._signs.append(sign)

    def place(self, canvas: StaffCanvas) -> None:
        """Draw all rows from the tab outwards; a sign that would meet an earlier one in its row stands in a further one."""
        kinds: dict[tuple[float, Direction], list[list[RowSign]]] = {}
        for sign in self._signs:
            rows = kinds.setdefault((sign.order, sign.direction), [])
            row = next((row for row in rows if not any(self._meet(sign, other) for other in row)), None)
            if row is None:
                rows.append([sign])
            else:
                row.append(sign)
        for _, rows in sorted(kinds.items(), key=lambda kind: kind[0]):
            for row in rows:
                self._place_row(canvas, row)
        self._signs = []

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
