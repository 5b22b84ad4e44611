"""Rows of counting, as 1 & 2 & 3 e & a: where the notes stand in them, though the row is typed a column or two off."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

_COUNT = re.compile(r"\d{1,2}|[&+ean]")
_PARTS = {
    "e": Fraction(1, 4),
    "&": Fraction(1, 2),
    "+": Fraction(1, 2),
    "n": Fraction(1, 2),
    "a": Fraction(3, 4),
}
"""Where the syllables of counting stand in a beat (common practice, no source)."""
_MOST_COUNTS = 15
_SHIFTS = (0, -1, 1, -2, 2)
"""Columns by which a row may be typed too far to the right or left, the likely ones first (house rule)."""
_SHIFT_COST = Fraction(1, 2)
_BETWEEN = {1: Fraction(3, 5), 2: Fraction(3, 5), 4: Fraction(6, 5), 8: Fraction(5, 2)}
"""What a note between two counts costs, in columns, by the lower number of its beat (house rule)."""
_RARE = Fraction(5)
_OFF_BEAT = Fraction(1, 10)
"""What a note at a count between two beats costs, so that of two ways that fit as well notes stand on the beats."""
_EARLY = 1
"""Columns by which a note may stand before the first count."""
_MISFIT = Fraction(8)
"""What a measure costs that does not fit its counts at all."""


class Count(NamedTuple):
    """A syllable of a counting row: column of the text, and where it stands in beats from 0."""

    column: int
    beat: Fraction


class Counted(NamedTuple):
    """The beats from 0 of notes under a row of counting, and how badly they fit it."""

    beats: tuple[Fraction, ...]
    cost: Fraction


def read_counts(text: str) -> tuple[Count, ...]:
    """The syllables of a counting row; none when the numbers do not count on from 1."""
    counts: list[Count] = []
    number = 0
    for match in _COUNT.finditer(text):
        word = match.group(0)
        if word.isdigit():
            if int(word) not in (1, number + 1) or int(word) > _MOST_COUNTS:
                return ()
            number = int(word)
            counts.append(Count(match.start(), Fraction(number - 1)))
        elif number == 0:
            return ()
        else:
            counts.append(Count(match.start(), number - 1 + _PARTS[word]))
    numbers = [count for count in counts if count.beat.denominator == 1]
    repeats = len(numbers) > 1 and all(count.beat == 0 for count in numbers)
    return () if len(counts) < 2 or repeats else tuple(counts)


def restarts(counts: Sequence[Count]) -> list[int]:
    """The columns where the count starts anew, but for the first."""
    return [after.column for before, after in pairwise(counts) if after.beat <= before.beat]


def count_notes(counts: Sequence[Count], columns: Sequence[int]) -> Counted | None:
    """The beats of notes at `columns` of the text: at a count, or halves and quarters of the way to the next.

    None when there are too few counts, when a note stands before them all, or when two notes come together.
    """
    if len(counts) < 2 or restarts(counts):
        return None
    after = Count(2 * counts[-1].column - counts[-2].column, 2 * counts[-1].beat - counts[-2].beat)
    marks = [*counts, after]
    ways: list[tuple[Fraction, tuple[Fraction, ...]]] = [(Fraction(0), ())]
    for column in columns:
        choices = _choices(marks, column)
        found = []
        for beat, cost in choices:
            earlier = [way for way in ways if not way[1] or way[1][-1] < beat]
            if earlier:
                best = min(earlier)
                found.append((best[0] + cost, (*best[1], beat)))
        ways = found
    return Counted(min(ways)[1], min(ways)[0]) if ways else None


def _choices(marks: Sequence[Count], column: int) -> list[tuple[Fraction, Fraction]]:
    """Beats that a note at a column may have, each with its cost."""
    if marks[0].column - column > _EARLY:
        return []
    index = max(0, min(bisect_right(marks, column, key=lambda mark: mark.column), len(marks) - 1) - 1)
    low, high = marks[index], marks[index + 1]
    gap = high.column - low.column
    choices = []
    for quarters in range(5):
        last = index + 2 == len(marks) and quarters == 4
        if (quarters == 2 and gap < 2) or (quarters % 2 and gap < 4) or last:
            continue
        share = Fraction(quarters, 4)
        beat = low.beat + share * (high.beat - low.beat)
        at_count = _OFF_BEAT * (beat.denominator > 1)
        cost = _BETWEEN.get(beat.denominator, _RARE) if quarters % 4 else at_count
        choices.append((beat, cost + abs(column - low.column - share * gap)))
    return choices


def best_shifts(rows: Sequence[tuple[Sequence[Count], Sequence[int]]]) -> list[int]:
    """By how many columns the counts over each measure must go to the right to fit its notes best.

    `rows` are the counts and the columns of the notes of each. A row is as a rule typed off as a whole: a measure goes with
    the others unless its own notes fit much better otherwise.
    """
    costs = [{shift: _shifted_cost(counts, columns, shift) for shift in _SHIFTS} for counts, columns in rows]
    usual = min(_SHIFTS, key=lambda shift: abs(shift) * _SHIFT_COST + sum(cost[shift] for cost in costs))
    return [
        min((usual, *_SHIFTS), key=lambda shift: abs(shift - usual) * _SHIFT_COST + cost[shift])
        for cost in costs
    ]


def _shifted_cost(counts: Sequence[Count], columns: Sequence[int], shift: int) -> Fraction:
    found = count_notes(counts, [column - shift for column in columns])
    return _MISFIT if found is None else min(found.cost, _MISFIT)
