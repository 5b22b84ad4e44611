"""Rows with a name in the margin, over and under the strings: words, dynamics, signs, fingers, lyrics."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

CHORDS, FINGERS, PLUCK, LYRICS, ENDING = "chords", "fingers", "pluck", "lyrics", "ending"
MEASURES, ROADMAP, LABEL, TEMPO, TEXT, DYNAMICS, SPANS, MARKS = (
    "measures",
    "roadmap",
    "label",
    "tempo",
    "text",
    "dynamics",
    "spans",
    "marks",
)
ABOVE = (LABEL, MEASURES, ROADMAP, ENDING, TEMPO, TEXT, DYNAMICS, SPANS, MARKS, PLUCK, FINGERS, CHORDS)
"""The rows over the strings, from the top down."""
PICKUP = "pickup"
"""A word of the row of measures: the measure starts later than its time says."""
BELOW = (LYRICS,)
"""The rows under the strings; a number after the name is that of the verse."""
_NARROW = (FINGERS, PLUCK, ENDING, LYRICS)
"""Rows whose entries have no spaces in them; entries of the others stand two spaces apart."""
_WORDED = (LABEL, TEMPO, TEXT, LYRICS, CHORDS)
"""Rows whose words are printed as they are typed."""
_ROW = re.compile(rf"\s*(?P<name>{'|'.join((*ABOVE, *BELOW))})(?: (?P<number>\d{{1,2}}))?(?=\s)")
_WIDE_ENTRY = re.compile(r"\S+(?: \S+)*")
_NARROW_ENTRY = re.compile(r"\S+")


class Entry(NamedTuple):
    """What stands in a row: the row's name and number (0: none), line of the text from 1, columns from 0, the words.

    `until` is the column after its last sign; 0 where the words reach so far.
    """

    row: str
    number: int
    line: int
    column: int
    text: str
    until: int = 0

    @property
    def end(self) -> int:
        """The column after the last sign."""
        return self.until or self.column + len(self.text)


def is_row(text: str) -> bool:
    """Whether a line starts with the name of a row."""
    return _ROW.match(text) is not None


def read_row(number: int, text: str, margin: int, names: Sequence[str], typed: str) -> list[Entry] | None:
    """The entries of a line that is one of the rows `names`; None for other lines.

    `number` is that of the line; `margin` the column where the strings of the block begin: the name of a row stands
    before it. Words are taken from `typed`, the line with the signs that were typed.
    """
    match = _ROW.match(text)
    if match is None or match["name"] not in names or match.end() > margin:
        return None
    pattern = _NARROW_ENTRY if match["name"] in _NARROW else _WIDE_ENTRY
    row, verse = match["name"], int(match["number"] or 0)
    return [
        Entry(
            row,
            verse,
            number,
            found.start(),
            (typed if row in _WORDED else text)[found.start() : found.end()],
        )
        for found in pattern.finditer(text, match.end())
    ]


class RowWords(NamedTuple):
    """Words of a row for the writer: the column of the text, the words, whether dashes go on to the column `until`."""

    column: int
    text: str
    until: int = 0


def draw_rows(name: str, entries: Sequence[RowWords], margin: int) -> Iterator[str]:
    """Entries of one row as lines; those that would touch others stand in a line of their own below.

    `margin` is the column where the strings begin.
    """
    left = sorted(entries, key=lambda entry: entry.column)
    gap = 1 if name.split()[0] in _NARROW else 2
    while left:
        line, free = name.rjust(margin - 1), margin
        later: list[RowWords] = []
        for entry in left:
            if entry.column < free:
                later.append(entry)
                continue
            line = line.ljust(entry.column) + entry.text
            line = line.ljust(entry.until, "-")
            free = len(line) + gap
        left = later
        yield line
