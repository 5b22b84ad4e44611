"""Eighths that are played long and short: found by where the notes between two beats stand, and made even.

A beat counts as long and short where something starts at about two thirds of it and nothing else inside it, as even where
something starts at about its middle, as thirds where something starts after one third too. Music is swung where long and short
beats are many and the others few: so triplets stay triplets, and a dotted eighth with its sixteenth stays what it is.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

from engrave.exchange.midi.collect import UNITS, MidiMeasure, RawNote
from engrave.theory.swing import Swing

_QUARTER = UNITS // 4
_INSIDE = 0.12
"""Shares of a beat so near to it are the beat's own (house rule)."""
_SHORT_FROM, _SHORT_TO = 0.57, 0.72
"""Where the short note may start, as a share of the beat: about two thirds (house rule)."""
_MEAN_FROM, _MEAN_TO = 0.61, 0.70
"""Where short notes start on average (house rule)."""
_LEAST = 4
"""Long and short beats that make a swing, at least (house rule)."""
_OTHERS = 0.2
"""Even beats, and beats in thirds, for each long and short one, at most (house rule)."""


class SwungBeats(NamedTuple):
    """The beats (positions of quarters, in 192nds) that are not divided otherwise, and where short notes start, as a share."""

    beats: frozenset[int]
    short: float

    def even(self, moment: int, scale: int) -> int:
        """A moment in scaled ticks, its beat made even."""
        beat = moment // (_QUARTER * scale) * _QUARTER
        if beat not in self.beats:
            return moment
        share = moment / (_QUARTER * scale) - beat // _QUARTER
        if share <= self.short:
            made = share * 0.5 / self.short
        else:
            made = 0.5 + (share - self.short) * 0.5 / (1 - self.short)
        return round((beat + made * _QUARTER) * scale)


def find_swing(notes: Sequence[RawNote], measures: Sequence[MidiMeasure], scale: int) -> SwungBeats | None:
    """The swung beats of music in these measures; None where it is not swung."""
    if not all(Swing.EIGHTHS.has_pairs_in(measure.metre) for measure in measures):
        return None
    inside: dict[int, list[float]] = defaultdict(list)
    for note in notes:
        beat, share = divmod(note.start / (_QUARTER * scale), 1.0)
        if _INSIDE <= share <= 1 - _INSIDE:
            inside[int(beat) * _QUARTER].append(share)
    short: list[float] = []
    others: set[int] = set()
    even = thirds = 0
    for beat, shares in inside.items():
        late = [share for share in shares if _SHORT_FROM <= share <= _SHORT_TO]
        if len(late) == len(shares):
            short.append(sum(shares) / len(shares))
            continue
        others.add(beat)
        thirds += bool(late)
        even += any(1 - _SHORT_FROM < share < _SHORT_FROM for share in shares)
    mean = sum(short) / len(short) if short else 0.0
    few = len(short) >= _LEAST and max(even, thirds) <= _OTHERS * len(short)
    if not few or not _MEAN_FROM <= mean <= _MEAN_TO:
        return None
    stops = {int(note.stop / (_QUARTER * scale)) * _QUARTER for note in notes}
    starts = {int(note.start / (_QUARTER * scale)) * _QUARTER for note in notes}
    return SwungBeats(frozenset((stops | starts | set(inside)) - others), mean)
