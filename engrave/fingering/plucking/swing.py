"""Where the hand of a pick swings down and where up: down on the beat, up between, at the shortest value of each beat.

Common practice, no source; the rule of flatpicking and rhythm guitar methods, from memory. In beats of three each begins down.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from fractions import Fraction

from engrave.theory.metre import Metre

_QUARTER = Fraction(1, 4)
_FINEST = 64
"""The shortest value that is counted (fact: the language has none shorter)."""


class Swing(Enum):
    """What the beat asks of a stroke."""

    BEAT = "beat"
    """Down, on a felt beat."""
    TRIPLET_BEAT = "triplet beat"
    """Down, on a beat of triplets within the measure."""
    DOWN = "down"
    UP = "up"
    FREE = "free"
    """Nothing, between the beats of triplets: strokes alternate on."""


def decide_swings(onsets: Iterable[Fraction], metre: Metre) -> dict[Fraction, Swing]:
    """For each onset of a measure (in whole notes from its beginning, what a pickup leaves out counted in) what the beat asks."""
    starts = _beats(metre)
    found: dict[Fraction, Swing] = {}
    rows: dict[int, list[Fraction]] = {}
    for onset in sorted(set(onsets)):
        beat = max((n for n, start in enumerate(starts) if start <= onset), default=0)
        rows.setdefault(beat, []).append(onset)
    ends = [*starts[1:], max(metre.length, starts[-1] + _QUARTER)]
    for beat, row in rows.items():
        found.update(_decide_beat(starts[beat], ends[beat] - starts[beat], row))
    return found


def _beats(metre: Metre) -> list[Fraction]:
    """The beats; those of a half note or more are counted in quarters."""
    beats = list(metre.beats)
    starts: list[Fraction] = []
    for start, end in zip(beats, [*beats[1:], metre.length], strict=True):
        length = end - start
        pieces = int(length / _QUARTER) if length > _QUARTER and length % _QUARTER == 0 else 1
        starts.extend(start + length / pieces * piece for piece in range(pieces))
    return starts


def _decide_beat(start: Fraction, length: Fraction, row: list[Fraction]) -> dict[Fraction, Swing]:
    """The strokes of one beat: of three values where it has three, else of halves of halves."""
    offsets = [onset - start for onset in row]
    three = length.numerator % 3 == 0
    unit = length / 3 if three else length
    ternary = not three and any((offset / unit).denominator % 3 == 0 for offset in offsets)
    if ternary:
        unit = length / 3
    while any(offset % unit for offset in offsets) and unit.denominator < _FINEST:
        unit /= 2
    first = Swing.TRIPLET_BEAT if ternary and start else Swing.BEAT
    return {
        onset: first if not offset else Swing.FREE if ternary else _swing(int(offset / unit))
        for onset, offset in zip(row, offsets, strict=True)
    }


def _swing(number: int) -> Swing:
    return Swing.UP if number % 2 else Swing.DOWN
