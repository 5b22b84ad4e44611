"""Which clefs a part stands in: those of its author, else one by its range."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import inf
from typing import NamedTuple

from engrave.layout.octave_lines import OctaveShifts, find_octave_shifts
from engrave.score.spans import resolve_spans
from engrave.score.structure import ClefAt, Part
from engrave.theory.clef import Clef, ledger_positions

_OTHERS = {Clef.OCTAVE_TREBLE: Clef.OCTAVE_BASS, Clef.BASS: Clef.TREBLE}
"""The clef that music lies in that is too low or too high for its own; all of them are read an octave above sound (fact: guitars and basses are, and basses without an 8)."""
_NO_OCTAVES = OctaveShifts()


class Range(NamedTuple):
    """What one measure has: its heads by letters above C0 as written, and whether a tie comes in from before."""

    places: Mapping[int, int]
    is_held: bool = False


def decide_clefs(own: Clef, measures: Sequence[Range], most: int, change: float) -> list[Clef]:
    """The clef of each measure of a part by its range, where the author has named none.

    It is the instrument's `own` unless heads need more than `most` ledger lines; then the one of two in which they need
    fewer, counted in squares, so that one head far out weighs more than a few a little beyond. Another clef for a
    stretch must spare more than `change`, and never comes under a tie. Low guitars go to the bass clef with its 8 below, an
    octave above sound as basses are written: so a guitar and a bass that play the same notes look the same, and no
    reader has to learn a second octave (common practice has no one answer, house rule; Gould, from memory: another clef
    rather than many ledger lines).
    """
    other = _OTHERS.get(own)
    if other is None:
        return [own] * len(measures)
    totals = [0.0, 0.0]
    ways: list[tuple[bool, bool]] = []
    for index, measure in enumerate(measures):
        step = inf if measure.is_held else change if index else 0.0
        turns = (totals[1] + step < totals[0], totals[0] + step < totals[1])
        before = [totals[1] + step if turns[0] else totals[0], totals[0] + step if turns[1] else totals[1]]
        costs = (_lines_beyond(measure.places, clef, most) for clef in (own, other))
        totals = [total + cost for total, cost in zip(before, costs, strict=True)]
        ways.append(turns)
    now = int(totals[1] < totals[0])
    found = []
    for turns in reversed(ways):
        found.append((own, other)[now])
        now = 1 - now if turns[now] else now
    return found[::-1]


def _lines_beyond(places: Mapping[int, int], clef: Clef, most: int) -> int:
    """Ledger lines beyond the first `most` of each head, squared, all heads together."""
    return sum(
        count * max(0, len(ledger_positions(place - clef.bottom_line)) - most) ** 2
        for place, count in places.items()
    )


class PartClefs(NamedTuple):
    """The clefs of a part: `first`, and for each measure the one that holds when it starts, nothing where none changes.

    `inside` has the changes after the start of a measure, by its index.
    """

    first: Clef
    starts: tuple[Clef, ...] = ()
    inside: Mapping[int, tuple[ClefAt, ...]] = {}

    def at_start(self, index: int) -> Clef:
        """The clef when measure `index` starts."""
        return self.starts[index] if self.starts else self.first

    def at(self, index: int, onset: Fraction) -> Clef:
        """The clef of what starts at `onset` in measure `index`."""
        clef = self.at_start(index)
        for change in self.inside.get(index, ()):
            if change.onset <= onset:
                clef = change.clef
        return clef

    def change_before(self, index: int) -> Clef | None:
        """The clef that stands before the barline at the start of measure `index`, where it changes there."""
        if not self.starts or not 0 < index < len(self.starts):
            return None
        before = self.inside.get(index - 1)
        clef = self.starts[index]
        return clef if clef is not (before[-1].clef if before else self.starts[index - 1]) else None


def clefs_of_part(part: Part, lengths: Sequence[Fraction], most: int, change: float) -> PartClefs:
    """The clefs of `part` over measures of `lengths` whole notes, with at most so many ledger lines where that can be.

    Where the author has written clefs, no other is chosen. `change` is as in `decide_clefs`.
    """
    instrument = part.instrument
    if any(content.clefs for content in part.measures):
        return _written_clefs(part)
    if not instrument.clef_by_range or instrument.octave != 1 or not _passes(part, most):
        return PartClefs(instrument.clef)
    clefs = decide_clefs(instrument.clef, _ranges(part, lengths), most, change)
    return PartClefs(clefs[0], tuple(clefs) if len(set(clefs)) > 1 else ())


def _passes(part: Part, most: int) -> bool:
    """True when any head of a part, octave lines left aside, needs more than `most` ledger lines in its own clef."""
    bottom = part.instrument.clef.bottom_line
    places = {
        note.pitch.diatonic
        for content in part.measures
        for voice in content.voices
        for event in voice.events
        for note in event.notes
    }
    return any(len(ledger_positions(place - bottom)) > most for place in places)


def _written_clefs(part: Part) -> PartClefs:
    starts: list[Clef] = []
    inside: dict[int, tuple[ClefAt, ...]] = {}
    clef = part.instrument.clef
    for index, content in enumerate(part.measures):
        at_start = [change.clef for change in content.clefs if not change.onset]
        clef = at_start[-1] if at_start else clef
        starts.append(clef)
        for change in content.clefs:
            if change.onset and change.clef is not clef:
                inside[index] = (*inside.get(index, ()), change)
                clef = change.clef
    return PartClefs(starts[0], tuple(starts), inside)


def _ranges(part: Part, lengths: Sequence[Fraction]) -> list[Range]:
    """Where the heads of each measure stand, octave lines taken into account."""
    octaves = find_octave_shifts(
        resolve_spans(lengths, [content.spans for content in part.measures]), lengths
    )
    ranges = []
    for index, content in enumerate(part.measures):
        shifts = octaves.get(index, _NO_OCTAVES)
        events = [event for voice in content.voices for event in voice.events]
        places = Counter(
            note.pitch.diatonic + shifts.at(event.onset)
            for event in events
            for note in event.notes
            if not note.is_slash
        )
        held = any(note.tie_from for event in events if not event.onset for note in event.notes)
        ranges.append(Range(places, held))
    return ranges
