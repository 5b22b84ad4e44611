"""Counting aloud: the syllables a teacher writes under a measure, "1 e & a 2 & 3"."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from engrave.theory.metre import Metre

_HALVED_ONLY_FROM = 8
"""From this lower number on the counted unit is only halved: it is itself a part of a felt beat, and "e" and "a" in
it would pass faster than they can be said (house rule)."""

_START = Fraction(0)


class CountingWords(NamedTuple):
    """What is said between the numbers; an empty word leaves its place uncounted."""

    half: str
    quarter: str
    last_quarter: str
    second_third: str
    last_third: str

    def at(self, part: Fraction, halved_only: bool = False) -> str:
        """The word at `part` of a counted unit (0 < part < 1), "" where nothing is said."""
        if part == Fraction(1, 2):
            return self.half
        if halved_only:
            return ""
        return {
            Fraction(1, 4): self.quarter,
            Fraction(3, 4): self.last_quarter,
            Fraction(1, 3): self.second_third,
            Fraction(2, 3): self.last_third,
        }.get(part, "")


def count_syllables(
    metre: Metre,
    onsets: Sequence[Fraction],
    offset: Fraction = _START,
    *,
    words: CountingWords,
    all_beats: bool = False,
    length: Fraction | None = None,
) -> list[tuple[Fraction, str]]:
    """What is counted at each of `onsets`: (moment, syllable) in order of time, moments that are not counted left out.

    All times are in whole notes. `onsets`, and the moments returned, count from the measure's start; `offset` is how
    far into its metre the measure starts (a pickup). The lower number of the metre says what gets a number: quarters
    in 4/4, halves in 2/2, eighths in 6/8, 3/8 and 3+2/8. Quarters and longer are divided into halves, quarters and
    thirds, eighths and shorter into halves only. An onset past the metre's end is counted on (common practice, no
    source).

    With `all_beats` the numbers at which nothing starts are added in parentheses, "(3)", up to `length`, the length
    of the measure; it is what remains of the metre after `offset` unless given.

    Raises ValueError when an onset or the offset lies before the measure or its metre starts.
    """
    if offset < 0 or any(onset < 0 for onset in onsets):
        raise ValueError(
            "what is counted starts no earlier than its measure; onsets and offset are 0 or more"
        )
    syllables = {onset: _syllable(metre, offset + onset, words) for onset in onsets}
    if all_beats:
        for moment in _numbered_moments(metre, offset, metre.length - offset if length is None else length):
            syllables.setdefault(moment, f"({_syllable(metre, offset + moment, words)})")
    return sorted((moment, syllable) for moment, syllable in syllables.items() if syllable)


def _syllable(metre: Metre, position: Fraction, words: CountingWords) -> str:
    """The number or word at `position`, in whole notes from the start of the metre."""
    units = position * metre.unit
    number, part = divmod(units, 1)
    if part == 0:
        return str(number + 1)
    return words.at(part, halved_only=metre.unit >= _HALVED_ONLY_FROM)


def _numbered_moments(metre: Metre, offset: Fraction, length: Fraction) -> list[Fraction]:
    """Where numbers fall in a measure of `length`, in whole notes from its start."""
    first, end = ceil(offset * metre.unit), ceil((offset + length) * metre.unit)
    return [Fraction(count, metre.unit) - offset for count in range(first, end)]
