"""The cheapest way to cut a sequence into lines, by dynamic programming (Knuth and Plass 1981)."""

from __future__ import annotations

from collections.abc import Callable, Set

_IMPOSSIBLE = 1e12
"""Cost of a single item that the caller forbids even alone: taken only when there is no other way."""


def break_optimally(
    count: int, cost: Callable[[int, int], float | None], forced: Set[int], longest: int
) -> tuple[list[int], float]:
    """Cut items 0 to `count` - 1 into lines of least total cost.

    `cost(i, j)` is the cost of a line holding items i to j - 1, None when it is not allowed. A line always ends before
    an item in `forced` and holds at most `longest` items. Returns the stops of the lines (the last one is
    `count`) and the total. Never fails; of equal totals the one with fewer lines wins. Takes
    count x longest calls of `cost` at most.
    """
    best: list[tuple[float, int, int]] = [(0.0, 0, 0)] + [(float("inf"), 0, 0)] * count
    for stop in range(1, count + 1):
        choice: tuple[float, int, int] | None = None
        for start in range(stop - 1, max(-1, stop - 1 - longest), -1):
            price = cost(start, stop)
            if price is None and start == stop - 1:
                price = _IMPOSSIBLE
            if price is not None:
                total, lines, _ = best[start]
                candidate = (total + price, lines + 1, start)
                if choice is None or candidate[:2] < choice[:2]:
                    choice = candidate
            if start in forced:
                break
        assert choice is not None
        best[stop] = choice
    stops: list[int] = []
    position = count
    while position > 0:
        stops.append(position)
        position = best[position][2]
    return stops[::-1], best[count][0]
