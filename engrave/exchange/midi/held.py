"""How long a played note is meant to last: most players let go a little early."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from engrave.exchange.midi.collect import UNITS
from engrave.theory.duration import DENOMINATORS

HELD = 0.8
"""A note that is held for this share of a value, or of the time to the next note, has it (house rule; legato is about 0.92)."""
_EXACT, _EXACT_SHARE = 0.5, 0.5
"""192nds by which an end on the grid is missed, and the share of ends that stand there when they are meant (house rule)."""
_VALUES = sorted(
    int(length)
    for denominator in DENOMINATORS
    for dots in (0, 1)
    if (length := Fraction(UNITS, denominator) * (2 - Fraction(1, 2**dots))).denominator == 1
)
"""Plain and dotted values in 192nds."""


def are_exact(stops: Sequence[float], snapped: Sequence[int]) -> bool:
    """True where ends stand on the grid so often that all those there are meant: a machine wrote them."""
    near = sum(abs(stop - place) <= _EXACT for stop, place in zip(stops, snapped, strict=True))
    return near >= _EXACT_SHARE * len(stops)


def decide_stop(start: int, stop: float, snapped: int, following: int | None, is_exact: bool) -> int:
    """Where a note ends that is let go at `stop`, the nearest place being `snapped`; `following`: where its voice goes on."""
    if is_exact and abs(stop - snapped) <= _EXACT:
        return snapped
    held = stop - start
    if following is not None and held >= HELD * (following - start):
        return following
    room = following - start if following is not None else _VALUES[-1]
    value = next((value for value in _VALUES if held <= value <= room and held >= HELD * value), 0)
    return start + value if value else snapped
