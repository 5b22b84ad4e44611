"""How a shape of a chord sounds: low tones close together, tones doubled that should not be, unisons (common practice, no source)."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.theory.chord_name import ChordName
from engrave.theory.chord_tones import ChordTones, chord_tones
from engrave.theory.pitch import SEMITONES

_OCTAVE, _FIFTH = 12, 7
"""Semitones (fact)."""
_COLOURS = frozenset({1, 2, 5, 9, 10, 11})
"""Semitones over the root of what is no triad's tone: seconds, the fourth, sixths and sevenths (fact)."""
_DIMINISHED = frozenset({3, 6})
"""Semitones over the root of a diminished triad (fact)."""
_VOICES = 4
"""Tones of a seventh chord (fact)."""


def narrowness(pitches: Sequence[int], low: int) -> int:
    """Semitones by which the two lowest tones are nearer than a fifth, where the lowest is under `low`.

    Close together, low tones sound thick: arrangers' low interval limits (from memory).
    """
    sounding = sorted(set(pitches))
    if len(sounding) < 2 or sounding[0] >= low:
        return 0
    return max(0, _FIFTH - (sounding[1] - sounding[0]))


def unisons(pitches: Sequence[int]) -> int:
    """How many strings sound a pitch that another sounds already."""
    return len(pitches) - len(set(pitches))


def times_doubled(pitches: Sequence[int], tones: frozenset[int]) -> int:
    """How often these tones sound again."""
    classes = [pitch % _OCTAVE for pitch in pitches]
    return sum(classes.count(tone) - 1 for tone in tones & set(classes))


def is_diminished(tones: ChordTones) -> bool:
    """True for the four-note chords with a diminished fifth, which are printed with each tone once."""
    return len(tones.all) == _VOICES and _over_root(tones) >= _DIMINISHED


def colours(tones: ChordTones) -> frozenset[int]:
    """The tones that are better not doubled: those beside the triad, of a diminished seventh all."""
    if is_diminished(tones):
        return tones.all
    root = tones.root or 0
    return frozenset((root + tone) % _OCTAVE for tone in _over_root(tones) & _COLOURS)


def _over_root(tones: ChordTones) -> frozenset[int]:
    """The tones in semitones over the root; none where there is no root."""
    if tones.root is None:
        return frozenset()
    return frozenset((tone - tones.root) % _OCTAVE for tone in tones.all)


def foreign_bass(name: ChordName) -> frozenset[int]:
    """The bass that a slash names, where the chord over it does not have it."""
    if name.bass is None:
        return frozenset()
    bass = (SEMITONES[name.bass[0]] + name.bass[1]) % _OCTAVE
    return frozenset({bass}) - chord_tones(name._replace(bass=None)).all
