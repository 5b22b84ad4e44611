"""What going from each grip of one moment to each of the next costs, and the cheapest way through all (Viterbi).

Between single notes all moves are worked out at once. Between chords there may be tens of thousands: of those only the
ones are worked out that could be the cheapest, which a bound from below tells (branch and bound; the result is exact).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import inf
from operator import add
from typing import NamedTuple, Protocol

Ranking = dict[int, list[tuple[float, int]]]
_ROUNDING = 1e-6
"""By how much a bound may come out higher than the cost, for the order of adding (algorithm: 64-bit sums of small numbers)."""


class Moves(Protocol):
    """The moves between two moments."""

    def reach(self, last: Sequence[float], costs: Sequence[float]) -> list[float]:
        """The least cost of reaching each grip: `last` is that of those before, `costs` the grips' own."""
        ...

    def origin(self, last: Sequence[float], now: int) -> int:
        """From which grip the grip `now` is reached most cheaply, the first of equals."""
        ...

    def rows(self) -> list[list[float]]:
        """What every move costs: a row for each grip gone to."""
        ...


class AllMoves(NamedTuple):
    """Moves that are all worked out."""

    table: list[list[float]]

    def reach(self, last: Sequence[float], costs: Sequence[float]) -> list[float]:
        """The least cost of reaching each grip."""
        return [own + min(map(add, last, row)) for own, row in zip(costs, self.table)]

    def origin(self, last: Sequence[float], now: int) -> int:
        """From which grip the grip `now` is reached most cheaply."""
        sums = list(map(add, last, self.table[now]))
        return sums.index(min(sums))

    def rows(self) -> list[list[float]]:
        """What every move costs."""
        return self.table


class SomeMoves(NamedTuple):
    """Moves that are worked out when they are needed.

    `positions` are those of the grips gone to; `least` has for each of them what a move from each grip costs at least.
    `cost` tells the cost of one move, by the numbers of its grips; it may keep what it has worked out.
    """

    positions: Sequence[int]
    least: Mapping[int, Sequence[float]]
    cost: Callable[[int, int], float]

    def reach(self, last: Sequence[float], costs: Sequence[float]) -> list[float]:
        """The least cost of reaching each grip."""
        ranking: Ranking = {}
        return [own + self._find(last, now, ranking)[0] for now, own in enumerate(costs)]

    def origin(self, last: Sequence[float], now: int) -> int:
        """From which grip the grip `now` is reached most cheaply."""
        return self._find(last, now, {})[1]

    def rows(self) -> list[list[float]]:
        """What every move costs."""
        count = len(next(iter(self.least.values())))
        return [[self.cost(old, now) for old in range(count)] for now in range(len(self.positions))]

    def _find(self, last: Sequence[float], now: int, ranking: Ranking) -> tuple[float, int]:
        """The least cost of getting to the grip `now`, and from where: the first of equals."""
        position = self.positions[now]
        ranked = ranking.get(position)
        if ranked is None:
            bounds = map(add, last, self.least[position])
            ranked = ranking[position] = sorted(zip(bounds, range(len(last))))
        best, origin = inf, 0
        for bound, old in ranked:
            if bound > best + _ROUNDING:
                break
            total = last[old] + self.cost(old, now)
            if total < best or (total == best and old < origin):
                best, origin = total, old
        return best, origin


def find_way(
    costs: Sequence[Sequence[float]], between: Callable[[int], Moves]
) -> tuple[list[Sequence[float]], list[int]]:
    """The least cost of reaching every grip, and the grips of the cheapest way (the first of equals).

    `costs` are those of the grips of each moment; `between` has the moves from a moment, by its number, to the next. It is asked
    again on the way back, so that nobody has to keep them all.
    """
    forward = [costs[0]]
    for number, own in enumerate(costs[1:]):
        forward.append(between(number).reach(forward[-1], own))
    chosen = [forward[-1].index(min(forward[-1]))]
    for number in range(len(costs) - 2, -1, -1):
        chosen.append(between(number).origin(forward[number], chosen[-1]))
    chosen.reverse()
    return forward, chosen


def costs_through(
    costs: Sequence[Sequence[float]], between: Callable[[int], Moves], forward: Sequence[Sequence[float]]
) -> list[list[float]]:
    """The cost of the cheapest way through each grip; `forward` as `find_way` has it."""
    backward = [0.0] * len(costs[-1])
    totals = [list(forward[-1])]
    for number in range(len(costs) - 2, -1, -1):
        onward = list(map(add, costs[number + 1], backward))
        backward = [min(map(add, column, onward)) for column in zip(*between(number).rows())]
        totals.append(list(map(add, forward[number], backward)))
    totals.reverse()
    return totals
