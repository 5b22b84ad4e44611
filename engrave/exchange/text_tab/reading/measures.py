"""A block cut at its barlines."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from engrave.exchange.text_tab.lines.blocks import Block, TabLine
from engrave.exchange.text_tab.lines.text_lines import RemarkLog

_BAR = re.compile(r"\|+")
_TIMES = re.compile(r"\(?(?:[xX]\s?(\d{1,2})|(\d{1,2})\s?[xX])\)?")
_SLACK = 4
"""Columns by which the barlines of one bar may miss each other (house rule)."""

Span = tuple[int, int]


@dataclass(slots=True)
class TabMeasure:
    """One measure of one block. `rows` are equally long, thinnest string first.

    `numbers` and `starts` say where each row stands: its line (from 1) and its first column (from 0); `column` is
    the usual first column. `times` is how often a repeat is played, 0 when nothing is said.
    """

    rows: list[str]
    numbers: list[int]
    starts: list[int]
    column: int
    opens: bool = False
    closes: bool = False
    double: bool = False
    times: int = 0
    alone: bool = False

    @property
    def width(self) -> int:
        """Columns from barline to barline."""
        return len(self.rows[0])


@dataclass(slots=True)
class _Line:
    """One barline as all strings have it: a span for each string, what it repeats, whether it is double."""

    spans: list[Span]
    opens: bool = False
    closes: bool = False
    double: bool = False


def cut_measures(block: Block, log: RemarkLog) -> list[TabMeasure]:
    """The measures of a block, left to right; lines of different lengths are filled up and remarked."""
    lines = block.lines
    bodies = [line.body for line in lines]
    barlines = [_describe(bodies, spans) for spans in _find_spans(lines, log)]
    left = _Line([(0, 0)] * len(lines))
    right = _Line([(len(body), len(body)) for body in bodies])
    edges = [left, *barlines, right]
    measures: list[TabMeasure] = []
    for before, after in pairwise(edges):
        measure = _cut_one(lines, before, after, log)
        if measure is None:
            if measures and after is right:
                break
            continue
        measures.append(measure)
    for measure in measures:
        measure.alone = len(measures) == 1
    if measures:
        _read_tails(lines, measures[-1], log)
    return measures


def _find_spans(lines: Sequence[TabLine], log: RemarkLog) -> list[list[Span]]:
    """The barlines: each with its span on every string."""
    own = [[match.span() for match in _BAR.finditer(line.body)] for line in lines]
    if len({len(spans) for spans in own}) == 1:
        columns = list(zip(*own))
        if all(max(s[0] for s in c) - min(s[0] for s in c) <= _SLACK for c in columns):
            return [list(column) for column in columns]
    votes = Counter(column for spans in own for span in spans for column in range(*span))
    agreed = sorted(column for column, count in votes.items() if 2 * count >= len(lines))
    spans: list[Span] = []
    for column in agreed:
        if spans and spans[-1][1] == column:
            spans[-1] = (spans[-1][0], column + 1)
        else:
            spans.append((column, column + 1))
    kept = set(agreed)
    for line, found in zip(lines, own):
        for start, stop in found:
            if not kept.intersection(range(start, stop)):
                log.add(
                    "slip", line.number, line.start + start, "this barline does not line up with the others"
                )
    return [[span] * len(lines) for span in spans]


def _describe(bodies: Sequence[str], spans: list[Span]) -> _Line:
    """What a barline says: repeat dots on its sides, single or double."""
    before = "".join(body[start - 1 : start] if start else "" for body, (start, _) in zip(bodies, spans))
    after = "".join(body[stop : stop + 1] for body, (_, stop) in zip(bodies, spans))
    double = any(stop - start > 1 for start, stop in spans)
    return _Line(spans, _has_dots(after, double), _has_dots(before, double), double)


def _has_dots(signs: str, double: bool) -> bool:
    """Colons repeat; so do stars beside a double barline or on two strings, and rings beside a double barline."""
    stars, rings = signs.count("*"), signs.count("o")
    return ":" in signs or stars > 1 or (double and stars + rings > 0)


def _cut_one(lines: Sequence[TabLine], before: _Line, after: _Line, log: RemarkLog) -> TabMeasure | None:
    """The measure between two barlines; None when nothing is there."""
    rows = [
        line.body[left[1] : max(left[1], right[0])]
        for line, left, right in zip(lines, before.spans, after.spans)
    ]
    if not any(row.strip(" :*o") for row in rows):
        return None
    starts = [line.start + left[1] for line, left in zip(lines, before.spans)]
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
    if opens and row[:1] in tuple(":*o"):
        row = "-" + row[1:]
    if closes and row[-1:] in tuple(":*o"):
        row = row[:-1] + "-"
    return row.replace("|", "-")


def _read_tails(lines: Sequence[TabLine], last: TabMeasure, log: RemarkLog) -> None:
    """How often the last measure's repeat is played, written after a line as x3; other words are dropped."""
    for line in lines:
        if not line.after:
            continue
        match = _TIMES.fullmatch(line.after)
        times = int(match.group(1) or match.group(2)) if match else 0
        if last.closes and times > 1:
            last.times = times
        else:
            log.add(
                "dropped", line.number, line.start + len(line.body) + 1, f'"{line.after[:40]}" after the line'
            )
