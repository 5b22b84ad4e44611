"""All the ways in which one hand can hold what sounds at one moment: strings, frets, fingers, and where the hand is.

A hand at position q has its first finger over fret q, the second over q + 1, and so on; on a neck with two frets to a finger
over q and q + 1, q + 2 and q + 3. Rules after the playability test
for chords (common practice, no source): fingers in the order of the frets, one finger for several strings only where
nothing between has to sound below it, and reach in millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from engrave.fingering.hand import Hand
from engrave.fingering.neck import Neck

FINGERS = 4
"""Those of the left hand that stop strings (fact)."""


class Spot(NamedTuple):
    """One note as held: `finger` 0 is an open string."""

    string: int
    fret: int
    finger: int


class Grip(NamedTuple):
    """One way to hold everything: the hand's position and a spot for each note, in the order of the notes asked for.

    `position` is 0 where only open strings sound and nothing says yet where the hand waits. `reach` is in millimetres between the
    outer stopped frets; `outside` counts the frets by which fingers are stretched out of their places, `crowded` those
    by which they are drawn in; `barres` has the finger and the number of strings of each.
    """

    position: int
    spots: tuple[Spot, ...]
    reach: float
    outside: int
    crowded: int
    barres: tuple[tuple[int, int], ...]

    @property
    def is_open(self) -> bool:
        """True when no string is stopped."""
        return not any(spot.finger for spot in self.spots)


class NoteChoice(NamedTuple):
    """What a grip is asked for: possible (string, fret), and a finger (0: free)."""

    places: tuple[tuple[int, int], ...]
    finger: int = 0


def find_grips(notes: Sequence[NoteChoice], neck: Neck, hand: Hand, extensions: bool = True) -> list[Grip]:
    """Every grip for notes that sound together; none when the hand cannot play them."""
    grips: list[Grip] = []
    is_asked = any(note.finger for note in notes)
    for places in _assignments(notes):
        for fingers in _fingerings(places, [note.finger for note in notes], neck, hand):
            spots = tuple(Spot(string, fret, finger) for (string, fret), finger in zip(places, fingers))
            grips.extend(_with_positions(spots, neck, hand, extensions, is_asked))
    return grips


def _assignments(notes: Sequence[NoteChoice]) -> Iterator[tuple[tuple[int, int], ...]]:
    """A place for each note, each string once."""

    def extend(index: int, chosen: list[tuple[int, int]]) -> Iterator[tuple[tuple[int, int], ...]]:
        if index == len(notes):
            yield tuple(chosen)
            return
        for place in notes[index].places:
            if all(place[0] != other[0] for other in chosen):
                yield from extend(index + 1, [*chosen, place])

    return extend(0, [])


def _fingerings(
    places: Sequence[tuple[int, int]], wanted: Sequence[int], neck: Neck, hand: Hand
) -> Iterator[list[int]]:
    """The finger of each place (0 for open strings)."""
    frets = [fret for _, fret in places]
    stopped = sorted((i for i, fret in enumerate(frets) if fret), key=lambda i: (frets[i], -places[i][0]))
    if not stopped:
        yield [0] * len(places)
        return
    if neck.reach(frets[stopped[0]], frets[stopped[-1]]) > hand.reach.hard:
        return
    if len({frets[i] for i in stopped}) > FINGERS:
        return
    chosen = [0] * len(places)

    def extend(done: int) -> Iterator[list[int]]:
        if done == len(stopped):
            yield list(chosen)
            return
        here = stopped[done]
        before = stopped[done - 1] if done else -1
        least = chosen[before] + 1 if done else 1
        if done and frets[before] == frets[here] and _may_lie(places, chosen, stopped[:done], here):
            least -= 1
        for finger in range(least, FINGERS + 1):
            if wanted[here] and wanted[here] != finger:
                continue
            if _spread_fits(places, chosen, stopped[:done], here, finger=finger, neck=neck, hand=hand):
                chosen[here] = finger
                yield from extend(done + 1)
        chosen[here] = 0

    yield from extend(0)


def _may_lie(
    places: Sequence[tuple[int, int]], chosen: Sequence[int], done: Sequence[int], here: int
) -> bool:
    """True when the finger of the last place can reach over to `here`: no string between has to sound below it."""
    finger, fret = chosen[done[-1]], places[here][1]
    outer = max(places[i][0] for i in done if chosen[i] == finger)
    return all(other_fret >= fret for string, other_fret in places if places[here][0] < string < outer)


def _spread_fits(
    places: Sequence[tuple[int, int]],
    chosen: Sequence[int],
    done: Sequence[int],
    here: int,
    finger: int,
    neck: Neck,
    hand: Hand,
) -> bool:
    """True when `finger` reaches `here` from every finger that lies already."""
    fret = places[here][1]
    for other in done:
        low = chosen[other]
        if low < finger and neck.reach(places[other][1], fret) > hand.reach.between(low, finger):
            return False
    return True


def _with_positions(
    spots: tuple[Spot, ...], neck: Neck, hand: Hand, extensions: bool, is_asked: bool
) -> Iterator[Grip]:
    """The grip at each position from which its fingers can lie so.

    Alone, a finger lies below its own fret in first position only where the author asks for it: it is drawn in.
    """
    stopped = [spot for spot in spots if spot.finger]
    if not stopped:
        yield Grip(0, spots, 0.0, 0, 0, ())
        return
    if len(stopped) == 1:
        for position, outside in _single_positions(stopped[0], hand.reach.side, neck.width):
            if extensions or not outside:
                yield Grip(position, spots, 0.0, outside, 0, ())
        drawn_in = 1 + neck.width * (stopped[0].finger - 1) - stopped[0].fret
        if is_asked and drawn_in > 0:
            yield Grip(1, spots, 0.0, 0, drawn_in, ())
        return
    reach = neck.reach(min(s.fret for s in stopped), max(s.fret for s in stopped))
    barres = _barres(stopped)
    width = neck.width
    for position in _positions(stopped, width):
        outside = sum(_stretched(spot, position, width) for spot in stopped)
        if extensions or not outside:
            crowded = sum(_drawn_in(spot, position, width) for spot in stopped)
            yield Grip(position, spots, reach, outside, crowded, barres)


def _single_positions(spot: Spot, side: int, width: int) -> Iterator[tuple[int, int]]:
    """The finger's own positions, and those from which an outer finger stretches to its fret; each with that stretch in frets."""
    highest = spot.fret - width * (spot.finger - 1)
    lowest = highest - width + 1
    for natural in range(max(1, lowest), highest + 1):
        yield natural, 0
    for stretch in range(1, side + 1):
        if spot.finger == 1:
            yield highest + stretch, stretch
        if spot.finger == FINGERS and lowest - stretch >= 1:
            yield lowest - stretch, stretch


