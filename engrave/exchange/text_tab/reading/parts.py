"""Blocks sorted into parts: one for each name over a block and each number of strings."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from engrave.exchange.text_tab.lines.blocks import PITCHED, Block
from engrave.exchange.text_tab.lines.instruments import is_upside_down
from engrave.exchange.text_tab.lines.loose_rows import Stage
from engrave.exchange.text_tab.lines.part_lines import PartLine, take_part_lines
from engrave.exchange.text_tab.lines.rows import ENDING, Entry
from engrave.exchange.text_tab.lines.table import ReadingTable
from engrave.exchange.text_tab.lines.text_lines import RemarkLog
from engrave.exchange.text_tab.reading.cells import Cluster, RowReader
from engrave.exchange.text_tab.reading.clusters import gather, read_pitch_cells
from engrave.exchange.text_tab.reading.drafts import Draft, join_lines, split_by_columns, split_by_counts
from engrave.exchange.text_tab.reading.guess import lead_of
from engrave.exchange.text_tab.reading.measures import TabMeasure, cut_measures
from engrave.exchange.text_tab.reading.rhythm import settle_row
from engrave.exchange.text_tab.reading.tails import read_tails, repeat_in_words
from engrave.exchange.text_tab.reading.words import (
    Around,
    colon_name,
    heading,
    instrument_family,
    part_name,
    read_above,
    read_below,
    section_label,
)

_MOST_NAMED = 7
"""Parts with names of their own; with those told apart by their strings they stay within the twelve of a score."""
_MOST_PARTS = 12
"""Parts of a score."""


@dataclass(slots=True)
class PartDraft:
    """One part: the name over its blocks, how many strings (0: it is written in pitches), their names if told, its measures, the line about it."""

    name: str
    strings: int
    family: str
    names: list[str] = field(default_factory=list)
    drafts: list[Draft] = field(default_factory=list)
    reader: RowReader | None = None
    told: PartLine | None = None


class BlockRead(NamedTuple):
    """What the lines around a block say, and the first measure of the block (None: it has none)."""

    around: Around
    first: Draft | None


def read_parts(
    blocks: Sequence[Block], table: ReadingTable, log: RemarkLog, loose: bool = True
) -> tuple[list[PartDraft], list[BlockRead]]:
    """The parts of a text, and what the lines around each block say; `loose`: rows without a name in the margin are read."""
    parts: list[PartDraft] = []
    reads: list[BlockRead] = []
    lines = {line.label: line for line in take_part_lines(blocks, log)}
    people = _people(blocks, table)
    used: set[int] = set()
    for block in blocks:
        above = [line for line in block.above if line.number not in used]
        told = lines.get(block.part)
        if told is not None and told.instrument.strings == block.strings:
            part: PartDraft | None = _part_told(parts, told, block.strings)
        else:
            name = _block_name(block, table, people)
            part = _part_of(parts, name, instrument_family(name, table), block)
        if part is None:
            log.add("dropped", block.lines[0].number, 0, f"a score has at most {_MOST_PARTS} parts")
            continue
        _turn(block, part, log)
        measures = cut_measures(block, log)
        part.reader = part.reader or RowReader(table, log)
        notes = [
            gather(part.reader.read(measure), log) if part.strings else read_pitch_cells(measure, log)
            for measure in measures
        ]
        stage = _stage(measures, notes)
        around = read_above(above, stage, table, people, loose)
        read_below(block.below, stage, around, loose)
        read_tails(block.lines, stage, around, loose, log)
        if around.sung:
            log.add("guessed", around.sung, 0, "these words are read as sung to the notes over them")
        used |= around.used
        drafts = _drafts(measures, notes, around, log)
        _share_entries(drafts, [*block.entries, *around.entries])
        repeat_in_words([draft.measure for draft in drafts], around.times, log)
        reads.append(BlockRead(around, drafts[0] if drafts else None))
        part.drafts.extend(join_lines(part.drafts, drafts, log))
    for part in parts:
        if part.reader is not None:
            part.reader.finish()
    return parts, reads


def _stage(measures: Sequence[TabMeasure], notes: Sequence[Sequence[Cluster]]) -> Stage:
    """What loose rows around a block stand over."""
    struck = tuple(
        (measure.column + cluster.column, len(cluster.cells))
        for measure, clusters in zip(measures, notes)
        for cluster in clusters
    )
    edges = tuple((measure.column, measure.column + measure.width) for measure in measures)
    return Stage(struck, edges, any(measure.opens or measure.closes for measure in measures))


def _people(blocks: Sequence[Block], table: ReadingTable) -> frozenset[str]:
    """Names with a colon that head blocks again and again, two of them at least: players."""
    counts = Counter(
        name for block in blocks for line in block.above if (name := colon_name(line.text, table))
    )
    return frozenset(counts) if len(counts) > 1 and max(counts.values()) > 1 else frozenset()


def _block_name(block: Block, table: ReadingTable, people: frozenset[str]) -> str:
    """The name of the part that a block is headed by; "" without one."""
    for line in reversed(block.above):
        if section_label(line.text, table) or heading(line.text, table):
            continue
        name = part_name(line.text, table)
        other = colon_name(line.text, table)
        if name or other in people:
            return name or other
    return next((part_name(line.before, table) for line in block.lines if part_name(line.before, table)), "")


def _part_of(parts: list[PartDraft], name: str, family: str, block: Block) -> PartDraft | None:
    """The part that a block goes on with, or a new one; None when there are too many."""
    strings = block.strings
    same = [part for part in parts if part.strings == strings and part.told is None]
    if name:
        for part in same:
            if part.name.lower() == name.lower():
                return part
        if sum(bool(part.name) for part in parts) >= _MOST_NAMED:
            name = ""
    if not name and same:
        return same[-1]
    return _new_part(parts, PartDraft(name, strings, family))


def _new_part(parts: list[PartDraft], part: PartDraft) -> PartDraft | None:
    if len(parts) == _MOST_PARTS:
        return None
    parts.append(part)
    return part


def _part_told(parts: list[PartDraft], told: PartLine, strings: int) -> PartDraft | None:
    """The part that a line at the head tells of; None when there are too many."""
    for part in parts:
        if part.told is told:
            return part
    return _new_part(parts, PartDraft(told.name, strings, "", told=told))


def _turn(block: Block, part: PartDraft, log: RemarkLog) -> None:
    """Put the thinnest string first, and keep the names of the strings."""
    names = [line.name for line in block.lines if line.name != PITCHED]
    if part.told is None and is_upside_down(names, part.family):
        first = block.lines[0]
        log.add("guessed", first.number, 0, "this block is read with the thickest string on top")
        block.lines.reverse()
        names.reverse()
    if not part.names and any(names):
        part.names = names
    if names and not any(names) and not part.names and not part.drafts and part.told is None:
        what = "the strings have no names; the upper line is read as the thinnest"
        log.add("guessed", block.lines[0].number, block.lines[0].start, what)
    for line in block.lines:
        if line.before and not part.name:
            log.add("dropped", line.number, 0, f'"{line.before}" before the line')


def _drafts(
    measures: Sequence[TabMeasure], notes: Sequence[list[Cluster]], around: Around, log: RemarkLog
) -> list[Draft]:
    """The measures of a block with what stands over them."""
    lead = lead_of(notes)
    drafts = [Draft(measure, clusters, lead) for measure, clusters in zip(measures, notes)]
    if around.rows:
        row = settle_row(around.rows[0], list(zip(measures, notes)), log)
        under = around.under and settle_row(around.under, list(zip(measures, notes)), log)
        drafts = [piece for draft in drafts for piece in split_by_counts(draft, row, log)]
        for draft in drafts:
            draft.row, draft.under = row, under
    else:
        drafts = [piece for draft in drafts for piece in split_by_columns(draft, log)]
    for column, name, line in around.chords:
        index = bisect_right(drafts, column, key=lambda draft: draft.measure.column - 1)
        if drafts:
            owner = drafts[max(0, index - 1)]
            owner.chords.append((column - owner.measure.column, name, line))
    if drafts:
        drafts[0].label = around.labels[0][1] if around.labels else ""
        drafts[0].texts.extend(label for _, label in around.labels[1:])
        drafts[0].time = around.time
    return drafts


def _share_entries(drafts: Sequence[Draft], entries: Sequence[Entry]) -> None:
    """Give each measure what stands over it in the rows; an ending holds for every measure that it reaches."""
    for entry in entries:
        index = max(0, bisect_right(drafts, entry.column, key=lambda draft: draft.measure.column - 1) - 1)
        for draft in drafts[index : index + 1]:
            draft.entries.append(entry)
        for draft in drafts[index + 1 :] if entry.row == ENDING else ():
            if draft.measure.column + 1 < entry.end:
                draft.entries.append(entry)
