"""Which clefs a part stands in: those of its author, else one by its range."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.layout.octave_lines import OctaveShifts, find_octave_shifts
from engrave.score.sign_list import SignName
from engrave.score.spans import resolve_spans
from engrave.score.structure import ClefAt, Part
from engrave.theory.clef import Clef, ledger_positions

_OTHERS = {Clef.OCTAVE_TREBLE: Clef.OCTAVE_BASS, Clef.BASS: Clef.TREBLE}
"""The clef that music lies in that is too low or too high for its own; all of them are read an octave above sound (fact: guitars and basses are, and basses without an 8)."""
_NO_OCTAVES = OctaveShifts()


def decide_clef(own: Clef, places: Mapping[int, int], most: int) -> Clef:
    """The clef of a part by its range. `places` counts its heads by letters above C0, as written.

    It is the instrument's `own` unless heads need more than `most` ledger lines; then the one of two that needs fewer
    lines beyond them. Low guitars go to the bass clef with its 8 below, an octave above sound as basses are written: so
    a guitar and a bass that play the same notes look the same, and no reader has to learn a second octave (common
    practice has no one answer, house rule; Gould, from memory: another clef rather than many ledger lines).
    """
    other = _OTHERS.get(own)
    if other is None:
        return own
    lines = {clef: _lines_beyond(places, clef, most) for clef in (own, other)}
    return other if lines[other] < lines[own] else own


def _lines_beyond(places: Mapping[int, int], clef: Clef, most: int) -> int:
    """Ledger lines beyond the first `most` of each head, all heads together."""
    return sum(
        count * max(0, len(ledger_positions(place - clef.bottom_line)) - most)
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


def clefs_of_part(part: Part, lengths: Sequence[Fraction], most: int) -> PartClefs:
    """The clefs of `part` over measures of `lengths` whole notes, with at most so many ledger lines where that can be.

    Where the author has written clefs, no other is chosen.
    """
    instrument = part.instrument
    if any(content.clefs for content in part.measures):
        return _written_clefs(part)
    if not instrument.clef_by_range or instrument.octave != 1:
        return PartClefs(instrument.clef)
    return PartClefs(decide_clef(instrument.clef, _count_places(part, lengths), most))


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


def _count_places(part: Part, lengths: Sequence[Fraction]) -> Counter[int]:
    """How many heads stand where, in letters above C0, octave lines taken into account."""
    octaves = find_octave_shifts(
        resolve_spans(lengths, [content.spans for content in part.measures]), lengths
    )
    places: Counter[int] = Counter()
    for index, content in enumerate(part.measures):
        shifts = octaves.get(index, _NO_OCTAVES)
        for voice in content.voices:
            for event in voice.events:
                shift = shifts.at(event.onset) if shifts.stretches else 0
                places.update(
                    [
                        note.pitch.diatonic + shift
                        for note in event.notes
                        if not (note.techniques and note.has(SignName.SLASH))
                    ]
                )
    return places
