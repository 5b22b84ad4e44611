"""Rows that tell the rhythm: note values as letters or numbers, or counting."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from engrave.exchange.text_tab.bars import Bar
from engrave.exchange.text_tab.cells import Cell, Cluster
from engrave.exchange.text_tab.fill import Item, fill
from engrave.theory.duration import DENOMINATORS, NoteValue, note_value

LETTERS = {"w": 1, "h": 2, "q": 4, "e": 8, "s": 16, "t": 32}
"""Note values by their letters."""
_TOKEN = re.compile(r"(\d+)(?::(\d+))?\(|(_?)(\d+|[whqest])(\.{0,2})|(\))", re.IGNORECASE)
_ROW = re.compile(r"(?:rhythm|r)?[\dwhqestWHQEST._():|\s\-]+")
_NAMED = re.compile(r"\s*(?:rhythm|r)\b")
_COUNT = re.compile(r"\d{1,2}|[&+ean]")
_COUNT_ROW = re.compile(r"[\d&+ean|.\s\-]+")
USUAL_NORMAL = {2: 3, 3: 2, 4: 3, 5: 4, 6: 4, 7: 4, 9: 8}
"""In the time of how many the notes of a tuplet stand (as in the grids of the score language)."""
_BY_LENGTH = {
    value.length: value
    for denominator in DENOMINATORS
    for value in (note_value(denominator, n) for n in range(3))
}
"""Note values, plain and dotted, by their length in whole notes."""
_REACH = 2
"""Columns by which a value may miss its note (house rule)."""
_AGREEING = Fraction(3, 5)
"""The share of values that must stand over notes, so that words are not taken for a rhythm (house rule)."""
_PARTS = {
    "e": Fraction(1, 4),
    "&": Fraction(1, 2),
    "+": Fraction(1, 2),
    "n": Fraction(1, 2),
    "a": Fraction(3, 4),
}
"""Where the syllables of counting stand in a beat (common practice, no source)."""
_MOST_COUNTS = 15
_FINEST = 32
"""The lower number of a time, at most."""
_LONGEST = 64
"""The upper number of a time, at most."""


class Token(NamedTuple):
    """A value of a rhythm row at a column of the text, with the tuplet that opens before and closes after it.

    `held`: a low line stands before it, so that the event before is held.
    """

    column: int
    value: NoteValue
    opens: tuple[int, int] | None
    closes: bool
    held: bool = False


class Count(NamedTuple):
    """A syllable of a counting row: column of the text, and where it stands in beats from 0."""

    column: int
    beat: Fraction


@dataclass(frozen=True, slots=True)
class RhythmRow:
    """A row that tells the rhythm: either values or counts."""

    tokens: tuple[Token, ...] = ()
    counts: tuple[Count, ...] = ()


@dataclass(slots=True)
class Exact:
    """The rhythm of a measure as its row tells it: its events, its length in whole notes, onsets by column."""

    items: list[Item]
    length: Fraction
    onsets: list[tuple[int, Fraction]] = field(default_factory=list)


def read_rhythm_row(text: str, onsets: Sequence[int]) -> RhythmRow | None:
    """The rhythm row that `text` is, or None. `onsets` are the columns of the notes of its block."""
    if not _COUNT_ROW.fullmatch(text) and not _ROW.fullmatch(text.strip()):
        return None
    counts = _read_counts(text) if _COUNT_ROW.fullmatch(text) else ()
    if counts:
        return RhythmRow(counts=counts) if _agrees([c.column for c in counts], onsets, True) else None
    tokens = _read_tokens(text)
    if tokens and (_NAMED.match(text) or _agrees([token.column for token in tokens], onsets, False)):
        return RhythmRow(tokens=tokens)
    return None


def _agrees(columns: Sequence[int], onsets: Sequence[int], counting: bool) -> bool:
    """Whether the row stands over the notes (or, when counting, the notes under the row)."""
    row, under = (onsets, columns) if counting else (columns, onsets)
    if counting and len(columns) > 1:
        last = 2 * columns[-1] - columns[-2] + _REACH
        row = [onset for onset in onsets if columns[0] - _REACH <= onset <= last]
    near = {column + shift for column in under for shift in range(-_REACH, _REACH + 1)}
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


def _read_tokens(text: str) -> tuple[Token, ...]:
    """The values of a rhythm row; none when something is not a value, or a tuplet is left open."""
    named = _NAMED.match(text)
    tokens: list[Token] = []
    opens: tuple[int, int] | None = None
    inside = False
    for match in _TOKEN.finditer(text, named.end() if named else 0):
        actual, normal, held, value, dots, closing = match.groups()
        if actual:
            if inside or not 2 <= int(actual[:3]) <= _LONGEST:
                return ()
            opens, inside = (
                (int(actual), int((normal or "0")[:3]) or USUAL_NORMAL.get(int(actual), int(actual) - 1)),
                True,
            )
        elif closing:
            if not inside or opens or not tokens:
                return ()
            tokens[-1] = tokens[-1]._replace(closes=True)
            inside = False
        else:
            denominator = LETTERS.get(value.lower()) or int(value[:3])
            if denominator not in (1, 2, 4, 8, 16, 32, 64):
                return ()
            value_there = note_value(denominator, len(dots))
            tokens.append(Token(match.start(4), value_there, opens, False, bool(held)))
            opens = None
    return () if inside else tuple(tokens)


def exact_rhythm(
    row: RhythmRow, bar: Bar, clusters: Sequence[Cluster], unit: int, beats: int
) -> Exact | None:
    """The rhythm of one measure from the part of the row that stands over it; None when row and notes disagree.

    `unit` is the lower number of the time, which counting goes by, `beats` its upper number, 0 when not stated.
    """
    first, last = bar.column - 1, bar.column + bar.width
    if row.counts:
        counts = row.counts[slice(*(bisect_left(row.counts, edge, key=_column) for edge in (first, last)))]
        return _from_counts(counts, bar, clusters, unit, beats)
    tokens = row.tokens[slice(*(bisect_left(row.tokens, edge, key=_column) for edge in (first, last)))]
    return _from_tokens(tokens, bar, clusters)


def reaches(row: RhythmRow, bar: Bar) -> bool:
    """Whether any of the row stands over the measure."""
    first, last = bar.column - 1, bar.column + bar.width
    columns = [*(token.column for token in row.tokens), *(count.column for count in row.counts)]
    return any(first <= column < last for column in columns)


def _column(entry: Token | Count) -> int:
    return entry.column


def _match(columns: Sequence[int], bar: Bar, clusters: Sequence[Cluster]) -> list[int] | None:
    """For each cluster the index of its column in the row: the nearest, each used once, in order."""
    chosen: list[int] = []
    for cluster in clusters:
        place = bar.column + cluster.column
        after = bisect_left(columns, place)
        beside = [i for i in (after - 1, after) if 0 <= i < len(columns)]
        near = min(beside, key=lambda i: abs(columns[i] - place), default=-1)
        if near < 0 or abs(columns[near] - place) > _REACH:
            break
        chosen.append(near)
    if len(chosen) == len(clusters) and all(a < b for a, b in pairwise(chosen)):
        return chosen
    return list(range(len(clusters))) if len(columns) == len(clusters) else None


def _from_tokens(tokens: Sequence[Token], bar: Bar, clusters: Sequence[Cluster]) -> Exact | None:
    chosen = _match([token.column for token in tokens], bar, clusters)
    if not tokens or chosen is None:
        return None
    notes: dict[int, tuple[Cell, ...]] = {i: c.cells for i, c in zip(chosen, clusters)}
    items: list[Item] = []
    starts: list[Fraction] = []
    length, within, opened = Fraction(0), Fraction(0), 0
    tuplet: tuple[int, int] | None = None
    for index, token in enumerate(tokens):
        if (token.opens and tuplet) or (token.closes and not (token.opens or tuplet)):
            return None
        if token.opens:
            tuplet, within, opened = token.opens, Fraction(0), index
        starts.append(length)
        cells = notes.get(index, ())
        items.append(Item(token.value, cells, token.held and not cells, token.opens, token.closes))
        length += token.value.length * (Fraction(tuplet[1], tuplet[0]) if tuplet else 1)
        within += token.value.length
        if token.closes and tuplet:
            unit = _BY_LENGTH.get(within / tuplet[0])
            if unit is None:
                return None
            items[opened] = items[opened]._replace(unit=unit)
            tuplet = None
    if tuplet or length.denominator > _FINEST or length.numerator > _LONGEST:
        return None
    if (length.denominator & (length.denominator - 1)) != 0:
        return None
    places = {token.column - bar.column: start for token, start in zip(tokens, starts)}
    places.update((c.column, starts[i]) for i, c in zip(chosen, clusters))
    return Exact(items, length, sorted(places.items()))


def _from_counts(
    counts: Sequence[Count], bar: Bar, clusters: Sequence[Cluster], unit: int, beats: int
) -> Exact | None:
    if not counts or any(a.beat >= b.beat for a, b in pairwise(counts)):
        return None
    length = Fraction(max(int(counts[-1].beat) + 1, beats), unit)
    chosen = _match([count.column for count in counts], bar, clusters)
    if chosen is not None:
        onsets = [counts[index].beat / unit for index in chosen]
    elif (between := _between_counts(counts, bar, clusters)) is not None:
        onsets = [beat / unit for beat in between]
    else:
        return None
    items = fill(list(zip(onsets, [c.cells for c in clusters])), length)
    return Exact(items, length, [(c.column, onset) for c, onset in zip(clusters, onsets)])


def _between_counts(counts: Sequence[Count], bar: Bar, clusters: Sequence[Cluster]) -> list[Fraction] | None:
    """Beats from 0 of notes of which some stand between the counts: halves and quarters of the step there.

    None when there are too few counts, when a note stands before them all, or when two notes come together.
    """
    if len(counts) < 2:
        return None
    after = Count(2 * counts[-1].column - counts[-2].column, 2 * counts[-1].beat - counts[-2].beat)
    marks = [*counts, after]
    beats: list[Fraction] = []
    for cluster in clusters:
        place = max(bar.column + cluster.column, marks[0].column)
        if marks[0].column - (bar.column + cluster.column) > _REACH:
            return None
        index = min(bisect_left(marks, place + 1, key=_column), len(marks) - 1) - 1
        low, high = marks[index], marks[index + 1]
        share = Fraction(place - low.column, max(1, high.column - low.column))
        beats.append(low.beat + min(Fraction(3, 4), Fraction(round(share * 4), 4)) * (high.beat - low.beat))
    return beats if all(a < b for a, b in pairwise(beats)) else None
