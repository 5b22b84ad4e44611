"""The cheapest way to hold a whole part: exact dynamic programming over the grips of its moments (Viterbi).

The cost of a way is the sum of its grips' costs and of the moves between neighbours; the number of steps grows with
the number of moments alone. Equal questions are answered once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from operator import add
from typing import NamedTuple

from engrave.fingering.cost import GRIP_TERMS, MOVE_TERMS, Asked, Link, grip_cost, move_cost, single_costs
from engrave.fingering.grips import Grip, NoteChoice, Spot, find_grips
from engrave.fingering.hand import Hand
from engrave.fingering.moments import NO_LIMITS, Limits, Moment
from engrave.fingering.neck import Neck

_Signature = tuple[tuple[NoteChoice, ...], Asked]
_Key = tuple[_Signature, tuple[int, ...], _Signature, tuple[int, ...], Link, float]


class Rival(NamedTuple):
    """The best whole way in which one moment is held otherwise.

    `more` is what all of it costs beyond the chosen way; `mostly` is the term that grows most where it leaves it and
    comes back.
    """

    grip: Grip
    more: float
    mostly: str


class Step(NamedTuple):
    """One moment as held. `rival` is None when there is no other way.

    `terms` names what it costs, where that was asked for or the moment hangs on the one before.
    """

    grip: Grip
    terms: tuple[tuple[str, float], ...]
    rival: Rival | None
    goes_on: bool = False
    """The chord of the moment before is still held."""


class Way(NamedTuple):
    """How a part is held: a step for each moment, None for those that cannot be played at all."""

    steps: tuple[Step | None, ...]
    cost: float


class _Layer(NamedTuple):
    """One moment with its grips and what they cost."""

    moment: int
    signature: _Signature
    positions: tuple[int, ...]
    grips: list[Grip]
    costs: list[float]


class Solver:
    """Finds ways for one hand on one neck; keeps what it has worked out between parts."""

    def __init__(self, neck: Neck, hand: Hand, limits: Limits = NO_LIMITS, extensions: bool = True) -> None:
        """`extensions`: the outer fingers may reach a fret out of their place."""
        self._neck, self._hand, self._limits, self._extensions = neck, hand, limits, extensions
        self._known: dict[_Signature, tuple[list[Grip], list[float]]] = {}
        self._rows: dict[_Key, list[list[float]]] = {}
        self._waiting: dict[tuple[_Signature, tuple[int, ...]], tuple[list[Grip], list[float]]] = {}
        self._shifts: dict[float, list[list[float]]] = {}

    def solve(self, moments: Sequence[Moment], explain: bool = False) -> Way:
        """The cheapest way; with `explain`, each step's rival too."""
        layers = self._layers(moments)
        steps: list[Step | None] = [None] * len(moments)
        if not layers:
            return Way(tuple(steps), 0.0)
        tables = [self._table(moments, before, now) for before, now in pairwise(layers)]
        forward, chosen = _search(layers, tables)
        totals = _through(layers, tables, forward) if explain else None
        best = min(forward[-1])
        for number, layer in enumerate(layers):
            grip = layer.grips[chosen[number]]
            linked = _link(moments[layer.moment]) != Link()
            terms = self._terms(moments, layers, number, chosen) if explain or linked else ()
            rival = self._rival(moments, layers, number, chosen, totals[number], best) if totals else None
            steps[layer.moment] = Step(grip, terms, rival)
        return Way(tuple(steps), best)

    def grips(self, moment: Moment) -> list[Grip]:
        """Every grip for a moment, by cost; none when it cannot be played."""
        grips, costs = self._grips(_signature(moment))
        return [grip for _, grip in sorted(zip(costs, grips), key=lambda pair: pair[0])]

    def _grips(self, signature: _Signature) -> tuple[list[Grip], list[float]]:
        known = self._known.get(signature)
        if known is None:
            notes, asked = signature
            grips = find_grips(notes, self._neck, self._hand, self._extensions)
            if self._limits.position:
                grips = _at_position(grips, self._limits.position)
            costs = self._costs(grips, asked)
            known = self._known[signature] = (grips, costs)
        return known

    def _costs(self, grips: Sequence[Grip], asked: Asked) -> list[float]:
        """What each grip costs."""
        neck, hand, avoid = self._neck, self._hand, self._limits.avoid_open
        if len(asked.struck) == 1 and not asked.home:
            return single_costs(grips, asked, neck, hand, avoid)
        return [sum(grip_cost(grip, asked, neck, hand, avoid)) for grip in grips]

    def _layers(self, moments: Sequence[Moment]) -> list[_Layer]:
        """The moments that can be played, with their grips; hands that wait over open strings wait where they are wanted."""
        layers: list[_Layer] = []
        for number, moment in enumerate(moments):
            signature = _signature(moment)
            grips, costs = self._grips(signature)
            if grips:
                layers.append(_Layer(number, signature, (), grips, costs))
        after = _reached(reversed(layers))
        for number, (layer, leading, following) in enumerate(zip(layers, _reached(layers), reversed(after))):
            waiting = tuple(sorted(leading | following))
            if waiting and _can_be_open(layer):
                layers[number] = self._spread_open(layer, waiting)
        return layers

    def _spread_open(self, layer: _Layer, waiting: tuple[int, ...]) -> _Layer:
        """Open strings with the hand waiting at each of the positions from which or to which it goes.

        Elsewhere it never waits: the way is shared out between two shifts, and each shift costs something of its own.
        """
        asked = layer.signature[1]
        known = self._waiting.get((layer.signature, waiting))
        if known is not None:
            return _Layer(layer.moment, layer.signature, waiting, *known)
        grips = [
            grip._replace(position=place)
            for grip in layer.grips
            for place in (waiting if grip.position == 0 else (grip.position,))
        ]
        costs = self._costs(grips, asked)
        self._waiting[(layer.signature, waiting)] = (grips, costs)
        return _Layer(layer.moment, layer.signature, waiting, grips, costs)

    def _table(self, moments: Sequence[Moment], before: _Layer, now: _Layer) -> list[list[float]]:
        """What every move between two layers costs: a row for each grip of `now`."""
        adjacent = now.moment == before.moment + 1
        link = _link(moments[now.moment]) if adjacent else Link()
        seconds = moments[now.moment].seconds
        key = (before.signature, before.positions, now.signature, now.positions, link, seconds)
        rows = self._rows.get(key)
        if rows is None:
            asked = (before.signature[1], now.signature[1])
            if len(before.grips[0].spots) == len(now.grips[0].spots) == 1 and link == Link():
                rows = self._single_rows(before.grips, now.grips, seconds)
            else:
                rows = [
                    [
                        sum(
                            move_cost(
                                old, new, link, asked, seconds=seconds, neck=self._neck, hand=self._hand
                            )
                        )
                        for old in before.grips
                    ]
                    for new in now.grips
                ]
            self._rows[key] = rows
        return rows

    def _single_rows(self, before: Sequence[Grip], now: Sequence[Grip], seconds: float) -> list[list[float]]:
        """The same as `move_cost`, for one note after another without a link: melodies are mostly this."""
        ways = self._ways(seconds)
        crossing, jump = self._hand.strings.crossing, self._hand.fingers.jumping(seconds)
        size = len(ways)
        spots = [old.spots[0] for old in before]
        codes = [
            old.position if spot.finger else size + old.position for old, spot in zip(before, spots)
        ]  # where a hand comes from, and whether it stops a string there
        by_position = {at: list(map(ways[at].__getitem__, codes)) for at in {new.position for new in now}}
        by_string = {
            string: [crossing * abs(spot.string - string) for spot in spots]
            for string in {new.spots[0].string for new in now}
        }
        by_finger: dict[int, list[int]] = {}
        by_place: dict[tuple[int, int], list[int]] = {}
        for index, spot in enumerate(spots):
            by_finger.setdefault(spot.finger, []).append(index)
            by_place.setdefault((spot.string, spot.fret), []).append(index)
        change = self._hand.fingers.change
        rows = []
        for new in now:
            at, (string, fret, finger) = new.position, new.spots[0]
            row = list(map(add, by_position[at], by_string[string]))
            for index in by_finger.get(finger, ()) if finger else ():
                old = spots[index]
                if old.string != string or (old.fret != fret and codes[index] == at):
                    row[index] += jump
            for index in by_place.get((string, fret), ()) if finger else ():
                if spots[index].finger != finger:
                    row[index] += change
            rows.append(row)
        return rows

    def _ways(self, seconds: float) -> list[list[float]]:
        """What a shift costs with so much time: a row for each position gone to, a column for each come from.

        The columns come twice: from a hand that stops a string, and from one over open strings.
        """
        table = self._shifts.get(seconds)
        if table is None:
            shift, way = self._hand.shift, self._neck.distances
            per_mm = shift.per_mm * (1 + shift.hurry / seconds)
            most = range(
                len(way) + 1
            )  # the first finger may stretch back from one position beyond the last fret
            rows = [
                [
                    abs(way[min(p, len(way) - 1)] - way[min(at, len(way) - 1)]) * per_mm + shift.each
                    if p != at and p and at
                    else 0.0
                    for p in most
                ]
                for at in most
            ]
            table = [row + [cost * shift.while_open for cost in row] for row in rows]
            self._shifts[seconds] = table
        return table

    def _rival(
        self,
        moments: Sequence[Moment],
        layers: Sequence[_Layer],
        number: int,
        chosen: Sequence[int],
        totals: Sequence[float],
        best: float,
    ) -> Rival | None:
        """The next best way that holds this moment's strings otherwise (with other fingers, where the strings are given)."""
        layer = layers[number]
        others = _differing(layer, layer.grips[chosen[number]], totals)
        if not others:
            return None
        total, index = min(others)
        instead = [*chosen[:number], index, *chosen[number + 1 :]]
        more: dict[str, float] = {}
        for sign, way in ((1, instead), (-1, chosen)):
            for place in (number, number + 1):
                if place < len(layers):
                    for name, value in self._terms(moments, layers, place, way):
                        more[name] = more.get(name, 0.0) + sign * value
        mostly = max(more, key=lambda name: more[name], default="")
        return Rival(layer.grips[index], total - best, mostly)

    def _terms(
        self, moments: Sequence[Moment], layers: Sequence[_Layer], number: int, chosen: Sequence[int]
    ) -> tuple[tuple[str, float], ...]:
        """The named costs of one step of the chosen way, those that are not 0."""
        layer = layers[number]
        grip = layer.grips[chosen[number]]
        asked = layer.signature[1]
        values = list(
            zip(GRIP_TERMS, grip_cost(grip, asked, self._neck, self._hand, self._limits.avoid_open))
        )
        if number:
            before = layers[number - 1]
            link = _link(moments[layer.moment]) if layer.moment == before.moment + 1 else Link()
            moved = move_cost(
                before.grips[chosen[number - 1]],
                grip,
                link,
                (before.signature[1], asked),
                seconds=moments[layer.moment].seconds,
                neck=self._neck,
                hand=self._hand,
            )
            values.extend(zip(MOVE_TERMS, moved))
        return tuple((name, value) for name, value in values if value)


