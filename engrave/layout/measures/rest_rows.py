"""Rests of one of two voices: how far they move to be clear of the other voice."""

from __future__ import annotations

from collections.abc import Callable

from engrave.layout.direction import Direction
from engrave.layout.notes.rests import clearing_shift
from engrave.score.structure import PartMeasure
from engrave.style.sections import NoteStyle

Extent = tuple[float, float]
"""Lowest and highest y of what sounds."""


def shift_of_row(
    part: PartMeasure,
    voice: int,
    index: int,
    side: Direction,
    notes: NoteStyle,
    extent_of: Callable[[int], Extent | None],
) -> int:
    """How far the rests around event `index` of `voice`, with no note between them, move together, in whole spaces.

    `extent_of` tells the ink of an event of the other voice, None for rests. What sounds when a rest starts is in its
    way; what comes later stands further right.
    """
    events, others = part.voices[voice].events, part.voices[1 - voice].events
    first, last = index, index + 1
    while first and not events[first - 1].notes:
        first -= 1
    while last < len(events) and not events[last].notes:
        last += 1
    shifts = [0]
    for rest in events[first:last]:
        for number, other in enumerate(others):
            extent = extent_of(number) if other.onset <= rest.onset < other.onset + other.length else None
            if extent is not None:
                shifts.append(clearing_shift(rest.value.denominator, side, extent, notes))
    return max(shifts)
