"""Stretches that a page asks for, in millimetres along the neck, against what a hand can do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.fingering.grips import Note, find_grips
from engrave.fingering.hand import Hand
from engrave.fingering.moments import Moment, find_moments
from engrave.fingering.neck import Neck, build_neck
from engrave.fingering.reasons import Reason, explain
from engrave.score.structure import Part, Score

CAUTION = (
    "stop when a stretch strains, rest, and ask a teacher or a clinician; hands differ, and your own hand comes "
    "before these numbers"
)
"""Said once wherever stretches are spoken of."""


class WideReach(NamedTuple):
    """A stretch beyond what is comfortable, at its first moment; `times` it occurs in the part.

    `reason` is set when the hand cannot play it at all.
    """

    moment: Moment
    low: int
    high: int
    millimetres: float
    times: int
    reason: Reason | None


def find_wide(score: Score, part: Part, hand: Hand) -> list[WideReach]:
    """Every different stretch of `part`, as its strings and frets stand, that is uncomfortable or impossible for `hand`."""
    neck = build_neck(part.instrument)
    found: dict[tuple[Note, ...], WideReach | None] = {}
    for moment in find_moments(score, part, neck):
        notes = tuple(Note(want.places[:1], want.finger) for want in moment.wants if want.places)
        if notes in found:
            wide = found[notes]
            found[notes] = wide and wide._replace(times=wide.times + 1)
        else:
            found[notes] = _measure(moment, notes, part, neck, hand)
    return [wide for wide in found.values() if wide is not None]


def _measure(moment: Moment, notes: Sequence[Note], part: Part, neck: Neck, hand: Hand) -> WideReach | None:
    frets = [note.places[0][1] for note in notes if note.places[0][1]]
    low, high = min(frets, default=0), max(frets, default=0)
    reach = neck.reach(low, high)
    playable = bool(find_grips(notes, neck, hand))
    if playable and reach <= hand.reach.comfortable:
        return None
    reason = None if playable else explain(moment.wants, part.instrument, hand)
    return WideReach(moment, low, high, reach, 1, reason)
