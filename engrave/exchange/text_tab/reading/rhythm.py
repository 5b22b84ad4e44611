"""Rows that tell the rhythm: note values as letters or numbers, or counting."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeVar

from engrave.exchange.text_tab.lines.text_lines import RemarkLog
from engrave.exchange.text_tab.lines.value_row import NAMED, Sign, Token, is_value_row, read_values
from engrave.exchange.text_tab.reading.cells import Cluster
from engrave.exchange.text_tab.reading.counting import Count, best_shifts, count_notes, read_counts
from engrave.exchange.text_tab.reading.fill import beat_of, fill
from engrave.exchange.text_tab.reading.measures import TabMeasure
from engrave.exchange.text_tab.reading.voices import (
    REACH,
    Exact,
    read_one_voice,
    read_two_voices,
)
from engrave.theory.metre import Metre

_SHIFTS = (0, -1, 1, -2, 2)
"""Columns by which a row of values may be typed off, the likely ones first (house rule)."""
_Entry = TypeVar("_Entry", Token, "Count", Sign)
_COUNT_ROW = re.compile(r"[\d&+ean|.\s\-]+")
_AGREEING = Fraction(3, 5)
"""The share of values that must stand over notes, so that words are not taken for a rhythm (house rule)."""
_OWN_DIGITS = re.compile(r"\d+(?::\d+)?\(|[:=][1-8]+| x\d+|%[24]")
"""Digits of a row of values that are no values."""


@dataclass(frozen=True, slots=True)
class RhythmRow:
    """A row that tells the rhythm: either values (with words for whole measures) or counts; `line` of the text from 1."""

    tokens: tuple[Token, ...] = ()
    counts: tuple[Count, ...] = ()
    signs: tuple[Sign, ...] = ()
    line: int = 1


def read_rhythm_row(text: str, onsets: Sequence[int], line: int = 1) -> RhythmRow | None:
    """The rhythm row that `text` is, or None. `onsets` are the columns of the notes of its block, `line` is that of the text."""
    if not _COUNT_ROW.fullmatch(text) and not is_value_row(text):
        return None
    counts = read_counts(text) if _COUNT_ROW.fullmatch(text) else ()
    if counts:
        return (
            RhythmRow(counts=counts, line=line) if _agrees([c.column for c in counts], onsets, True) else None
        )
    values = read_values(text)
    if values is None or not (values.tokens or values.signs):
        return None
    if NAMED.match(text) or (values.tokens and _agrees([t.column for t in values.tokens], onsets, False)):
        return RhythmRow(values.tokens, signs=values.signs, line=line)
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
    if not counts:
        return None
    counted = count_notes(counts, [measure.column + cluster.column for cluster in clusters])
    if counted is None:
        return None
    length = Fraction(max(int(counts[-1].beat) + 1, beats), unit)
    onsets = [beat / unit for beat in counted.beats]
    beat = beat_of(Metre((int(length * unit),), unit))
    items = fill(list(zip(onsets, [c.cells for c in clusters])), length, beat)
    return Exact(items, length, [(c.column, onset) for c, onset in zip(clusters, onsets)])


def first_misfit(row: RhythmRow, measure: TabMeasure, clusters: Sequence[Cluster]) -> Cluster | None:
    """The first chord of a measure that no value or count of its row stands over; None when each has one."""
    places = [*(token.column for token in row.tokens), *(count.column for count in row.counts)]
    counts = _within(row.counts, measure)
    columns: list[int] = []
    for cluster in clusters:
        columns.append(measure.column + cluster.column)
        far = not any(abs(place - columns[-1]) <= REACH for place in places)
        if far or (row.counts and count_notes(counts, columns) is None):
            return cluster
    return None


def settle_row(
    row: RhythmRow, measures: Sequence[tuple[TabMeasure, Sequence[Cluster]]], log: RemarkLog
) -> RhythmRow:
    """A row moved over the notes of its measures where it is typed a column or two off; remarked."""
    return _settle_counts(row, measures, log) if row.counts else _settle_values(row, measures, log)


def _settle_values(
    row: RhythmRow, measures: Sequence[tuple[TabMeasure, Sequence[Cluster]]], log: RemarkLog
) -> RhythmRow:
    """A row of values moved as a whole, where every note then stands under a value and not without."""
    places = {token.column for token in row.tokens}
    notes = [
        measure.column + cluster.column
        for measure, clusters in measures
        if reaches(row, measure)
        for cluster in clusters
    ]
    fitting = [shift for shift in _SHIFTS if all(note - shift in places for note in notes)]
    if not notes or not fitting or fitting[0] == 0:
        return row
    shift = fitting[0]
    _tell_shift(row.line, row.tokens[0].column, shift, "row of values", log)
    return replace(
        row,
        tokens=tuple(token._replace(column=token.column + shift) for token in row.tokens),
        signs=tuple(sign._replace(column=sign.column + shift) for sign in row.signs),
    )


def _tell_shift(line: int, column: int, shift: int, name: str, log: RemarkLog) -> None:
    side = "right" if shift < 0 else "left"
    many = f"{abs(shift)} column{'s' if abs(shift) > 1 else ''}"
    what = f"the {name} stands {many} too far to the {side}; it is read over the notes"
    log.add("doubted", line, column, what)


def _settle_counts(
    row: RhythmRow, measures: Sequence[tuple[TabMeasure, Sequence[Cluster]]], log: RemarkLog
) -> RhythmRow:
    """The counts of each measure moved to where its notes fit them best."""
    pairs = [
        (counts, [measure.column + cluster.column for cluster in clusters])
        for measure, clusters in measures
        if (counts := _within(row.counts, measure))
    ]
    moved = dict.fromkeys(row.counts, 0)
    told = 0
    for (counts, columns), shift in zip(pairs, best_shifts(pairs)):
        moved.update(dict.fromkeys(counts, shift))
        if shift != told and shift and columns:
            _tell_shift(row.line, counts[0].column, shift, "count", log)
        told = shift
    counts = tuple(count._replace(column=count.column + shift) for count, shift in moved.items())
    return replace(row, counts=counts)


def counts_over(row: RhythmRow, measure: TabMeasure) -> Sequence[Count]:
    """The counts of a row that stand over a measure."""
    return _within(row.counts, measure)
