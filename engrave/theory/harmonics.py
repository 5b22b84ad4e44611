"""Harmonics of a string: nodes, partials and the pitch that sounds."""

from __future__ import annotations

from math import log2

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