def _signature(moment: Moment) -> _Signature:
    return (
        tuple(NoteChoice(want.places, want.finger) for want in moment.wants),
        Asked(
            tuple(want.struck for want in moment.wants),
            tuple(want.bends for want in moment.wants),
            tuple(want.home for want in moment.wants) if any(want.home for want in moment.wants) else (),
        ),
    )


def _link(moment: Moment) -> Link:
    held = tuple((want.held_from, i) for i, want in enumerate(moment.wants) if want.held_from >= 0)
    joined = tuple(
        (want.joined_to, i, want.joins_by_slide) for i, want in enumerate(moment.wants) if want.joined_to >= 0
    )
    return Link(held, joined)


def _at_position(grips: Sequence[Grip], position: int) -> list[Grip]:
    """The grips of one position, without open strings where that can be; all of them where it has none."""
    there = [grip for grip in grips if grip.position == position]
    stopped = [grip for grip in there if all(spot.fret for spot in grip.spots)]
    kept = stopped if position > 1 and stopped else there + [grip for grip in grips if not grip.position]
    return kept or list(grips)


def _reached(layers: Iterable[_Layer]) -> list[frozenset[int]]:
    """For each layer, where the hand can be when it gets there: open strings let it stay where it was before them."""
    found: list[frozenset[int]] = []
    here: frozenset[int] = frozenset()
    for layer in layers:
        found.append(here)
        positions = frozenset(grip.position for grip in layer.grips)
        here = here | positions if 0 in positions else positions
        here -= {0}
    return found


