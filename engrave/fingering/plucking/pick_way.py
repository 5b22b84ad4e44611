"""Which way each stroke of a pick goes, or of a hand that strums: the cheapest way through all of them."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from fractions import Fraction
from typing import NamedTuple

from engrave.fingering.moves import AllMoves, costs_through, find_way
from engrave.fingering.plucking.fingers import Terms
from engrave.fingering.plucking.right_hand import StrokeCost
from engrave.fingering.plucking.struck import DOWN, UP, Struck
from engrave.fingering.plucking.swing import Swing, decide_swings
from engrave.score.structure import Measure


class Way(Enum):
    """The direction of a stroke: down is towards the floor, from thick strings to thin ones."""

    DOWN = "down"
    UP = "up"


class PickStroke(NamedTuple):
    """One stroke and what it costs with the way there; `more` is what the other direction would cost, if asked for."""

    way: Way
    terms: Terms
    swing: Swing
    more: float | None = None


class PickWay(NamedTuple):
    """All strokes, and what they cost together."""

    steps: tuple[PickStroke, ...]
    cost: float


def solve_strokes(
    moments: Sequence[Struck], measures: Sequence[Measure], costs: StrokeCost, explained: bool = False
) -> PickWay:
    """The cheapest strokes through `moments`. Time grows in proportion to their number."""
    if not moments:
        return PickWay((), 0.0)
    swings = find_swings(moments, measures)
    choices = [ways_of(moment) for moment in moments]
    own = [
        [sum(value for _, value in own_terms(way, swing, costs)) for way in ways]
        for ways, swing in zip(choices, swings, strict=True)
    ]

    def between(index: int) -> AllMoves:
        before, after = moments[index], moments[index + 1]
        return AllMoves(
            [
                [sum(value for _, value in move_terms(a, b, before, after, costs)) for a in choices[index]]
                for b in choices[index + 1]
            ]
        )

    forward, chosen = find_way(own, between)
    through = costs_through(own, between, forward) if explained else None
    steps = []
    for index, at in enumerate(chosen):
        way = choices[index][at]
        terms = own_terms(way, swings[index], costs)
        if index:
            before = choices[index - 1][chosen[index - 1]]
            terms += move_terms(before, way, moments[index - 1], moments[index], costs)
        more = None
        if through is not None and len(choices[index]) > 1:
            more = through[index][1 - at] - through[index][at]
        steps.append(PickStroke(way, tuple(term for term in terms if term[1]), swings[index], more))
    return PickWay(tuple(steps), min(forward[-1]))


def find_swings(moments: Sequence[Struck], measures: Sequence[Measure]) -> list[Swing]:
    """What the beat asks of each moment; grace notes swing as the note they belong to."""
    rows: dict[int, set[Fraction]] = {}
    for moment in moments:
        rows.setdefault(moment.measure, set()).add(moment.onset + measures[moment.measure].metre_offset)
    swings = {index: decide_swings(onsets, measures[index].metre) for index, onsets in rows.items()}
    return [swings[m.measure][m.onset + measures[m.measure].metre_offset] for m in moments]


def ways_of(moment: Struck) -> tuple[Way, ...]:
    """The directions that are open: one where the author wrote it."""
    if moment.stroke in DOWN:
        return (Way.DOWN,)
    if moment.stroke in UP:
        return (Way.UP,)
    return (Way.DOWN, Way.UP)


def own_terms(way: Way, swing: Swing, costs: StrokeCost) -> Terms:
    """What a stroke costs by itself."""
    if way is Way.UP:
        against = {Swing.BEAT: costs.beat, Swing.TRIPLET_BEAT: costs.triplet_beat, Swing.DOWN: costs.offbeat}
        return (("against the beat", against.get(swing, 0.0)),)
    return (("against the beat", costs.offbeat if swing is Swing.UP else 0.0),)


def move_terms(old: Way, new: Way, before: Struck, after: Struck, costs: StrokeCost) -> Terms:
    """What it costs to strike `after` by the stroke `new` when `before` was struck by `old`."""
    step = _crossing(old, before, after)
    again = costs.again * costs.haste(after.seconds) if old is new else 0.0
    goes_on = old is new and step != 0 and (step < 0) is (new is Way.DOWN)
    if goes_on and abs(step) == 1:
        again *= costs.sweep
    against = costs.against if step and not goes_on else 0.0
    return (("same stroke twice running", again), ("string against the stroke", against))


def _crossing(old: Way, before: Struck, after: Struck) -> int:
    """Strings from where a stroke ended to where the next begins its own; below 0 towards the thin ones, 0 for slashes."""
    if not before.strings or not after.strings:
        return 0
    last = before.strings[-1] if old is Way.DOWN else before.strings[0]
    if len(after.strings) > 1:
        return 0
    return after.strings[0] - last
