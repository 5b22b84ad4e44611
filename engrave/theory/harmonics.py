"""Harmonics of a string: nodes, partials and the pitch that sounds."""

from __future__ import annotations

from math import log2

from engrave.theory.pitch import Pitch

_HIGHEST_PARTIAL = 10
_TOLERANCE = 0.36
"""How far (in frets) the named fret may lie from the true node; fret 4 stands for 3.86, fret 9 for 8.84."""


def node_fret(partial: int, number: int) -> float:
    """Where node `number` of `partial` lies, as a fret number: -12 log2(1 - number/partial)."""
    return -12 * log2(1 - number / partial)


def partial_semitones(partial: int) -> float:
    """How far `partial` sounds above the open string, in semitones of equal temperament."""
    return 12 * log2(partial)


def partial_at(fret: float) -> int:
    """The lowest partial with a node at `fret`. Raises ValueError when none up to the tenth has one."""
    for partial in range(2, _HIGHEST_PARTIAL + 1):
        if any(abs(node_fret(partial, number) - fret) <= _TOLERANCE for number in range(1, partial)):
            return partial
    raise ValueError(f"no harmonic up to the tenth partial has a node at fret {fret:g}")


def natural_harmonic(open_midi: int, fret: float) -> int:
    """The MIDI number that sounds when the open string is touched at `fret`. Raises ValueError without a node there."""
    return open_midi + round(partial_semitones(partial_at(fret)))


def artificial_harmonic(open_midi: int, stopped: int, touched: float) -> int:
    """The MIDI number that sounds when the string stopped at `stopped` is touched at `touched`."""
    return natural_harmonic(open_midi + stopped, touched - stopped)


_INTERVALS = {
    2: (7, 12),
    3: (11, 19),
    4: (14, 24),
    5: (16, 28),
    6: (18, 31),
    7: (20, 34),
    8: (21, 36),
    9: (22, 38),
    10: (23, 40),
}
"""Each partial above the open string, as letters and semitones of the nearest tempered pitch."""
_TOUCHED_LETTERS = {0: 0, 1: 1, 2: 1, 3: 2, 4: 2, 5: 3, 6: 4, 7: 4, 8: 5, 9: 5, 10: 6, 11: 6}
"""Letters from the stopped pitch to the touched one, by semitones within the octave."""


def transpose(pitch: Pitch, letters: int, semitones: int) -> Pitch:
    """`pitch` moved up by an interval of so many letters and semitones, simplified where it needs three signs."""
    octave, step = divmod(pitch.step + letters, 7)
    moved = Pitch(step, 0, pitch.octave + octave)
    alter = pitch.midi + semitones - moved.midi
    if abs(alter) > 1:
        step_up = 1 if alter > 0 else -1
        return transpose(pitch, letters + step_up, semitones)
    return moved._replace(alter=alter)


def harmonic_pitch(base: Pitch, fret: float) -> Pitch:
    """The spelled pitch that sounds when a string of pitch `base` is touched `fret` frets above where it is stopped.

    Raises ValueError where no harmonic up to the tenth lies there.
    """
    return transpose(base, *_INTERVALS[partial_at(fret)])


def touched_pitch(base: Pitch, frets: int) -> Pitch:
    """The spelled pitch `frets` above `base`, where the finger touches for an artificial harmonic."""
    octaves, rest = divmod(frets, 12)
    return transpose(base, 7 * octaves + _TOUCHED_LETTERS[rest], frets)
