"""Notes that overlap with different ends come apart into an upper and a lower voice.

At every onset the lowest notes, none or all may go to the lower voice. What a row of such choices costs, in quarters and
what is held for as bad: sound that is cut because its voice goes on, notes of one chord with different ends, voices that cross,
leaps, and a second voice at all. For each choice at an onset the cheapest row that leads there is kept: time and memory grow
with the number of onsets. The weights are [house].
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.exchange.midi.collect import UNITS

_QUARTER = UNITS // 4
OVERLAP = _QUARTER / 6
"""192nds by which a note may sound on under the next without being a voice of its own: players let go late (house rule)."""
_LONGEST = 4.0
"""Quarters of lost sound that count, at most."""
_LOWER, _ALONE = 0.35, 0.15
"""What a chord of the lower voice costs, and more where the upper voice has none beside it."""
_CROSSING = 1.5
_MOST_PARTED = 12
"""Larger chords stay together (safety limit)."""
_LEAP = 0.02
"""A semitone of a voice from chord to chord."""


class Sounding(NamedTuple):
    """A note that starts at a place of the grid and is let go at `stop`, both in 192nds."""

    pitch: int
    stop: float


class Group(NamedTuple):
    """The notes that start together, the lowest first."""

    start: int
    notes: tuple[Sounding, ...]


class _Line(NamedTuple):
    """Where a voice is: its last chord's end and the pitch at its outer edge; the end is 0 before the first."""

    stop: float = 0.0
    pitch: int = 0
    inner: int = 0


class _Row(NamedTuple):
    """A row of choices: its cost, both voices, the last choice, and the row before (an index) from which it comes."""

    cost: float
    upper: _Line
    lower: _Line
    lowest: int
    before: int


def has_overlaps(groups: Sequence[Group]) -> bool:
    """True where notes sound on under later ones, or let go at different times, so that one voice cannot tell their values."""
    sounding = 0.0
    for group in groups:
        if sounding > group.start + OVERLAP or _spread(group.notes) > OVERLAP:
            return True
        sounding = max(sounding, *(note.stop for note in group.notes))
    return False


def part_voices(groups: Sequence[Group]) -> list[int]:
    """For each group, how many of its lowest notes belong to the lower voice."""
    layers: list[list[_Row]] = [[_Row(0.0, _Line(), _Line(), 0, -1)]]
    for group in groups:
        layers.append(
            [
                min(
                    (_extend(row, index, group, count) for index, row in enumerate(layers[-1])),
                    key=lambda row: row.cost,
                )
                for count in _counts(len(group.notes))
            ]
        )
    counts: list[int] = []
    choice = min(range(len(layers[-1])), key=lambda index: layers[-1][index].cost)
    for layer in reversed(layers[1:]):
        counts.append(layer[choice].lowest)
        choice = layer[choice].before
    return counts[::-1]


def _counts(notes: int) -> Sequence[int]:
    """How many of so many notes may go to the lower voice."""
    return range(notes + 1) if notes <= _MOST_PARTED else (0, notes)


def _extend(row: _Row, index: int, group: Group, count: int) -> _Row:
    """The row with the lowest `count` notes of the next group in the lower voice."""
    low, high = group.notes[:count], group.notes[count:]
    cost = row.cost
    upper, lower = row.upper, row.lower
    if high:
        cost += _join(upper, group.start, high, high[-1].pitch)
        upper = _Line(max(note.stop for note in high), high[-1].pitch, high[0].pitch)
    if low:
        cost += _LOWER + (0.0 if high else _ALONE) + _join(lower, group.start, low, low[0].pitch)
        lower = _Line(max(note.stop for note in low), low[0].pitch, low[-1].pitch)
    if min(upper.stop, lower.stop) > group.start and lower.inner >= upper.inner:
        cost += _CROSSING
    return _Row(cost, upper, lower, count, index)


def _join(line: _Line, start: int, notes: Sequence[Sounding], pitch: int) -> float:
    """What it costs that a voice goes on with `notes`."""
    cut = line.stop - start
    lost = min(_LONGEST, cut / _QUARTER) if cut > OVERLAP else 0.0
    spread = _spread(notes)
    uneven = min(_LONGEST, spread / _QUARTER) if spread > OVERLAP else 0.0
    return lost + uneven + (_LEAP * abs(pitch - line.pitch) if line.stop else 0.0)


def _spread(notes: Sequence[Sounding]) -> float:
    return max(note.stop for note in notes) - min(note.stop for note in notes)
