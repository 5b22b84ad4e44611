"""Measures of one part while they are read: cut where a barline is missing, joined where a line ends before its barline."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from engrave.exchange.text_tab.lines.rows import Entry
from engrave.exchange.text_tab.lines.text_lines import RemarkLog
from engrave.exchange.text_tab.reading.cells import Cluster
from engrave.exchange.text_tab.reading.counting import restarts
from engrave.exchange.text_tab.reading.measures import TabMeasure
from engrave.exchange.text_tab.reading.rhythm import RhythmRow, counts_over, reaches
from engrave.exchange.text_tab.reading.voices import Exact

_UNBARRED = 16
"""Columns of a measure where no barlines are drawn: a sixteenth each (house rule)."""
_FRAMED = 2
"""Times so many columns that a line between two barlines may have as one measure (house rule)."""


@dataclass(slots=True)
class Draft:
    """One measure of one part: its columns and notes, and what the lines around say of it.

    `row` tells its rhythm, `under` that of a second voice; `rate` is how many quarters a column lasts in most measures. `chords` are (column of the measure, name, line of the text).
    """

    measure: TabMeasure
    clusters: list[Cluster]
    lead: int
    row: RhythmRow | None = None
    under: RhythmRow | None = None
    chords: list[tuple[int, str, int]] = field(default_factory=list)
    label: str = ""
    texts: list[str] = field(default_factory=list)
    time: str = ""
    exact: Exact | None = None
    entries: list[Entry] = field(default_factory=list)
    rate: float = 0.0

    @property
    def position(self) -> tuple[int, int]:
        """Line and column where the measure starts."""
        return self.measure.numbers[0], self.measure.column


def split_by_counts(draft: Draft, row: RhythmRow, log: RemarkLog) -> list[Draft]:
    """A stretch over which the count starts anew as so many measures: a barline is missing there."""
    edges = [0]
    for column in restarts(counts_over(row, draft.measure)):
        before = max(
            (c.column + 1 for c in draft.clusters if c.column < column - draft.measure.column), default=0
        )
        edge = max(before, column - draft.measure.column - 1)
        if edges[-1] < edge < draft.measure.width:
            edges.append(edge)
            what = "the count starts anew here, and no barline stands before it; one is read"
            log.add("doubted", draft.measure.numbers[0], draft.measure.column + edge, what)
    return cut_draft(draft, [*edges, draft.measure.width]) if len(edges) > 1 else [draft]


def split_by_columns(draft: Draft, log: RemarkLog) -> list[Draft]:
    """A long stretch without barlines as measures of sixteen columns, which is told; other measures stay whole."""
    measure = draft.measure
    count = (measure.width - draft.lead + _UNBARRED // 2) // _UNBARRED
    framed = measure.opened and measure.closed and count <= _FRAMED
    if not measure.alone or count < 2 or len(draft.clusters) <= _UNBARRED // 2 or framed:
        return [draft]
    log.add("guessed", *draft.position, f"this line has no barlines; it is cut at every {_UNBARRED} columns")
    edges = [0, *(draft.lead + _UNBARRED * n for n in range(1, count)), measure.width]
    return cut_draft(draft, edges)


def cut_draft(draft: Draft, edges: Sequence[int]) -> list[Draft]:
    """A measure cut into several at the columns `edges`, of which the first is 0 and the last the width."""
    pieces: list[Draft] = []
    measure, taken = draft.measure, 0
    for number, (start, stop) in enumerate(pairwise(edges)):
        last = number == len(edges) - 2
        piece = TabMeasure(
            rows=[row[start:stop] for row in measure.rows],
            numbers=measure.numbers,
            starts=[column + start for column in measure.starts],
            column=measure.column + start,
            opens=measure.opens and number == 0,
            closes=measure.closes and last,
            double=measure.double and last,
            times=measure.times if last else 0,
            from_here=measure.from_here and number == 0,
            to_here=measure.to_here and last,
        )
        inside: list[Cluster] = []
        while taken < len(draft.clusters) and (last or draft.clusters[taken].column < stop):
            inside.append(Cluster(draft.clusters[taken].column - start, draft.clusters[taken].cells))
            taken += 1
        pieces.append(Draft(piece, inside, draft.lead if number == 0 else 0))
    pieces[0].label, pieces[0].texts, pieces[0].time = draft.label, draft.texts, draft.time
    for column, name, line in draft.chords:
        index = max((i for i, start in enumerate(edges[:-1]) if start <= column), default=0)
        pieces[index].chords.append((column - edges[index], name, line))
    return pieces


def join_lines(before: list[Draft], drafts: list[Draft], log: RemarkLog) -> list[Draft]:
    """The measures of a line, without the first where it goes on with the last of the line `before`.

    That line begins with a barline and does not end with one, this one the other way round.
    """
    if not before or not drafts:
        return drafts
    last, first = before[-1].measure, drafts[0].measure
    line_start = next((d for d in before if d.measure.numbers == last.numbers), before[-1])
    whole = last.closed or first.opened or not line_start.measure.opened or not first.closed
    rows = any(d.row is not None and reaches(d.row, d.measure) for d in (before[-1], drafts[0]))
    if whole or rows or last.alone or len(last.rows) != len(first.rows):
        return drafts
    log.add(
        "doubted",
        *drafts[0].position,
        "no barline stands between this line and the one before; the measure goes on",
    )
    before[-1] = _joined(before[-1], drafts[0])
    return drafts[1:]


def _joined(draft: Draft, other: Draft) -> Draft:
    """Two halves of a measure as one; what stands over the second half goes along."""
    measure, following = draft.measure, other.measure
    width = measure.width
    whole = replace(
        measure,
        rows=[a + b for a, b in zip(measure.rows, following.rows)],
        closes=following.closes,
        double=following.double,
        times=following.times,
        to_here=following.to_here,
        closed=True,
    )
    moved = [
        entry._replace(
            column=entry.column - following.column + measure.column + width,
            until=entry.end - following.column + measure.column + width,
        )
        for entry in other.entries
    ]
    return replace(
        draft,
        measure=whole,
        clusters=[
            *draft.clusters,
            *(Cluster(cluster.column + width - other.lead, cluster.cells) for cluster in other.clusters),
        ],
        chords=[*draft.chords, *((column + width, name, line) for column, name, line in other.chords)],
        texts=[*draft.texts, *other.texts],
        entries=[*draft.entries, *moved],
    )
