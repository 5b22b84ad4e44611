"""One measure of one part in columns: string rows, the values over them, chord names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from engrave.exchange.text_tab.reading.score_tree import onset_by_column
from engrave.exchange.text_tab.writing.music import Music
from engrave.exchange.text_tab.writing.notes import Spelled

_SCALES = (0, 16, 24, 32, 48, 64)
"""Columns a whole note that are tried until every chord name finds a column of its own; 0: as tight as can be."""
_LEADS = (1, 2)
"""Dashes that the reader may take for the lead of a block."""
_EMPTY = 4
"""Columns of a silent measure (house rule)."""

Chords = Sequence[tuple[Fraction, str]]


class Frame(NamedTuple):
    """The measure around the notes: strings, length in whole notes, unit of its time, repeat dots at its sides.

    `rooms`: for each row over and under the strings the columns that its words take up, by moment.
    """

    strings: int
    length: Fraction
    unit: int
    opens: bool = False
    closes: bool = False
    rooms: tuple[Mapping[Fraction, int], ...] = ()


class Laid(NamedTuple):
    """A measure in columns: a row for each string, and (column, text) of the values and the chord names around it.

    `values` are those of each row of values, upper first; `columns` where its notes stand. `onsets` are the columns
    of its moments, but for grace notes; `missing` the chord names that found no column.
    """

    rows: list[str]
    values: tuple[list[tuple[int, str]], ...]
    chords: list[tuple[int, str]]
    columns: list[int]
    onsets: tuple[tuple[int, Fraction], ...] = ()
    missing: tuple[tuple[Fraction, str], ...] = ()

    @property
    def width(self) -> int:
        """Columns from barline to barline."""
        return len(self.rows[0])


class _Columns(NamedTuple):
    columns: list[int]
    slides: list[tuple[int, int, str]]
    width: int


def lay_out(
    music: Music, cells: Sequence[dict[int, Spelled]], chords: Chords, frame: Frame, gap: int
) -> Laid:
    """The measure as tight as it can be with its chord names over their moments and `gap` dashes between notes.

    `cells` are the notes of each moment by string. A chord name that finds no column is left out.
    """
    first: tuple[_Columns, list[tuple[int, str, Fraction]]] | None = None
    for scale in _SCALES:
        columns = _columns(music, cells, dict(chords), frame, gap, scale)
        placed = _place_chords(music, columns, chords, frame)
        first = first or (columns, placed)
        if len(placed) == len(chords):
            return _draw(music, cells, columns, placed, frame)
    assert first is not None
    laid = _draw(music, cells, *first, frame)
    there = {onset for _, _, onset in first[1]}
    return laid._replace(missing=tuple(chord for chord in chords if chord[0] not in there))


def _columns(
    music: Music,
    cells: Sequence[dict[int, Spelled]],
    names: dict[Fraction, str],
    frame: Frame,
    gap: int,
    scale: int,
) -> _Columns:
    """Where every moment stands, and where the signs of slides stand: (string, column, sign)."""
    start = 2 if frame.opens else 1
    free, after_name = start, 0
    columns: list[int] = []
    slides: list[tuple[int, int, str]] = []
    ends: dict[int, tuple[int, bool]] = {}
    rooms = [dict(room) for room in frame.rooms]
    busy = [0] * len(rooms)
    for moment, here in zip(music.moments, cells):
        joins = min(len(columns), 1)
        openings = [len(opening) for opening, _ in moment.values]
        column = free + max([*openings, *(len(c.before) - joins * c.joins for c in here.values())])
        column = max(column, start + ceil(moment.onset * scale))
        if moment.onset in names and not moment.grace:
            column = max(column, after_name)
            after_name = column + len(names[moment.onset]) + 1
        column = max([column, *(until for room, until in zip(rooms, busy) if moment.onset in room)])
        column, signs = _slide_room(column, here, ends, 2 + frame.opens)
        slides.extend(signs)
        columns.append(column)
        busy = [
            column + room[moment.onset] if moment.onset in room else until for room, until in zip(rooms, busy)
        ]
        wide = [*(len(value) for _, value in moment.values), *(len(cell.body) for cell in here.values())]
        ends.update((string, (column + len(cell.body), cell.leaves)) for string, cell in here.items())
        free = column + max(wide) + gap
    if not columns:
        free = max(start + _EMPTY, start + len(names.get(Fraction(0), "")) + 1)
        busy = [start + room.get(Fraction(0), 0) for room in rooms]
    width = max([free, after_name, start + ceil(frame.length * scale), *busy])
    return _Columns(columns, slides, width + frame.closes)


def _slide_room(
    column: int, here: dict[int, Spelled], ends: dict[int, tuple[int, bool]], first: int
) -> tuple[int, list[tuple[int, int, str]]]:
    """The column of a moment with room for its slides: between two notes that it touches, or away from both.

    `first` is where the first note of a string may start after a slide over the barline.
    """
    sliding = {string: cell for string, cell in here.items() if cell.slide}
    while not all(_has_room(column - len(c.before), ends.get(s), first) for s, c in sliding.items()):
        column += 1
    signs = []
    for string, cell in sliding.items():
        start = column - len(cell.before)
        touches = string in ends and start - ends[string][0] == 1
        signs.append((string, start - (1 if touches else 2), cell.slide))
    return column, signs


def _has_room(start: int, before: tuple[int, bool] | None, first: int) -> bool:
    """Whether the sign of a slide fits between the end of the note before and the start of the next."""
    if before is None:
        return start >= first
    end, leaves = before
    return (start - end == 1 and not leaves) or start - end >= 3


def _place_chords(
    music: Music, columns: _Columns, chords: Chords, frame: Frame
) -> list[tuple[int, str, Fraction]]:
    """Chord names at columns that the reader takes for their moments, as far as there are such columns."""
    moments = zip(columns.columns, music.moments)
    onsets = [(column, moment.onset) for column, moment in moments if not moment.grace]
    placed: list[tuple[int, str, Fraction]] = []
    free = 0
    for onset, name in chords:
        exact = [column for column, moment in onsets if moment == onset and column >= free]
        after = max((column + 1 for column, moment in onsets if moment < onset), default=0)
        before = min((column for column, moment in onsets if moment > onset), default=columns.width)
        between = range(max(free, after), min(before, columns.width - len(name)))
        for column in (*exact, *between):
            found = {
                onset_by_column(column, onsets, (lead, columns.width), frame.length, frame.unit)
                for lead in _LEADS
            }
            if found == {onset}:
                placed.append((column, name, onset))
                free = column + len(name) + 1
                break
    return placed


def _draw(
    music: Music,
    cells: Sequence[dict[int, Spelled]],
    columns: _Columns,
    chords: list[tuple[int, str, Fraction]],
    frame: Frame,
) -> Laid:
    """The measure as text."""
    rows = [["-"] * columns.width for _ in range(frame.strings)]
    values: tuple[list[tuple[int, str]], ...] = ([], [])
    for moment, here, column in zip(music.moments, cells, columns.columns):
        for row, (opening, value) in zip(values, moment.values):
            row.extend([(column - len(opening), opening + value)] if value else [])
        for string, cell in here.items():
            start = column - len(cell.before)
            text = cell.before + cell.body
            rows[string - 1][start : start + len(text)] = text
    for string, column, sign in columns.slides:
        rows[string - 1][column] = sign
    for string in _dotted(frame.strings):
        if frame.opens:
            rows[string][0] = ":"
        if frame.closes:
            rows[string][-1] = ":"
    moments = zip(columns.columns, music.moments)
    onsets = tuple((column, moment.onset) for column, moment in moments if not moment.grace)
    names = [(column, name) for column, name, _ in chords]
    return Laid(["".join(row) for row in rows], values, names, columns.columns, onsets)


def _dotted(strings: int) -> range:
    """The two rows (from 0) in the middle, which carry the dots of repeats; a row alone has them too."""
    return range((strings - 1) // 2, min(strings, (strings - 1) // 2 + 2))
