"""Rows that tell the rhythm: note values as letters or numbers, or counting."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple, TypeVar

from engrave.exchange.text_tab.lines.value_row import NAMED, Sign, Token, is_value_row, read_values
from engrave.exchange.text_tab.reading.cells import Cluster
from engrave.exchange.text_tab.reading.fill import fill
from engrave.exchange.text_tab.reading.measures import TabMeasure
from engrave.exchange.text_tab.reading.voices import (
    REACH,
    Exact,
    match_columns,
    read_one_voice,
    read_two_voices,
)

_Entry = TypeVar("_Entry", Token, "Count", Sign)
_COUNT = re.compile(r"\d{1,2}|[&+ean]")
_COUNT_ROW = re.compile(r"[\d&+ean|.\s\-]+")
_AGREEING = Fraction(3, 5)
"""The share of values that must stand over notes, so that words are not taken for a rhythm (house rule)."""
_OWN_DIGITS = re.compile(r"\d+(?::\d+)?\(|[:=][1-8]+| x\d+|%[24]")
"""Digits of a row of values that are no values."""
_PARTS = {
    "e": Fraction(1, 4),
    "&": Fraction(1, 2),
    "+": Fraction(1, 2),
    "n": Fraction(1, 2),
    "a": Fraction(3, 4),
}
"""Where the syllables of counting stand in a beat (common practice, no source)."""
_MOST_COUNTS = 15


class Count(NamedTuple):
    """A syllable of a counting row: column of the text, and where it stands in beats from 0."""

    column: int
    beat: Fraction


@dataclass(frozen=True, slots=True)
class RhythmRow:
    """A row that tells the rhythm: either values (with words for whole measures) or counts."""

    tokens: tuple[Token, ...] = ()
    counts: tuple[Count, ...] = ()
    signs: tuple[Sign, ...] = ()


def read_rhythm_row(text: str, onsets: Sequence[int]) -> RhythmRow | None:
    """The rhythm row that `text` is, or None. `onsets` are the columns of the notes of its block."""
    if not _COUNT_ROW.fullmatch(text) and not is_value_row(text):
        return None
    counts = _read_counts(text) if _COUNT_ROW.fullmatch(text) else ()
    if counts:
        return RhythmRow(counts=counts) if _agrees([c.column for c in counts], onsets, True) else None
    values = read_values(text)
    if values is None or not (values.tokens or values.signs):
        return None
    if NAMED.match(text) or (values.tokens and _agrees([t.column for t in values.tokens], onsets, False)):
        return RhythmRow(values.tokens, signs=values.signs)
    return None


def second_row(text: str, onsets: Sequence[int]) -> RhythmRow | None:
    """The row of a second voice that `text` is, or None: its values are letters, so that no fingers are taken for it."""
    if any(sign.isdigit() and sign not in "64" for sign in _OWN_DIGITS.sub("", text)):
        return None
    row = read_rhythm_row(text, onsets)
    return row if row is not None and not row.counts else None


def _agrees(columns: Sequence[int], onsets: Sequence[int], counting: bool) -> bool:
    """Whether the row stands over the notes (or, when counting, the notes under the row)."""
    row, under = (onsets, columns) if counting else (columns, onsets)
    if counting and len(columns) > 1:
        last = 2 * columns[-1] - columns[-2] + REACH
        row = [onset for onset in onsets if columns[0] - REACH <= onset <= last]
    near = {column + shift for column in under for shift in range(-REACH, REACH + 1)}
    return bool(row) and sum(column in near for column in row) >= _AGREEING * len(row)


def _read_counts(text: str) -> tuple[Count, ...]:
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


def exact_rhythm(
    rows: tuple[RhythmRow, RhythmRow | None],
    measure: TabMeasure,
    clusters: Sequence[Cluster],
    unit: int,
    beats: int,
) -> Exact | None:
    """The rhythm of one measure from the parts of the rows that stand over and under it; None when they disagree.

    `unit` is the lower number of the time, which counting goes by, `beats` its upper number, 0 when not stated.
    """
    row, under = rows
    if row.counts:
        return _from_counts(_within(row.counts, measure), measure, clusters, unit, beats)
    tokens = _within(row.tokens, measure)
    if under is not None and reaches(under, measure):
        return read_two_voices(tokens, _within(under.tokens, measure), measure, clusters)
    return read_one_voice(tokens, measure, clusters) if tokens else None


def sign_over(row: RhythmRow, measure: TabMeasure) -> Sign | None:
    """The word for the whole measure in a row; None when there is none."""
    return next(iter(_within(row.signs, measure)), None)


def _within(entries: Sequence[_Entry], measure: TabMeasure) -> Sequence[_Entry]:
    """Those that stand over a measure."""
    edges = measure.column - 1, measure.column + measure.width
    return entries[slice(*(bisect_left(entries, edge, key=_column) for edge in edges))]


def reaches(row: RhythmRow, measure: TabMeasure) -> bool:
    """Whether any of the row stands over the measure."""
    return bool(_within(row.tokens, measure) or _within(row.counts, measure) or _within(row.signs, measure))


def _column(entry: Token | Count | Sign) -> int:
    return entry.column


def _from_counts(
    counts: Sequence[Count], measure: TabMeasure, clusters: Sequence[Cluster], unit: int, beats: int
) -> Exact | None:
    if not counts or any(a.beat >= b.beat for a, b in pairwise(counts)):
        return None
    length = Fraction(max(int(counts[-1].beat) + 1, beats), unit)
    chosen = match_columns([count.column for count in counts], measure, clusters)
    if chosen is not None:
        onsets = [counts[index].beat / unit for index in chosen]
    elif (between := _between_counts(counts, measure, clusters)) is not None:
        onsets = [beat / unit for beat in between]
    else:
        return None
    items = fill(list(zip(onsets, [c.cells for c in clusters])), length)
    return Exact(items, length, [(c.column, onset) for c, onset in zip(clusters, onsets)])


def _between_counts(
    counts: Sequence[Count], measure: TabMeasure, clusters: Sequence[Cluster]
) -> list[Fraction] | None:
    """Beats from 0 of notes of which some stand between the counts: halves and quarters of the step there.

    None when there are too few counts, when a note stands before them all, or when two notes come together.
    """
    if len(counts) < 2:
        return None
    after = Count(2 * counts[-1].column - counts[-2].column, 2 * counts[-1].beat - counts[-2].beat)
    marks = [*counts, after]
    beats: list[Fraction] = []
    for cluster in clusters:
        place = max(measure.column + cluster.column, marks[0].column)
        if marks[0].column - (measure.column + cluster.column) > REACH:
            return None
        index = min(bisect_left(marks, place + 1, key=_column), len(marks) - 1) - 1
        low, high = marks[index], marks[index + 1]
        share = Fraction(place - low.column, max(1, high.column - low.column))
        beats.append(low.beat + min(Fraction(3, 4), Fraction(round(share * 4), 4)) * (high.beat - low.beat))
    return beats if all(a < b for a, b in pairwise(beats)) else None
