"""Which clef a part stands in where its author leaves that open."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction

from engrave.layout.octave_lines import OctaveShifts, find_octave_shifts
from engrave.score.sign_list import SignName
from engrave.score.spans import resolve_spans
from engrave.score.structure import Part
from engrave.theory.clef import Clef, ledger_positions

_OTHERS = {Clef.OCTAVE_TREBLE: Clef.OCTAVE_BASS, Clef.BASS: Clef.OCTAVE_TREBLE}
"""The clef that music lies in that is too low or too high for its own; both are read an octave above sound (fact: guitars and basses are)."""
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


def clef_of_part(part: Part, lengths: Sequence[Fraction], most: int) -> Clef:
    """The clef that `part` starts in, over measures of `lengths` whole notes, with at most so many ledger lines where it can."""
    instrument = part.instrument
    if not instrument.clef_by_range or instrument.octave != 1:
        return instrument.clef
    return decide_clef(instrument.clef, _count_places(part, lengths), most)


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
