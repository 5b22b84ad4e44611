"""What repeats is held alike: measures that ask the same of the hand get the same strings and fingers.

Common practice, no source: a phrase is learned once. Only a way that is much cheaper otherwise may differ.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence

from engrave.fingering.grips import Spot
from engrave.fingering.moments import Moment
from engrave.fingering.solve import Way

_Spots = tuple[tuple[Spot, ...], ...]


def hold_alike(moments: Sequence[Moment], way: Way, fingers: bool) -> tuple[tuple[Moment, ...], int]:
    """The moments with measures that repeat fixed to one of the ways found for them, and how many measures that changes.

    The way that is found most often is taken, the first of equals. `fingers`: they count, not the places alone.
    """
    repeats: dict[Hashable, list[list[int]]] = {}
    for numbers in _by_measure(moments):
        if len(numbers) > 1 and all(way.steps[number] is not None for number in numbers):
            repeats.setdefault(_asked([moments[number] for number in numbers]), []).append(numbers)
    found = list(moments)
    changed = 0
    for rows in repeats.values():
        ways = [_held(way, numbers) for numbers in rows]
        seen = [_essence(spots, fingers) for spots in ways]
        if len(set(seen)) == 1:
            continue
        common = Counter(seen).most_common(1)[0][0]
        changed += sum(1 for one in seen if one != common)
        spots = ways[seen.index(common)]
        for numbers in rows:
            for number, held in zip(numbers, spots):
                found[number] = _fix(found[number], held)
    return tuple(found), changed


def _by_measure(moments: Sequence[Moment]) -> list[list[int]]:
    rows: dict[int, list[int]] = {}
    for number, moment in enumerate(moments):
        rows.setdefault(moment.measure, []).append(number)
    return list(rows.values())


def _asked(moments: Sequence[Moment]) -> Hashable:
    """What a measure asks of the hand, wherever it stands."""
    return tuple(
        (
            moment.onset,
            moment.seconds if number else 0.0,
            tuple(
                (
                    want.places,
                    want.finger,
                    want.struck,
                    want.bends,
                    want.held_from,
                    want.joined_to,
                    want.home,
                )
                for want in moment.wants
            ),
        )
        for number, moment in enumerate(moments)
    )


def _held(way: Way, numbers: Sequence[int]) -> _Spots:
    return tuple(step.grip.spots for step in (way.steps[number] for number in numbers) if step is not None)


def _essence(spots: _Spots, fingers: bool) -> Hashable:
    return spots if fingers else tuple(tuple(spot[:2] for spot in held) for held in spots)


def _fix(moment: Moment, spots: Sequence[Spot]) -> Moment:
    wants = tuple(
        want._replace(places=((string, fret),), finger=finger)
        for want, (string, fret, finger) in zip(moment.wants, spots, strict=True)
    )
    return moment._replace(wants=wants)
