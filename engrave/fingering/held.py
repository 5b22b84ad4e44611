"""Which moments are held as one chord: the fingers of an arpeggio stay down, and lie as the chord's grid shows them.

Teachers say: hold the chord, then play its strings one by one (right-hand studies of all methods; common practice, no
source). It is done where music rings on, under a chord name, and wherever notes lie like a chord anyway.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import NamedTuple

from engrave.fingering.grips import Grip, Spot
from engrave.fingering.moments import Moment, Want
from engrave.fingering.solve import Solver, Step, Way
from engrave.fingering.stretches import Stretch, split
from engrave.score.structure import ChordAt
from engrave.theory.chord_shape import ChordShape

_FEWEST = 3
"""A chord has so many strings (fact)."""
_FEWEST_STOPPED = 2
"""With fewer fingers there is nothing to keep down (fact)."""
_SPLITS = 2
"""A stretch is taken whole, in halves, in quarters (algorithm)."""

ShapeOf = Callable[[ChordAt], ChordShape | None]


class Chorded(NamedTuple):
    """Moments in which each chord that is held is one. `members[n]` are the moments of which moment n is made.

    `own[n]` says for each of them which wants of the whole are its own, in its order.
    """

    moments: tuple[Moment, ...]
    members: tuple[tuple[int, ...], ...]
    own: tuple[tuple[tuple[int, ...], ...], ...]

    def spread(self, way: Way) -> Way:
        """The way with a step for each single moment again."""
        steps: list[Step | None] = []
        for step, parts in zip(way.steps, self.own, strict=True):
            steps.extend(None if step is None else _share(step, own, at > 0) for at, own in enumerate(parts))
        return Way(tuple(steps), way.cost)


def _share(step: Step, own: Sequence[int], goes_on: bool) -> Step:
    """What one member plays of a chord that is held."""
    grip = _pick(step.grip, own)
    if goes_on:
        return Step(grip, (), None, goes_on=True)
    rival = step.rival and step.rival._replace(grip=_pick(step.rival.grip, own))
    return Step(grip, step.terms, rival)


def _pick(grip: Grip, own: Sequence[int]) -> Grip:
    return grip._replace(spots=tuple(grip.spots[index] for index in own))


def take_places_of_grids(moments: Sequence[Moment], stretches: Sequence[Stretch]) -> tuple[Moment, ...]:
    """The moments with chords on the strings of the grid over them, where all of a chord has a place there."""
    found = list(moments)
    for stretch in stretches:
        shape = stretch.chord.shape if stretch.chord is not None else None
        if shape is None:
            continue
        on_shape = [_on_shape(moments[number], shape) for number in stretch.numbers]
        broken = _is_broken_chord(on_shape)
        for number, held in zip(stretch.numbers, on_shape):
            chordal = stretch.rings or broken or sum(want.struck for want in moments[number].wants) > 1
            if held is not None and chordal:
                found[number] = held
    return tuple(found)


def _is_broken_chord(on_shape: Sequence[Moment | None]) -> bool:
    """True when a whole stretch lies on the shape, single notes that never take one string twice running."""
    strings = [
        moment.wants[0].places[0][0] for moment in on_shape if moment is not None and len(moment.wants) == 1
    ]
    return (
        len(strings) == len(on_shape)
        and len(set(strings)) >= _FEWEST
        and all(one != other for one, other in pairwise(strings))
    )


def _on_shape(moment: Moment, shape: ChordShape) -> Moment | None:
    """The moment on the strings of the shape; None where some note has no place there."""
    there = {(shape.strings - at, fret) for at, fret in enumerate(shape.frets) if fret is not None}
    places = [[place for place in want.places if place in there] for want in moment.wants]
    strings = [found[0][0] for found in places if len(found) == 1]
    if len(set(strings)) < len(places):
        return None
    return moment._replace(
        wants=tuple(want._replace(places=tuple(at)) for want, at in zip(moment.wants, places))
    )


def hold_chords(
    moments: Sequence[Moment],
    stretches: Sequence[Stretch],
    way: Way,
    solver: Solver,
    shape_of: ShapeOf | None,
) -> Chorded:
    """`moments`, held in `way` if nothing were kept down, with chords that are held as one moment each.

    `shape_of` finds how a chord is held whose name stands over the music; without it only what rings is held.
    """
    holder = _Holder(list(moments), way, solver, shape_of)
    for stretch in stretches:
        holder.hold(stretch, _SPLITS)
    return holder.chorded()


class _Holder:
    """The moments, and which of them have been found to be one chord."""

    def __init__(self, moments: list[Moment], way: Way, solver: Solver, shape_of: ShapeOf | None) -> None:
        self._moments, self._way, self._solver, self._shape_of = moments, way, solver, shape_of
        self._chords: dict[int, tuple[tuple[int, ...], _Whole]] = {}

    def hold(self, stretch: Stretch, splits: int) -> None:
        """Find the chord of a stretch, else of its halves."""
        if self._shape_of is None and not stretch.rings:
            return
        if self._shape_of is not None and stretch.chord is not None:
            self._take_fingers(stretch.numbers, self._shape_of(stretch.chord))
        whole = self._whole(stretch)
        if whole is not None:
            self._chords[stretch.numbers[0]] = (stretch.numbers, whole)
        elif splits and len(stretch.numbers) > 1:
            for half in split(stretch, self._moments):
                self.hold(half, splits - 1)

    def _lying(self, numbers: Sequence[int]) -> list[tuple[int, int, Spot]] | None:
        """(moment, want, spot) of all that sounds there; None where something cannot be played."""
        found: list[tuple[int, int, Spot]] = []
        for number in numbers:
            step = self._way.steps[number]
            if step is None:
                return None
            found.extend((number, index, spot) for index, spot in enumerate(step.grip.spots))
        return found

    def _take_fingers(self, numbers: Sequence[int], shape: ChordShape | None) -> None:
        """The fingers of `shape` for notes that all lie on its strings."""
        lying = self._lying(numbers)
        if shape is None or not lying or not any(shape.fingers):
            return
        fingers = {
            (shape.strings - at, fret): finger
            for at, (fret, finger) in enumerate(zip(shape.frets, shape.fingers))
            if fret
        }
        stopped = [(number, index, spot) for number, index, spot in lying if spot.fret]
        if any(not fingers.get(spot[:2], "").isdigit() for _, _, spot in stopped):
            return
        if any(self._moments[number].wants[index].finger for number, index, _ in stopped):
            return
        for number, index, spot in stopped:
            moment = self._moments[number]
            wants = list(moment.wants)
            wants[index] = wants[index]._replace(places=(spot[:2],), finger=int(fingers[spot[:2]]))
            self._moments[number] = moment._replace(wants=tuple(wants))

    def _whole(self, stretch: Stretch) -> _Whole | None:
        """The stretch as one chord: with the places it has, or where it rings with any."""
        lying = self._lying(stretch.numbers)
        if lying is None or len(stretch.numbers) == 1:
            return None
        wants = [want for number in stretch.numbers for want in self._moments[number].wants]
        if any(want.bends or want.home for want in wants):
            return None
        later = [want for number in stretch.numbers[1:] for want in self._moments[number].wants]
        if any(want.joined_to >= 0 for want in later):
            return None
        spots = {spot[:2] for _, _, spot in lying}
        as_it_lies = len({string for string, _ in spots}) == len(spots)
        if as_it_lies and len(spots) >= _FEWEST and sum(1 for _, fret in spots if fret) >= _FEWEST_STOPPED:
            placed = {(number, index): spot[:2] for number, index, spot in lying}
            return self._playable(_merge(self._moments, stretch.numbers, placed))
        if stretch.rings and not as_it_lies:
            return self._playable(_merge(self._moments, stretch.numbers, {}))
        return None

    def _playable(self, whole: _Whole | None) -> _Whole | None:
        return whole if whole is not None and self._solver.grips(whole.moment) else None

    def chorded(self) -> Chorded:
        """The moments with each chord as one; what hangs on a moment before finds it in its chord."""
        moments: list[Moment] = []
        members: list[tuple[int, ...]] = []
        owns: list[tuple[tuple[int, ...], ...]] = []
        number = 0
        before: tuple[int, ...] = ()
        while number < len(self._moments):
            numbers, whole = self._chords.get(number, ((number,), None))
            moment = whole.moment if whole else self._moments[number]
            own = whole.own if whole else (tuple(range(len(moment.wants))),)
            moments.append(moment._replace(wants=tuple(_hang_on(want, before) for want in moment.wants)))
            members.append(numbers)
            owns.append(own)
            before = own[-1]
            number += len(numbers)
        return Chorded(tuple(moments), tuple(members), tuple(owns))


def _hang_on(want: Want, before: Sequence[int]) -> Want:
    """The want with what it hangs on found among the wants of the whole before it."""
    held = before[want.held_from] if want.held_from >= 0 else -1
    joined = before[want.joined_to] if want.joined_to >= 0 else -1
    if (held, joined) == (want.held_from, want.joined_to):
        return want
    return want._replace(held_from=held, joined_to=joined)


class _Whole(NamedTuple):
    """A chord as one moment; `own` says for each of its members which wants are its own."""

    moment: Moment
    own: tuple[tuple[int, ...], ...]


def _merge(
    moments: Sequence[Moment],
    numbers: Sequence[int],
    placed: dict[tuple[int, int], tuple[int, int]],
) -> _Whole | None:
    """The moments as one, at the places that are given; None where the author's fingers contradict each other."""
    wants: list[Want] = []
    at: dict[tuple[int, ...], int] = {}
    own = []
    for number in numbers:
        mine = []
        for index, want in enumerate(moments[number].wants):
            place = placed.get((number, index))
            key = place or (
                want.midi,
                sum(1 for w in moments[number].wants[:index] if w.midi == want.midi),
                0,
            )
            if key not in at:
                at[key] = len(wants)
                first = number == numbers[0]
                wants.append(
                    want._replace(
                        places=(place,) if place else want.places,
                        struck=True,
                        held_from=want.held_from if first else -1,
                        joined_to=want.joined_to if first else -1,
                    )
                )
            known = wants[at[key]]
            if known.finger and want.finger and known.finger != want.finger:
                return None
            places = tuple(place for place in known.places if place in want.places)
            if not places:
                return None
            wants[at[key]] = known._replace(finger=known.finger or want.finger, places=places)
            mine.append(at[key])
        own.append(tuple(mine))
    return _Whole(moments[numbers[0]]._replace(wants=tuple(wants)), tuple(own))