def _can_be_open(layer: _Layer) -> bool:
    return any(grip.position == 0 for grip in layer.grips)


def _search(
    layers: Sequence[_Layer], tables: Sequence[list[list[float]]]
) -> tuple[list[list[float]], list[int]]:
    """The least cost of reaching every grip, and the grips of the cheapest way (the first of equals)."""
    forward = [layers[0].costs]
    for layer, table in zip(layers[1:], tables):
        last = forward[-1]
        forward.append([own + min(map(add, last, row)) for own, row in zip(layer.costs, table)])
    chosen = [forward[-1].index(min(forward[-1]))]
    for table, before in zip(reversed(tables), reversed(forward[:-1])):
        sums = list(map(add, before, table[chosen[-1]]))
        chosen.append(sums.index(min(sums)))
    chosen.reverse()
    return forward, chosen


def _through(
    layers: Sequence[_Layer], tables: Sequence[list[list[float]]], forward: Sequence[list[float]]
) -> list[list[float]]:
    """The cost of the cheapest way through each grip."""
    backward = [0.0] * len(layers[-1].grips)
    totals = [list(forward[-1])]
    for number in range(len(layers) - 2, -1, -1):
        table = tables[number]
        reached = list(map(add, layers[number + 1].costs, backward))
        backward = [
            min(row[old] + cost for row, cost in zip(table, reached))
            for old in range(len(layers[number].grips))
        ]
        totals.append(list(map(add, forward[number], backward)))
    totals.reverse()
    return totals


def _differing(layer: _Layer, grip: Grip, totals: Sequence[float]) -> list[tuple[float, int]]:
    """The grips with other places; with other fingers where there are none."""
    pairs = list(zip(totals, range(len(totals))))
    here = _places(grip.spots)
    elsewhere = [(total, index) for total, index in pairs if _places(layer.grips[index].spots) != here]
    return elsewhere or [(total, index) for total, index in pairs if layer.grips[index].spots != grip.spots]


def _places(spots: Sequence[Spot]) -> list[tuple[int, int]]:
    return [(spot.string, spot.fret) for spot in spots]
