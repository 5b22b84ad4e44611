"""Octave lines: where the notes under them are written an octave or two nearer the staff."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.score.sign_list import SignName
from engrave.score.spans import Span

OCTAVE_LINES = {
    SignName.OCTAVE_HIGHER: -7,
    SignName.OCTAVE_LOWER: 7,
    SignName.TWO_OCTAVES_HIGHER: -14,
    SignName.TWO_OCTAVES_LOWER: 14,
}
"""Octave lines by name, and how many staff positions the notes under them move (fact)."""


class OctaveShifts(NamedTuple):
    """The octave lines over one measure: (from, up to, staff positions)."""

    stretches: tuple[tuple[Fraction, Fraction, int], ...] = ()

    def at(self, onset: Fraction) -> int:
        """How many staff positions a note at `onset` moves."""
        return next((steps for start, stop, steps in self.stretches if start <= onset < stop), 0)


def find_octave_shifts(spans: Sequence[Span], lengths: Sequence[Fraction]) -> dict[int, OctaveShifts]:
    """The octave lines of a part by measure index; measures without one are left out."""
    found: dict[int, list[tuple[Fraction, Fraction, int]]] = {}
    for span in spans:
        steps = OCTAVE_LINES.get(span.sign.name)
        if steps is None:
            continue
        for index in range(span.first, span.last + 1):
            start = span.onset if index == span.first else Fraction(0)
            stop = span.end if index == span.last else lengths[index]
            found.setdefault(index, []).append((start, stop, steps))
    return {index: OctaveShifts(tuple(row)) for index, row in found.items()}
