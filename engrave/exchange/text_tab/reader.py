"""The front door: the bytes of a plain-text tab become the tree of a score, with remarks on what was made of it."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from typing import Any, NamedTuple

from engrave.exchange.text_tab.lines.blocks import WordLine, find_blocks
from engrave.exchange.text_tab.lines.fillers import draw_with_dashes
from engrave.exchange.text_tab.lines.head_facts import take_facts
from engrave.exchange.text_tab.lines.table import ReadingTable, shipped_table
from engrave.exchange.text_tab.lines.text_lines import Remark, RemarkLog, plain_words, read_lines, typed_lines
from engrave.exchange.text_tab.reading.cells import Cell
from engrave.exchange.text_tab.reading.drafts import Draft
from engrave.exchange.text_tab.reading.parts import BlockRead, PartDraft, read_parts
from engrave.exchange.text_tab.reading.score_tree import Heads, build_head, build_measures, read_key
from engrave.exchange.text_tab.reading.slips import remark_foreign_notes, remark_jumps
from engrave.exchange.text_tab.reading.timing import read_time, set_times
from engrave.exchange.text_tab.reading.words import Around, facts_in_prose
from engrave.problems import ProblemLog, Severity
from engrave.reading.load import read_text_score
from engrave.theory.instrument import Instrument
from engrave.writing.dump import dump_score

__all__ = ["Remark", "TextTab", "read_text_tab"]

_LONGEST_TEXT = 60
"""Characters of words between blocks that are printed over the music (house rule)."""
_LONGEST_TITLE = 80


class TextTab(NamedTuple):
    """What was read: the tree in the score language, and remarks by line."""

    tree: dict[str, Any]
    notes: list[Remark]


def read_text_tab(data: bytes, table: ReadingTable | None = None) -> TextTab:
    """Read plain-text tab: blocks of four to eight lines of dashes, with words, chord names and rhythm around them.

    `table` stands in for the one of styles/exchange/text-tab.yaml. Blocks begin and end with a
    barline, drawn or not. Where no row tells the rhythm, it is guessed from the spacing, and a remark says so for every
    such measure. Slips are pointed out and left as they stand.

    Raises ValueError when there is no block of tab in the text, and when it is longer than `LARGEST_INPUT`.
    """
    signs = table or shipped_table()
    lines, typed = draw_with_dashes(read_lines(data)), typed_lines(data)
    remarks: list[Remark] = []
    for rows in _Rows:
        found, has_rows = _read(lines, typed, signs, rows)
        problems = ProblemLog("text tab")
        if not has_rows or read_text_score(dump_score(found.tree), problems) is not None:
            break
        first = next(problem for problem in problems.in_order() if problem.severity is Severity.ERROR)
        remarks = [Remark(1, 1, f"{rows.value} contradict the music; none is read: {first.what}", "dropped")]
    return TextTab(found.tree, [*remarks, *found.notes])


class _Rows(Enum):
    """Which rows around the tab are read, beside chord names and rhythm, and what they are called where they fail."""

    ALL = "rows over or under the strings"
    NAMED = "rows with names in the margin, or lines about the page,"
    NONE = "no rows"


def _read(
    lines: Sequence[str], typed: Sequence[str], signs: ReadingTable, rows: _Rows
) -> tuple[TextTab, bool]:
    """What the lines of a text say, with some of the rows around; whether it has any of those."""
    log = RemarkLog()
    blocks, rest = find_blocks(lines, log, typed)
    facts = take_facts(blocks)
    named = rows is not _Rows.NONE
    has_rows = named and (bool(facts) or any(block.entries for block in blocks))
    for block in blocks:
        block.entries = block.entries if named else []
    if not blocks:
        raise ValueError(
            "there is no tab in this text; a block has four to eight lines of dashes with frets on them"
        )
    parts, reads = read_parts(blocks, signs, log, rows is _Rows.ALL)
    has_rows = has_rows or any(read.around.entries or read.around.times for read in reads)
    used = {number for read in reads for number in read.around.used}
    heads = _read_heads(reads, log)
    for line in rest:
        if line.number not in used:
            log.add("dropped", line.number, 0, f'"{plain_words(line.text)[:40]}" after the music')
    parts = [part for part in parts if part.drafts]
    if not parts:
        raise ValueError("there is no tab in this text; its blocks hold no measure")
    if len(parts) == 1 and parts[0].told is None:
        _name_alone(reads[0], signs, heads, log)
    stated = heads["time"][1] if "time" in heads else ""
    measures = set_times(parts, stated, log)
    tree, instruments = build_head(heads, parts, log)
    tree.update(facts if named else {})
    tree["measures"] = build_measures(measures, parts, log)
    _remark_slips(parts, instruments, heads, log)
    return TextTab(tree, log.in_order()), has_rows


def _read_heads(reads: Sequence[BlockRead], log: RemarkLog) -> Heads:
    """What the lines over the blocks say of the whole piece; other words go to the measure after them."""
    heads: Heads = {}
    for index, (around, first) in enumerate(reads):
        for line, key, words in reversed(around.heads):
            if key in heads:
                log.add("dropped", line, 0, f'"{words[:40]}": the piece has its {key} already')
            elif key == "time" and read_time(words) is None:
                log.add("dropped", line, 0, f'"{words[:40]}" is not a time known here')
            elif words:
                heads[key] = (line, words)
        if around.time and read_time(around.time) is None:
            log.add(
                "dropped", first.position[0] if first else 1, 0, f"{around.time} is not a time known here"
            )
        words_left = _take_title(around.words, heads, log) if index == 0 else around.words
        if index == 0:
            _take_facts(words_left, around, heads, log)
        _place_words(words_left, first, index > 0, log)
    return heads


def _take_facts(lines: Sequence[WordLine], around: Around, heads: Heads, log: RemarkLog) -> None:
    """A time, a tempo and a capo that words before the music speak of, where nothing else tells them."""
    for line in lines:
        for key, words in facts_in_prose(line.text):
            if key not in heads and not (key == "time" and around.time):
                heads[key] = (line.number, words)
                what = f"{words} is taken for the {key} of the piece"
                log.add("guessed", line.number, line.text.find(words), what)


def _take_title(words: Sequence[WordLine], heads: Heads, log: RemarkLog) -> Sequence[WordLine]:
    """The first line of the text as its title, when nothing else is called so; what remains."""
    text = plain_words(words[0].words) if words else ""
    if not text or words[0].touches or "title" in heads or len(text) > _LONGEST_TITLE:
        return words
    heads["title"] = (words[0].number, text)
    log.add("guessed", words[0].number, 0, "the first line is read as the title")
    return words[1:]


def _name_alone(read: BlockRead, signs: ReadingTable, heads: Heads, log: RemarkLog) -> None:
    """The name of the only part of a text says more than its instrument: it is the title, when nothing else is called so."""
    line = read.around.part
    text = plain_words(line.words).rstrip(":") if line is not None else ""
    if line is None or text.lower() in signs.instruments:
        return
    if "title" in heads:
        log.add("dropped", line.number, 0, f'"{text[:40]}" over the music: one part alone has no name')
    else:
        heads["title"] = (line.number, text)
        log.add("guessed", line.number, 0, "the name of the part is read as the title")


def _place_words(words: Sequence[WordLine], first: Draft | None, inside: bool, log: RemarkLog) -> None:
    """One short line of words over the music is printed there; longer ones are dropped."""
    for word in words:
        text = plain_words(word.words)
        if first is not None and (word.touches or inside) and len(text) <= _LONGEST_TEXT and not first.texts:
            if text:
                first.texts.append(text)
        else:
            log.add("dropped", word.number, 0, f'"{text[:40]}" beside the music')


def _remark_slips(
    parts: Sequence[PartDraft], instruments: Sequence[Instrument], heads: Heads, log: RemarkLog
) -> None:
    """Point out what is probably mistyped."""
    played: list[tuple[Instrument, Cell]] = []
    for part, instrument in zip(parts, instruments):
        if not part.strings:
            continue
        clusters = [cluster for draft in part.drafts for cluster in draft.clusters]
        remark_jumps(clusters, log)
        played.extend((instrument, cell) for cluster in clusters for cell in cluster.cells)
    remark_foreign_notes(played, read_key(heads), log)
