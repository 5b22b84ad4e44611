"""Swing as it is heard: the second note of each pair comes late."""

from __future__ import annotations

from fractions import Fraction

from engrave.playing.taste import read_taste
from engrave.score.structure import Event, Measure
from engrave.theory.swing import swung


def heard_span(event: Event, measure: Measure) -> tuple[Fraction, Fraction]:
    """When an event is heard in `measure`, from its start: first moment and end, in whole notes.

    A tuplet longer than half a pair has a rhythm of its own and is not swung.
    """
    onset, stop = event.onset, event.onset + event.length
    if not measure.swing.has_pairs_in(measure.metre):
        return onset, stop
    pair, offset = measure.swing.pair, measure.metre_offset
    if event.tuplets and event.tuplets[0].ratio.length > pair / 2:
        return onset, stop
    first = read_taste().swing
    return swung(onset + offset, pair, first) - offset, swung(stop + offset, pair, first) - offset
