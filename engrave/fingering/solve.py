"""The cheapest way to hold a whole part: exact dynamic programming over the grips of its moments (Viterbi).

The cost of a way is the sum of its grips' costs and of the moves between neighbours; the number of steps grows with
the number of moments alone. Equal questions are answered once.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import add
from typing import NamedTuple

from engrave.fingering.cost import (
    GRIP_TERMS,
    MOVE_TERMS,
    Asked,
    Link,
    grip_cost,
    least_beside_shift,
    move_cost,
    single_costs,
)
from engrave.fingering.grips import Grip, NoteChoice, Spot, find_grips
from engrave.fingering.hand import Hand
from engrave.fingering.layers import Layer, Signature, can_be_open, limited, reached
from engrave.fingering.moments import NO_LIMITS, Limits, Moment
from engrave.fingering.moves import AllMoves, Moves, SomeMoves, costs_through, find_way
from engrave.fingering.neck import Neck

_Key = tuple[int, int, Link, float]
_MOST_KEPT = 300_000
"""Costs of moves that are kept, some 30 MB (safety limit)."""
_LIGHTER = 3
"""So much less room a cost takes in a row than by itself (fact of the machine)."""


_NO_LINK = Link()
"""Nothing hangs on the moment before."""


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


class Solver:
    """Finds ways for one hand on one neck; keeps what it has worked out between parts."""

    def __init__(self, neck: Neck, hand: Hand, limits: Limits = NO_LIMITS, extensions: bool = True) -> None:
        """`extensions`: the outer fingers may reach a fret out of their place."""
        self._neck, self._hand, self._limits, self._extensions = neck, hand, limits, extensions
        self._known: dict[Signature, tuple[list[Grip], list[float]]] = {}
        self._between: dict[_Key, tuple[Moves, list[Grip], list[Grip]]] = {}
        self._kept = 0
        self._waiting: dict[tuple[Signature, tuple[int, ...]], tuple[list[Grip], list[float]]] = {}
        self._shifts: dict[float, list[list[float]]] = {}

    def solve(self, moments: Sequence[Moment], explain: bool = False) -> Way:
        """The cheapest way; with `explain`, each step's rival too."""
        layers = limited(self._layers(moments), explain)
        steps: list[Step | None] = [None] * len(moments)
        if not layers:
            return Way(tuple(steps), 0.0)
        costs = [layer.costs for layer in layers]

        def between(number: int) -> Moves:
            return self._moves(moments, layers[number], layers[number + 1])

        forward, chosen = find_way(costs, between)
        totals = costs_through(costs, between, forward) if explain else None
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

    def _grips(self, signature: Signature) -> tuple[list[Grip], list[float]]:
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

    def _layers(self, moments: Sequence[Moment]) -> list[Layer]:
        """The moments that can be played, with their grips; hands that wait over open strings wait where they are wanted."""
        layers: list[Layer] = []
        for number, moment in enumerate(moments):
            signature = _signature(moment)
            grips, costs = self._grips(signature)
            if grips:
                layers.append(Layer(number, signature, (), grips, costs))
        after = reached(reversed(layers))
        for number, (layer, leading, following) in enumerate(zip(layers, reached(layers), reversed(after))):
            waiting = tuple(sorted(leading | following))
            if waiting and can_be_open(layer):
                layers[number] = self._spread_open(layer, waiting)
        return layers

    def _spread_open(self, layer: Layer, waiting: tuple[int, ...]) -> Layer:
        """Open strings with the hand waiting at each of the positions from which or to which it goes.

        Elsewhere it never waits: the way is shared out between two shifts, and each shift costs something of its own.
        """
        asked = layer.signature[1]
        known = self._waiting.get((layer.signature, waiting))
        if known is not None:
            return Layer(layer.moment, layer.signature, waiting, *known)
        grips = [
            grip._replace(position=place)
            for grip in layer.grips
            for place in (waiting if grip.position == 0 else (grip.position,))
        ]
        costs = self._costs(grips, asked)
        self._waiting[(layer.signature, waiting)] = (grips, costs)
        return Layer(layer.moment, layer.signature, waiting, grips, costs)

    def _moves(self, moments: Sequence[Moment], before: Layer, now: Layer) -> Moves:
        """What the moves between two layers cost; equal ones are worked out once, as long as there is room to keep them."""
        adjacent = now.moment == before.moment + 1
        link = _link(moments[now.moment]) if adjacent else Link()
        seconds = moments[now.moment].seconds
        key = (id(before.grips), id(now.grips), link, seconds)  # equal moments share one list of grips
        moves, *_ = self._between.get(key, (None,))
        if moves is None:
            if self._kept > _MOST_KEPT:
                self._between.clear()
                self._kept = 0
            if len(before.grips[0].spots) == len(now.grips[0].spots) == 1 and link == Link():
                moves = AllMoves(self._single_rows(before.grips, now.grips, seconds))
                self._kept += len(before.grips) * len(now.grips) // _LIGHTER
            else:
                moves = self._some_moves(before, now, link, seconds)
            self._between[key] = (moves, before.grips, now.grips)
        return moves

    def _some_moves(self, before: Layer, now: Layer, link: Link, seconds: float) -> SomeMoves:
        """Moves from or to chords, bounded from below by the shift of the hand."""
        known: dict[int, float] = {}
        size = len(now.grips)
        asked = (before.signature[1], now.signature[1])
        neck, hand = self._neck, self._hand

        def cost(old: int, new: int) -> float:
            found = known.get(old * size + new)
            if found is None:
                found = known[old * size + new] = sum(
                    move_cost(
                        before.grips[old], now.grips[new], link, asked, seconds=seconds, neck=neck, hand=hand
                    )
                )
                self._kept += 1
            return found

        ways = self._ways(seconds)
        codes = [len(ways) * grip.is_open + grip.position for grip in before.grips]
        positions = [grip.position for grip in now.grips]
        other = least_beside_shift(hand, seconds)
        share = min(1.0, hand.shift.guided) if len(now.grips[0].spots) > 1 else 1.0
        least = {at: [ways[at][code] * share + other for code in codes] for at in set(positions)}
        return SomeMoves(positions, least, cost)

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
            beyond = max(1, self._hand.reach.side)  # the first finger stretches back to the last fret
            most = range(len(way) + beyond)
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
        layers: Sequence[Layer],
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
        self, moments: Sequence[Moment], layers: Sequence[Layer], number: int, chosen: Sequence[int]
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


def _signature(moment: Moment) -> Signature:
    return (
        tuple(NoteChoice(want.places, want.finger) for want in moment.wants),
        Asked(
            tuple(want.struck for want in moment.wants),
            tuple(want.bends for want in moment.wants),
            tuple(want.home for want in moment.wants) if any(want.home for want in moment.wants) else (),
        ),
    )


def _link(moment: Moment) -> Link:
    if len(moment.wants) == 1 and moment.wants[0].held_from < 0 and moment.wants[0].joined_to < 0:
        return _NO_LINK
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


def _differing(layer: Layer, grip: Grip, totals: Sequence[float]) -> list[tuple[float, int]]:
    """The grips with other places; with other fingers where there are none."""
    pairs = list(zip(totals, range(len(totals))))
    here = _places(grip.spots)
    elsewhere = [(total, index) for total, index in pairs if _places(layer.grips[index].spots) != here]
    return elsewhere or [(total, index) for total, index in pairs if layer.grips[index].spots != grip.spots]


def _places(spots: Sequence[Spot]) -> list[tuple[int, int]]:
    return [(spot.string, spot.fret) for spot in spots]