def _positions(stopped: Sequence[Spot], width: int) -> list[int]:
    """The positions of one of the fingers from which the others stretch least."""
    candidates = sorted(
        {
            max(1, spot.fret - width * (spot.finger - 1) - within)
            for spot in stopped
            for within in range(width)
        }
    )
    stretched = [sum(_stretched(spot, position, width) for spot in stopped) for position in candidates]
    return [position for position, total in zip(candidates, stretched) if total == min(stretched)]


def _stretched(spot: Spot, position: int, width: int) -> int:
    """By how many frets a finger is stretched out of its place: the first down the neck, the others up."""
    off = spot.fret - (position + width * (spot.finger - 1))
    return max(0, -off) if spot.finger == 1 else max(0, off - width + 1)


def _drawn_in(spot: Spot, position: int, width: int) -> int:
    """By how many frets a finger is drawn in towards the others: the first up the neck, the others down.

    Where two frets lie under a finger the frets are narrow, and none needs to be (house rule).
    """
    if width > 1:
        return 0
    off = spot.fret - (position + width * (spot.finger - 1))
    return max(0, off - width + 1) if spot.finger == 1 else max(0, -off)


def _barres(stopped: Sequence[Spot]) -> tuple[tuple[int, int], ...]:
    counts: dict[int, int] = {}
    for spot in stopped:
        counts[spot.finger] = counts.get(spot.finger, 0) + 1
    return tuple((finger, count) for finger, count in sorted(counts.items()) if count > 1)


def least_reach(notes: Sequence[NoteChoice], neck: Neck) -> tuple[int, int]:
    """The outer stopped frets of the assignment with the least reach; (0, 0) when none is stopped."""
    spans = []
    for places in _assignments(notes):
        frets = [fret for _, fret in places if fret] or [0]
        spans.append((min(frets), max(frets)))
    return min(spans, key=lambda span: neck.reach(*span), default=(0, 0))
