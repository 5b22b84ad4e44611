"""A block cut at its barlines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from engrave.exchange.text_tab.lines.blocks import Block, TabLine
from engrave.exchange.text_tab.lines.text_lines import RemarkLog
from engrave.exchange.text_tab.reading.barlines import DOTS, Barline, find_barlines

_STUB = 2
"""What stands after the last barline is no measure when it is less than one part in so many of a usual one (house rule)."""


@dataclass(slots=True)
class TabMeasure:
    """One measure of one block. `rows` are equally long, thinnest string first.

    `numbers` and `starts` say where each row stands: its line (from 1) and its first column (from 0); `column` is
    the usual first column. `opens` and `closes`: dots of a repeat stand at its sides. `times` is how often a repeat is
    played, 0 when nothing is said; `opened` and `closed`: a barline stands before and after it; `from_here` and `to_here`: words tell of a repeat that has no dots.
    """

    rows: list[str]
    numbers: list[int]
    starts: list[int]
    column: int
    opens: bool = False
    closes: bool = False
    double: bool = False
    times: int = 0
    from_here: bool = False
    to_here: bool = False
    alone: bool = False
    opened: bool = True
    closed: bool = True

    @property
    def width(self) -> int:
        """Columns from barline to barline."""
        return len(self.rows[0])


def cut_measures(block: Block, log: RemarkLog) -> list[TabMeasure]:
    """The measures of a block, left to right; lines of different lengths are filled up and remarked."""
    lines = block.lines
    bodies = [line.body for line in lines]
    left = Barline([(0, 0)] * len(lines))
    right = Barline([(len(body), len(body)) for body in bodies])
    edges = [left, *find_barlines(lines, log), right]
    measures: list[TabMeasure] = []
    for before, after in pairwise(edges):
        if after is right and measures and _is_stub(lines, before, measures):
            break
        measure = _cut_one(lines, before, after, log)
        if measure is None:
            continue
        measure.opened, measure.closed = before is not left, after is not right
        measures.append(measure)
    for measure in measures:
        measure.alone = len(measures) == 1
    return measures


def _is_stub(lines: Sequence[TabLine], before: Barline, others: Sequence[TabMeasure]) -> bool:
    """Whether dashes after the last barline are but the ragged ends of lines."""
    rest = [line.body[stop:] for line, (_, stop) in zip(lines, before.spans)]
    usual = median(other.width for other in others)
    return not any(text.strip(f"-=_ {DOTS}") for text in rest) and max(map(len, rest)) * _STUB < usual


def _cut_one(lines: Sequence[TabLine], before: Barline, after: Barline, log: RemarkLog) -> TabMeasure | None:
    """The measure between two barlines; None when nothing is there."""
    rows = [
        line.body[left[1] : max(left[1], right[0])]
        for line, left, right in zip(lines, before.spans, after.spans)
    ]
    if not any(row.strip(f" {DOTS}") for row in rows):
        return None
    blank = min(len(row) - len(row.lstrip(" ")) for row in rows)
    rows = [row[blank:] for row in rows]
    starts = [line.start + left[1] + blank for line, left in zip(lines, before.spans)]
    width = max(map(len, rows))
    numbers = [line.number for line in lines]
    for row, number, start in zip(rows, numbers, starts):
        if len(row) < width:
            short = width - len(row)
            what = f"this line is shorter than the others here by {short} column{'s' if short > 1 else ''}"
            log.add("slip", number, start + len(row), what)
    rows = [_without_dots(row, before.opens, after.closes).ljust(width, "-") for row in rows]
    column = Counter(starts).most_common(1)[0][0]
    return TabMeasure(
        rows=rows,
        numbers=numbers,
        starts=starts,
        column=column,
        opens=before.opens,
        closes=after.closes,
        double=after.double,
    )


def _without_dots(row: str, opens: bool, closes: bool) -> str:
    """A row whose repeat dots have become dashes."""
    if opens and row[:1] in tuple(DOTS):
        row = "-" + row[1:]
    if closes and row[-1:] in tuple(DOTS):
        row = row[:-1] + "-"
    return row.replace("|", "-")
