"""The other way: a score becomes plain-text tab that the reader takes back, with a list of what text cannot say."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.exchange.text_tab.lines.blocks import read_tab_line
from engrave.exchange.text_tab.lines.part_lines import part_labels, write_part_line
from engrave.exchange.text_tab.lines.rows import CHORDS, ENDING
from engrave.exchange.text_tab.lines.table import ReadingTable, shipped_table
from engrave.exchange.text_tab.lines.text_lines import as_typed, is_read_so
from engrave.exchange.text_tab.reading.rhythm import read_rhythm_row
from engrave.exchange.text_tab.reading.words import chord_row
from engrave.exchange.text_tab.writing.layout import Frame, Laid, lay_out
from engrave.exchange.text_tab.writing.losses import find_losses, keeps_parts, read_back
from engrave.exchange.text_tab.writing.lyrics import lyric_words
from engrave.exchange.text_tab.writing.music import Music, part_music
from engrave.exchange.text_tab.writing.notes import Spelled, spell_note
from engrave.exchange.text_tab.writing.pitches import join_pitches, pitch_lines, spell_part
from engrave.exchange.text_tab.writing.row_entries import (
    LaidMeasure,
    RowEntry,
    ending_text,
    measure_marks,
    measure_words,
    rooms_of,
    rows_of_block,
    shared_words,
)
from engrave.exchange.text_tab.writing.words import (
    block_names,
    head_lines,
    is_head_tempo,
    is_label,
    is_plain_text,
    string_letters,
    string_names,
)
from engrave.score.sign_list import SignName
from engrave.score.structure import Barline, Measure, Note, Part, Score
from engrave.score.techniques import Spelling, amount_words

_MOST_NAMED = 7
"""Parts that the reader tells apart by their names alone."""
_USUAL_TIMES = 2
_Heading = tuple[str, list[str]]
"""What stands over the blocks of a part, and the names of its strings."""
_GAPS = (1, 2, 4, 8)
"""Dashes between notes that are tried until every string line has enough of them to be known as one."""


class _Column(NamedTuple):
    """One part while it is written: its name over blocks, its string names, its music, notes as text by measure.

    `entries` is what stands in rows, by measure; `margin` the column where the strings begin; `leads`: it is the topmost.
    """

    part: Part
    name: str
    strings: list[str]
    music: list[Music]
    cells: list[list[dict[int, Spelled]]]
    entries: list[list[RowEntry]]
    margin: int
    leads: bool


def write_text_tab(score: Score, width: int = 100) -> tuple[str, list[str]]:
    """`score` as plain-text tab in lines of at most `width` columns, and sentences that say what it does not carry.

    Lines break at barlines; a measure wider than `width` has a line of its own.
    """
    table = shipped_table()
    parts = score.parts
    if len(parts) <= _MOST_NAMED and all(part.is_fretted for part in parts):
        names = block_names(parts, table)
        strings = [string_names(part, name, table) for part, name in zip(parts, names)]
        text = _write(score, parts, list(zip(names, strings)), head_lines(score, parts), width, table)
        back = read_back(text)
        if keeps_parts(parts, back):
            return text, find_losses(score, back)
    labels = part_labels(parts)
    lines = [write_part_line(part, label, len(parts) == 1) for part, label in zip(parts, labels)]
    head = [*head_lines(score, parts, False), *lines]
    names = [f"{label}:" for label in labels] if len(parts) > 1 else [""]
    strings = [string_letters(part) if part.is_fretted else pitch_lines(part) for part in parts]
    text = _write(score, parts, list(zip(names, strings)), head, width, table)
    return text, find_losses(score, read_back(text))


def _write(
    score: Score,
    parts: Sequence[Part],
    heads: Sequence[_Heading],
    lines: list[str],
    width: int,
    table: ReadingTable,
) -> str:
    """The text; `heads` tell what the blocks of each part are called, `lines` are those at the head."""
    plan = range(len(score.measures))
    columns = [_column(score, part, head, parts, table) for part, head in zip(parts, heads)]
    laid = [[_lay(score, column, index) for index in range(len(score.measures))] for column in columns]
    columns = [column._replace(margin=_margin(score, column)) for column in columns]
    blocks = ["\n".join(lines) + "\n"]
    for system in _systems(score, columns, laid, plan, width, table):
        for number, column in enumerate(columns):
            above = _words(score, system[0], column, number == 0, len(blocks) == 1, table)
            blocks.append("\n".join([*above, *_block(score, column, laid[number], system)]) + "\n")
    return "\n".join(blocks)


def _is_known(row: str) -> bool:
    """Whether a line made of this row alone is taken for a string line."""
    return read_tab_line(1, f"e|{row}|") is not None


def _column(score: Score, part: Part, head: _Heading, parts: Sequence[Part], table: ReadingTable) -> _Column:
    """A part with its notes as text; `parts` are all that are written."""
    leads = part is parts[0]
    part = spell_part(part, score.measures) if part.is_fretted else join_pitches(part)
    music = part_music(part, score.measures, parts)
    frets: dict[int, int] = {}
    cells: list[list[dict[int, Spelled]]] = []
    for measure in music:
        row: list[dict[int, Spelled]] = []
        for moment in measure.moments:
            row.append(
                {note.string: _spell(part, note, frets.get(note.string), table) for note in moment.notes}
            )
            frets.update((note.string, note.fret) for note in moment.notes)
        cells.append(row)
    entries = lyric_words(part.measures)
    before: Measure | None = None
    for index, (shared, content) in enumerate(zip(score.measures, part.measures)):
        plain = _text(part, index, table)
        entries[index] += [*measure_marks(music[index], cells[index]), *measure_words(content, plain)]
        entries[index] += _lost_chords(part, index)
        if leads:
            entries[index] += shared_words(shared, before, _told(shared, before, len(score.measures), table))
        before = shared
    return _Column(part, *head, music=music, cells=cells, entries=entries, margin=0, leads=leads)


def _spell(part: Part, note: Note, origin: int | None, table: ReadingTable) -> Spelled:
    """A note as text: its fret and signs, or the pitches that it stands for."""
    spelling = next((t for t in note.techniques if isinstance(t, Spelling)), None)
    if part.is_fretted or spelling is None:
        return spell_note(note, origin, table)
    return Spelled("", amount_words(spelling), told=frozenset({SignName.PITCH}))


def _margin(score: Score, column: _Column) -> int:
    """The column where the strings begin: after their names and those of the rows."""
    named = {entry.row for entries in column.entries for entry in entries}
    if column.leads and any(measure.repeat.ending for measure in score.measures):
        named.add(ENDING)
    return max([*map(len, column.strings), *(len(row) + 1 for row in named)])


def _told(measure: Measure, before: Measure | None, count: int, table: ReadingTable) -> frozenset[str]:
    """What of a measure the barlines and the lines over the block tell."""
    told = {"label"} if is_label(measure.label, table) else set()
    if before is None and is_head_tempo(measure.tempo):
        told.add("tempo")
    ends, last = measure.repeat.end_times is not None, measure.index == count - 1
    read = Barline.FINAL if last else Barline.SINGLE
    if _barline(measure) == "||" and not ends and not last:
        read = Barline.DOUBLE
    if measure.barline is read:
        told.add("barline")
    return frozenset(told)


def _plain_chords(part: Part, index: int) -> list[tuple[Fraction, str]]:
    """The chord names of a measure that may stand in a row without a name: a capital alone only over a note."""
    content = part.measures[index]
    events = [event for voice in content.voices for event in voice.events]
    struck = {e.onset for e in events if any(note.string and not note.tie_from for note in e.notes)}
    return [
        (chord.onset, name)
        for chord in content.chords
        if chord_row(name := chord.name.text) == [(0, name)]
        and is_read_so(name)
        and (len(name) > 1 or chord.onset in struck)
    ]


def _lost_chords(part: Part, index: int) -> list[RowEntry]:
    """The other chord names of a measure."""
    plain = _plain_chords(part, index)
    chords = [(chord.onset, chord.name.text) for chord in part.measures[index].chords]
    return [RowEntry(CHORDS, onset, as_typed(name)) for onset, name in chords if (onset, name) not in plain]


def _lay(score: Score, column: _Column, index: int) -> Laid:
    """One measure of a part in columns, with as few dashes as its string lines need to be known for such."""
    measure = score.measures[index]
    chords = _plain_chords(column.part, index)
    repeat = measure.repeat
    frame = Frame(
        len(column.strings),
        measure.length,
        measure.metre.unit,
        repeat.start,
        repeat.end_times is not None,
        rooms_of(column.entries[index], ending_text(measure) if column.leads else ""),
    )
    for gap in _GAPS:
        laid = lay_out(column.music[index], column.cells[index], chords, frame, gap)
        if not column.part.is_fretted or all(map(_is_known, laid.rows)):
            break
    column.entries[index].extend(RowEntry(CHORDS, *chord) for chord in laid.missing)
    return laid


def _barline(measure: Measure) -> str:
    return "||" if measure.barline in (Barline.DOUBLE, Barline.FINAL) else "|"


def _times(measure: Measure) -> str:
    """How often a repeat is played, as it stands after the line; "" for the usual twice."""
    times = measure.repeat.end_times
    return "" if times in (None, _USUAL_TIMES) else f" x{times}"


def _prefix(column: _Column) -> int:
    """Columns before the first measure: the names of the strings, a barline."""
    return column.margin + 1


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
        need = [row[index].width + len(_barline(measure)) + len(_times(measure)) for row in laid]
        breaks = before is None or (
            index != before
            and (
                bool(measure.label)
                or measure.metre != score.measures[before].metre
                or bool(_times(score.measures[before]))
                or any(_text(column.part, index, table) for column in columns)
            )
        )
        if breaks or any(have + more > width for have, more in zip(used, need)):
            systems.append([])
            used = [_prefix(column) for column in columns]
        systems[-1].append(index)
        used = [have + more for have, more in zip(used, need)]
        before = index
    return systems


def _text(part: Part, index: int, table: ReadingTable) -> str:
    """The words at the start of a measure, when the text can have them."""
    texts = part.measures[index].texts
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
    lines.extend(line for line in (column.name, _text(column.part, index, table)) if line)
    return lines


def _block(score: Score, column: _Column, laid: Sequence[Laid], system: Sequence[int]) -> list[str]:
    """The lines of one block: chord names, values, strings."""
    position = _prefix(column)
    chords, values = "", ["", ""]
    onsets: list[int] = []
    wide = column.margin > max(map(len, column.strings))
    lines = [
        (name.rjust(position - 1) if wide else name.ljust(position - 1)) + "|" for name in column.strings
    ]
    laid_measures: list[LaidMeasure] = []
    for index in system:
        measure = laid[index]
        laid_measures.append(LaidMeasure(index, position, measure, column.music[index].timed))
        for at, name in measure.chords:
            chords = chords.ljust(position + at) + name
        for number, row in enumerate(measure.values):
            for at, text in row:
                values[number] = values[number].ljust(position + at) + text
        for at, cells in zip(measure.columns, column.cells[index]):
            onsets.extend([position + at] if cells else [])
        barline = _barline(score.measures[index])
        lines = [line + row + barline for line, row in zip(lines, measure.rows)]
        position += measure.width + len(barline)
    lines[0] += _times(score.measures[system[-1]])
    over, under = (f"r{row[1:]}" if row and read_rhythm_row(row, onsets) is None else row for row in values)
    entries = dict(enumerate(column.entries))
    above, below = rows_of_block(score, laid_measures, entries, column.leads, column.margin)
    return [*above, *filter(None, (chords, over)), *lines, *filter(None, [under]), *below]
