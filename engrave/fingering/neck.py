"""The neck in millimetres: where frets lie, and how far apart strings are."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from engrave.fingering.hand import Hand
from engrave.theory.instrument import Instrument

_OCTAVE, _FIFTH = 12, 7


class Neck(NamedTuple):
    """One instrument as the left hand meets it.

    `open_midi`: the open strings as fingered (without the capo), string 1 first. `distances[n]` is the way in
    millimetres from the nut to the fret that is called n, counted from the capo. `first_frets`: per string, where
    a short one starts.
    """

    open_midi: tuple[int, ...]
    distances: tuple[float, ...]
    first_frets: tuple[int, ...] = ()
    width: int = 1
    """How many frets lie under one finger: two where a short neck has its strings in fifths."""
    out_of_order: frozenset[int] = frozenset()
    """Strings that sound higher than a thinner one, short ones aside: for chords, not for tunes."""

    @property
    def frets(self) -> int:
        """The highest fret, counted from the capo."""
        return len(self.distances) - 1

    def reach(self, low: int, high: int) -> float:
        """Millimetres along the neck between two frets."""
        return abs(self.distances[high] - self.distances[low])

    def places(self, midi: int, highest: int = 99) -> tuple[tuple[int, int], ...]:
        """Every (string, fret) for a fingered pitch, thinnest string first, up to fret `highest`."""
        found = []
        for index, pitch in enumerate(self.open_midi):
            fret = midi - pitch
            short = self.first_frets[index] if self.first_frets else 0
            if 0 <= fret <= min(self.frets - short, highest):
                found.append((index + 1, fret))
        return tuple(found)


def build_neck(instrument: Instrument, hand: Hand) -> Neck:
    """The neck of an instrument, as long as the hand is used to where the instrument does not say.

    Frets lie where twelve-tone equal temperament puts them: L (1 - 2^(-n/12)) from the nut.
    """
    length = instrument.scale_length or hand.neck.usual_scale
    distances = tuple(
        length * (1 - 2 ** (-(fret + instrument.capo) / _OCTAVE))
        for fret in range(instrument.usable_frets + 1)
    )
    open_midi = tuple(pitch.midi for pitch in instrument.tuning)
    short = instrument.first_frets or (0,) * len(open_midi)
    in_fifths = all(high - low == _FIFTH for high, low in pairwise(open_midi))
    return Neck(
        open_midi,
        distances,
        instrument.first_frets,
        width=2 if in_fifths and length <= hand.neck.fifths_scale else 1,
        out_of_order=frozenset(
            index + 1
            for index in range(1, len(open_midi))
            if open_midi[index] > open_midi[index - 1] and not short[index]
        ),
    )
