"""Trills, mordents, turns and tremolos as the notes that are played for them.

What each sign stands for: MusicXML 4.0, ornaments (a mordent, with a vertical line, goes to the lower note, an
inverted one to the upper; a turn begins above, an inverted one below). How many notes in which time is common practice,
no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import log
from typing import NamedTuple

from engrave.score.sign_list import TREMOLO_STROKES, SignName
from engrave.theory.key import Key
from engrave.theory.pitch import Pitch

TREMOLO_VALUES = {sign: Fraction(1, 4 << strokes) for sign, strokes in TREMOLO_STROKES.items()}
"""The value of a stroke of a measured tremolo."""
_TURNS = {
    SignName.TURN: 1,
    SignName.INVERTED_TURN: -1,
    SignName.DELAYED_TURN: 1,
    SignName.DELAYED_INVERTED_TURN: -1,
}
_VALUES = (
    Fraction(1, 8),
    Fraction(1, 16),
    Fraction(1, 24),
    Fraction(1, 32),
    Fraction(1, 48),
    Fraction(1, 64),
)
"""The note values that quick notes may have: those that a beat can hold evenly."""
ORNAMENTS = (SignName.TRILL, SignName.MORDENT, SignName.INVERTED_MORDENT, *_TURNS)
TREMOLOS = (SignName.TREMOLO, *TREMOLO_STROKES)


class Figure(NamedTuple):
    """One note of an ornament: when after the beginning, how long, how many semitones above the main note."""

    start: Fraction
    length: Fraction
    above: int


def quick_value(quarters: float, notes_a_second: float) -> Fraction:
    """The note value that comes nearest to so many notes a second at a tempo in quarters a minute."""
    return min(_VALUES, key=lambda value: abs(log(quarters / 240 / float(value) / notes_a_second)))


def neighbour(pitch: Pitch, key: Key, way: int) -> int:
    """Semitones to the next note of the key above (`way` 1) or below (-1)."""
    octave, step = divmod(pitch.diatonic + way, 7)
    interval = Pitch(step, key.alters[step], octave).midi - pitch.midi
    # Beside an altered note the key may have nothing new, or leave a gap: then a half or a whole step.
    return way * min(2, max(1, interval * way))


def strike(length: Fraction, value: Fraction) -> list[Figure]:
    """The strokes of a tremolo: as many of `value` as go into `length`, evenly."""
    return _evenly(length, max(1, round(length / value)), (0,))


def decide_figures(name: SignName, length: Fraction, value: Fraction, above: int, below: int) -> list[Figure]:
    """The notes of the ornament `name` over a note of `length`; quick ones have `value`, or less on short notes.

    A trill begins and ends on its main note, which is twice as long at the end where the count asks for it.
    """
    if name == SignName.TRILL:
        trill = _evenly(length, max(4, round(length / value)), (0, above))
        if len(trill) % 2 == 0:
            trill[-2:] = [trill[-2]._replace(length=2 * trill[-2].length)]
        return trill
    if name in _TURNS:
        first, last = (above, below) if _TURNS[name] > 0 else (below, above)
        if name.startswith("delayed"):
            each = min(value, length / 8)
            return _run(length, [(length - 4 * each, 0), (each, first), (each, 0), (each, last)])
        return _run(length, [(min(value, length / 4), by) for by in (first, 0, last)])
    by = below if name == SignName.MORDENT else above
    return _run(length, [(min(value, length / 4), step) for step in (0, by)])


def _evenly(length: Fraction, count: int, steps: Sequence[int]) -> list[Figure]:
    each = length / count
    return [Figure(each * number, each, steps[number % len(steps)]) for number in range(count)]


def _run(length: Fraction, quick: Sequence[tuple[Fraction, int]]) -> list[Figure]:
    """Notes one after the other, then the main note for what is left."""
    found, now = list[Figure](), Fraction(0)
    for lasts, by in quick:
        found.append(Figure(now, lasts, by))
        now += lasts
    return [*found, Figure(now, length - now, 0)]
