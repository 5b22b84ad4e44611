"""The other way: a score becomes plain-text tab that the reader takes back, with a list of what text cannot say."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.exchange.text_tab.blocks import read_tab_line
from engrave.exchange.text_tab.rhythm import read_rhythm_row
from engrave.exchange.text_tab.table import ReadingTable, reading_table
from engrave.exchange.text_tab.writer_cells import Spelled, spell_note
from engrave.exchange.text_tab.writer_layout import Frame, Laid, lay_out
from engrave.exchange.text_tab.writer_losses import find_losses
from engrave.exchange.text_tab.writer_music import Music, part_music
from engrave.exchange.text_tab.writer_words import (
    block_names,
    head_lines,
    is_label,
    is_plain_text,
    string_names,
)
from engrave.score.structure import Barline, Measure, Part, Score

_MOST_PARTS = 7
"""Parts with names that the reader tells apart."""
_MOST_STRINGS, _FEWEST_STRINGS = 8, 4
"""Strings of a block."""
_USUAL_TIMES = 2
_GAPS = (1, 2, 4, 8)
"""Dashes between notes that are tried until every string line has enough of them to be known as one."""


class _Column(NamedTuple):
    """One part while it is written: its name over blocks, its string names, its music, notes as text by measure."""

    part: Part
    name: str
    strings: list[str]
    music: list[Music]
    cells: list[list[dict[int, Spelled]]]


def write_text_tab(score: Score, width: int = 100) -> tuple[str, list[str]]:
    """`score` as plain-text tab in lines of at most `width` columns, and sentences that say what it does not carry.

    Lines break at bar lines; a measure wider than `width` has a line of its own. Parts without strings are left out.
    """
    table = reading_table()
    fretted = [part for part in score.parts if _FEWEST_STRINGS <= part.instrument.strings <= _MOST_STRINGS]
    parts = fretted[:_MOST_PARTS]
    if not parts:
        return "", ["Nothing is written: no part has four to eight strings."]
    plan = [index for index, measure in enumerate(score.measures) for _ in range(measure.rests)]
    columns = [
        _column(part, name, score.measures, table) for part, name in zip(parts, block_names(parts, table))
    ]
    laid = [[_lay(score, column, index) for index in range(len(score.measures))] for column in columns]
    blocks = ["\n".join(head_lines(score, parts)) + "\n"]
    for system in _systems(score, columns, laid, plan, width, table):
        for number, column in enumerate(columns):
            above = _words(score, system[0], column, number == 0, len(blocks) == 1, table)
            blocks.append("\n".join([*above, *_block(score, column, laid[number], system)]) + "\n")
    text = "\n".join(blocks)
    return text, find_losses(score, parts, plan, text)


def _is_known(row: str) -> bool:
    """Whether a line made of this row alone is taken for a string line."""
    return read_tab_line(1, f"e|{row}|") is not None


def _column(part: Part, name: str, measures: Sequence[Measure], table: ReadingTable) -> _Column:
    """A part with its notes as text."""
    music = part_music(part, measures)
    frets: dict[int, int] = {}
    cells: list[list[dict[int, Spelled]]] = []
    for measure in music:
        row: list[dict[int, Spelled]] = []
        for moment in measure.moments:
            row.append(
                {note.string: spell_note(note, frets.get(note.string), table) for note in moment.notes}
            )
            frets.update((note.string, note.fret) for note in moment.notes)
        cells.append(row)
    return _Column(part, name, string_names(part, name, table), music, cells)


def _lay(score: Score, column: _Column, index: int) -> Laid:
    """One measure of a part in columns, with as few dashes as its string lines need to be known for such."""
    measure = score.measures[index]
    chords = [(chord.onset, chord.name.text) for chord in column.part.measures[index].chords]
    chords = [(onset, name) for onset, name in chords if name == "".join(name.split())]
    repeat = measure.repeat
    frame = Frame(
        len(column.strings),
        measure.length,
        measure.metre.unit,
        repeat.start,
        repeat.end_times is not None,
    )
    for gap in _GAPS:
        laid = lay_out(column.music[index], column.cells[index], chords, frame, gap)
        if all(map(_is_known, laid.rows)):
            break
    return laid


def _bar_line(measure: Measure) -> str:
    return "||" if measure.barline in (Barline.DOUBLE, Barline.FINAL) else "|"


def _times(measure: Measure) -> str:
    """How often a repeat is played, as it stands after the line; "" for the usual twice."""
    times = measure.repeat.end_times
    return "" if times in (None, _USUAL_TIMES) else f" x{times}"


def _prefix(column: _Column) -> int:
    """Columns before the first measure: the names of the strings, a bar line."""
    return max(map(len, column.strings)) + 1


def _systems(
    score: Score,
    columns: Sequence[_Column],
    laid: Sequence[Sequence[Laid]],
    plan: Sequence[int],
    width: int,
    table: ReadingTable,
) -> list[list[int]]:
    """The measures line by line: as many as fit, a new line where words or times stand over a measure."""
    systems: list[list[int]] = []
    used = [0 for _ in columns]
    before: int | None = None
    for index in plan:
        measure = score.measures[index]
        need = [row[index].width + len(_bar_line(measure)) + len(_times(measure)) for row in laid]
        breaks = before is None or (
            index != before
            and (
                bool(measure.label)
                or measure.metre != score.measures[before].metre
                or bool(_times(score.measures[before]))
                or any(_text(column, index, table) for column in columns)
            )
        )
        if breaks or any(have + more > width for have, more in zip(used, need)):
            systems.append([])
            used = [_prefix(column) for column in columns]
        systems[-1].append(index)
        used = [have + more for have, more in zip(used, need)]
        before = index
    return systems


def _text(column: _Column, index: int, table: ReadingTable) -> str:
    """The words at the start of a measure, when the text can have them."""
    texts = column.part.measures[index].texts
    starts = [text.text for text in texts if text.onset == 0 and is_plain_text(text.text, table)]
    return starts[0] if len(starts) == 1 else ""


def _words(
    score: Score, index: int, column: _Column, leads: bool, first: bool, table: ReadingTable
) -> list[str]:
    """The lines over a block: section and time over the topmost part, the name of the part, words."""
    measure = score.measures[index]
    lines: list[str] = []
    if leads and measure.label and is_label(measure.label, table):
        lines.append(f"[{measure.label}]")
    if leads and not first and measure.metre != score.measures[index - 1].metre:
        lines.append(f"Time: {measure.metre.text}")
    lines.extend(line for line in (column.name, _text(column, index, table)) if line)
    return lines


def _block(score: Score, column: _Column, laid: Sequence[Laid], system: Sequence[int]) -> list[str]:
    """The lines of one block: chord names, values, strings."""
    place = _prefix(column)
    chords = values = ""
    onsets: list[int] = []
    lines = [name.ljust(place - 1) + "|" for name in column.strings]
    for index in system:
        measure = laid[index]
        for at, name in measure.chords:
            chords = chords.ljust(place + at) + name
        for at, text in measure.values:
            values = values.ljust(place + at) + text
        for moment, cells in zip(measure.values, column.cells[index]):
            onsets.extend([place + moment[0]] if cells else [])
        bar = _bar_line(score.measures[index])
        lines = [line + row + bar for line, row in zip(lines, measure.rows)]
        place += measure.width + len(bar)
    lines[0] += _times(score.measures[system[-1]])
    if values and read_rhythm_row(values, onsets) is None:
        values = "r" + values[1:]
    return [line for line in (chords, values) if line] + lines
