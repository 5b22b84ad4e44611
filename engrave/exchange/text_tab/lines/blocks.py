"""Blocks of tab: four to eight string lines one under the other, or one or two lines of pitches, and the words around them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from engrave.exchange.text_tab.lines.rows import ABOVE, BELOW, Entry, is_row, read_row
from engrave.exchange.text_tab.lines.text_lines import RemarkLog

FEWEST, MOST = 4, 8
"""Strings of a fretted instrument in the score language."""
_LIKELY = (6, 4, 7, 5, 8)
"""How many lines a block has, the usual first (house rule)."""
_NAME = re.compile(r"[A-Ha-h][#b]?-?[0-9]?")
"""A name of a string; H is the B of German names."""
_GERMAN = {"H": "B", "h": "b"}
_NOTES = re.compile(r"[\dxXhpbrsvt~/\\()<>*.^ ]+")
_OTHER_ROW = re.compile(r"\s*(?:p\.? ?m\.?|let ring|l\.? ?r\.?)(?:[^a-z]|$)", re.IGNORECASE)
"""Rows that last, such as palm mutes: they are drawn with dashes too."""
_LEAST_DASHES = 3
_LONGEST_PREFIX = 24
"""Columns that a word before a string line may take."""
_DENSE = re.compile(r"\s*(?:[A-Ha-h][#b]?-?[0-9]?)?\s*\|[^\s|][^\s]*")
_SLACK = 4
"""Columns by which a dense line may be longer or shorter than its neighbour (house rule)."""
_PITCHED = re.compile(r"\s*pitches\s*(?=\|)")
PITCHED = "pitches"
"""The name of the lines of a part without strings."""
_MOST_PITCHED = 2
"""Lines of pitches of one part: one for each voice."""
_LONGEST_PITCHED = 300_000
"""Signs that all lines of pitches may have (house rule: their measures are a quarter as long as those of four strings)."""
_NUMBERED = re.compile(r"\s*(\d)\s*[|:]")


class TabLine(NamedTuple):
    """One string line: its number from 1, its name or "", the column (from 0) where `body` starts, words around it."""

    number: int
    name: str
    start: int
    body: str
    before: str = ""
    after: str = ""


class WordLine(NamedTuple):
    """A line that is no string line; `touches` when no blank line parts it from the block it belongs to.

    `typed` has the signs that were typed, column for column those of `text`.
    """

    number: int
    text: str
    touches: bool
    typed: str = ""

    @property
    def words(self) -> str:
        """The line as it was typed."""
        return self.typed or self.text


@dataclass(slots=True)
class Block:
    """The string lines of one block, thinnest string first, with the lines above and below.

    `entries` are those of the rows with a name in the margin, from the top down; their lines are not among the others.
    `part` is what it is headed by, where a line at the head tells of that part.
    """

    lines: list[TabLine]
    above: list[WordLine] = field(default_factory=list)
    below: list[WordLine] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    part: str = ""

    @property
    def strings(self) -> int:
        """How many strings it has; 0 where its lines hold pitches."""
        return 0 if self.lines[0].name == PITCHED else len(self.lines)


def read_tab_line(number: int, text: str) -> TabLine | None:
    """The string line or line of pitches that `text` is, or None."""
    pitched = _PITCHED.match(text)
    if pitched is not None:
        body, after = _split_tail(text[pitched.end() :])
        return TabLine(number, PITCHED, pitched.end(), body, after=after)
    if text.count("-") < _LEAST_DASHES or _OTHER_ROW.match(text) or is_row(text):
        return None
    line = _take_apart(number, text)
    return line if len(line.before) <= _LONGEST_PREFIX and _is_tab(line.body) else None


def _take_apart(number: int, text: str) -> TabLine:
    """A line with a dash or a barline in it as a string line."""
    first = min(position for position in (text.find("-"), text.find("|")) if position >= 0)
    prefix = text[:first].strip().rstrip(":").strip()
    name, before, start = "", "", first
    if prefix:
        *words, last = prefix.split()
        if _NAME.fullmatch(last):
            name, before = _GERMAN.get(last, last), " ".join(words)
        elif _NOTES.fullmatch(prefix) and not prefix[0].isalpha():
            start = len(text) - len(text.lstrip())
        else:
            before = prefix
    body, after = _split_tail(text[start:])
    return TabLine(number, name, start, body, before, after)


def _split_tail(text: str) -> tuple[str, str]:
    """The string line and the words after its last barline."""
    body, barline, tail = text.rpartition("|")
    if barline and tail.strip() and "-" not in tail:
        return body + barline, tail.strip()
    return text.rstrip(), ""


def _is_tab(body: str) -> bool:
    """Dashes, digits and barlines make up most of a string line, dashes a quarter of it (house rule)."""
    signs = len(body) - body.count(" ")
    dashes = body.count("-")
    solid = dashes + body.count("|") + sum(map(body.count, "0123456789"))
    return dashes >= _LEAST_DASHES and dashes * 4 >= signs and solid * 10 >= signs * 6


def find_blocks(
    lines: Sequence[str], log: RemarkLog, typed: Sequence[str] = ()
) -> tuple[list[Block], list[WordLine]]:
    """The blocks of a text and the words after the last of them. No blocks when there is no tab in it.

    `typed` are the lines with the signs that were typed. Raises ValueError for too many signs on lines of pitches.
    """
    found = {i: line for i, text in enumerate(lines) if (line := read_tab_line(i + 1, text)) is not None}
    pitched = sum(len(line.body) for line in found.values() if line.name == PITCHED)
    if pitched > _LONGEST_PITCHED:
        raise ValueError(
            f"the lines of pitches have {pitched} signs; {_LONGEST_PITCHED} are the most that are read"
        )
    _add_dense_lines(lines, found)
    order = list(range(len(lines)))
    cut = _cut_runs(found, order, log)
    if not cut:
        order = [i for i in order if lines[i].strip()]
        cut = _cut_runs(found, order, RemarkLog())
    if not cut:
        return [], []
    return _share_words(lines, typed or lines, found, cut)


def _add_dense_lines(lines: Sequence[str], found: dict[int, TabLine]) -> None:
    """Lines with hardly a dash are string lines too where they are as long as a string line beside them."""
    waiting = list(found)
    while waiting:
        index = waiting.pop()
        for beside in (index - 1, index + 1):
            if (
                beside in found
                or found[index].name == PITCHED
                or not 0 <= beside < len(lines)
                or not _DENSE.fullmatch(lines[beside])
            ):
                continue
            if abs(len(lines[beside]) - len(lines[index])) <= _SLACK:
                found[beside] = _take_apart(beside + 1, lines[beside])
                waiting.append(beside)


def _cut_runs(found: dict[int, TabLine], order: Sequence[int], log: RemarkLog) -> list[list[TabLine]]:
    """Runs of string lines that follow each other in `order`, cut into blocks."""
    blocks: list[list[TabLine]] = []
    run: list[TabLine] = []
    for index in [*order, -1]:
        line = found.get(index)
        goes_on = line is not None and (not run or (line.name == PITCHED) == (run[0].name == PITCHED))
        if run and not goes_on:
            pieces = _cut(run)
            if not pieces:
                what = f"{len(run)} lines of dashes make no block; a block has {FEWEST} to {MOST}"
                log.add("dropped", run[0].number, run[0].start, what)
            blocks.extend(pieces)
            run = []
        run.extend([] if line is None else [line])
    return blocks


def _cut(run: list[TabLine]) -> list[list[TabLine]]:
    """A run as blocks of equal size; none when that cannot be."""
    if run[0].name == PITCHED:
        return [run[start : start + _MOST_PITCHED] for start in range(0, len(run), _MOST_PITCHED)]
    if any(line.name for line in run):
        while run and not run[-1].name and len(run) > FEWEST:
            run = run[:-1]
        while run and not run[0].name and len(run) > FEWEST:
            run = run[1:]
    if FEWEST <= len(run) <= MOST:
        half = [line.name for line in run[:FEWEST]]
        if len(run) == 2 * FEWEST and all(half) and half == [line.name for line in run[FEWEST:]]:
            return [run[:FEWEST], run[FEWEST:]]
        return [run]
    names = [line.name for line in run]
    for size in _LIKELY:
        if len(run) and len(run) % size == 0 and names[:-size] == names[size:]:
            return [run[i : i + size] for i in range(0, len(run), size)]
    return []


def _share_words(
    lines: Sequence[str], typed: Sequence[str], found: dict[int, TabLine], cut: list[list[TabLine]]
) -> tuple[list[Block], list[WordLine]]:
    """Give each line of words to the block that it stands above, or touches from below."""
    blocks = [Block(_strip_numbers(piece)) for piece in cut]
    bottom = 0
    for index, block in enumerate(blocks):
        top = block.lines[0].number - 1
        between = [i for i in range(bottom, top) if i not in found]
        block.above = _touching(lines, typed, between, top, -1)
        if index:
            under = _touching(lines, typed, between, bottom - 1, 1)
            blocks[index - 1].below = [line for line in under if line.touches]
        bottom = block.lines[-1].number
    rest = _touching(lines, typed, [i for i in range(bottom, len(lines)) if i not in found], bottom - 1, 1)
    blocks[-1].below = [line for line in rest if line.touches]
    return blocks, _take_rows(blocks, rest)


def _take_rows(blocks: Sequence[Block], rest: Sequence[WordLine]) -> list[WordLine]:
    """Give each block the entries of its own rows; what remains of `rest`, the words after the last block."""
    used: set[int] = set()
    for block in blocks:
        margin = block.lines[0].start
        for lines, names in ((block.above, ABOVE), (block.below, BELOW)):
            for line in lines:
                if line.number not in used:
                    entries = read_row(line.number, line.text, margin, names, line.words)
                    used |= set() if entries is None else {line.number}
                    block.entries.extend(entries or ())
    for block in blocks:
        block.above = [line for line in block.above if line.number not in used]
        block.below = [line for line in block.below if line.number not in used]
    return [line for line in rest if line.number not in used]


def _touching(
    lines: Sequence[str], typed: Sequence[str], indices: Sequence[int], edge: int, step: int
) -> list[WordLine]:
    """The lines with words among `indices`; those that reach the block at `edge` without a gap touch it."""
    touching: set[int] = set()
    allowed = set(indices)
    current = edge + step
    while current in allowed and lines[current].strip():
        touching.add(current)
        current += step
    words = [i for i in indices if lines[i].strip()]
    return [WordLine(i + 1, lines[i], i in touching, typed[i]) for i in words]


def _strip_numbers(lines: list[TabLine]) -> list[TabLine]:
    """The lines without the numbers of the strings, where each line starts with its own."""
    matches = [_NUMBERED.match(line.body) for line in lines]
    if [match.group(1) if match else "" for match in matches] != [str(n + 1) for n in range(len(lines))]:
        return lines
    return [
        line._replace(start=line.start + match.end() - 1, body=line.body[match.end() - 1 :])
        for line, match in zip(lines, matches)
        if match
    ]
