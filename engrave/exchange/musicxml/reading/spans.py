"""Signs that last: their starts and stops in the file turned into lengths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import At, SpanEdge, StaffMeasure
from engrave.exchange.musicxml.reading.rhythm import GRID, snap

_RIVALS = {"diminuendo": "crescendo", "half-barre": "barre", "8vb": "8va", "15ma": "8va", "15mb": "8va"}
"""Signs that cannot hold together with another kind (the checks of the score have the same)."""
_MOST_SHARES = 999
"""The largest upper number of a length in the language."""


@dataclass(slots=True)
class _Span:
    """A sign from `start` to `end`, whole notes from the start of the piece; `index` and `onset` say where it is written."""

    name: str
    start: Fraction
    end: Fraction | None
    index: int
    onset: Fraction
    lasting: bool = False


def write_spans(
    measures: Sequence[StaffMeasure], starts: Sequence[Fraction], numbers: Sequence[str], losses: LossLog
) -> dict[int, list[At]]:
    """The spans of a part by measure. `starts` of the measures and the end of the piece, in whole notes."""
    spans = _collect(measures, starts, losses)
    found: dict[int, list[At]] = {}
    latest: dict[str, _Span] = {}
    kept: list[_Span] = []
    for span in sorted(spans, key=lambda span: span.start):
        end = span.end if span.end is not None else starts[span.index + 1]
        span.end = min(end, starts[-1])
        kind = span.name.split()[0]
        kind = _RIVALS.get(kind, kind)
        before = latest.get(kind)
        losses.at(losses.part, numbers[span.index])
        if before is not None and before.end is not None and before.end > span.start:
            if before.start == span.start and before.name == span.name:
                before.end = max(before.end, span.end)
                continue
            if before.start == span.start:
                losses.add(f"{span.name} at the same time as {before.name}")
                continue
            before.end = span.start
        if span.end <= span.start:
            losses.add(f"{span.name} without length")
            continue
        latest[kind] = span
        kept.append(span)
    for span in kept:
        assert span.end is not None
        text = f"{span.name} for {_length(span.end - span.start)}"
        found.setdefault(span.index, []).append(At(span.onset, text))
    return found


def _length(length: Fraction) -> str:
    """A length on the grid of sixty-fourths as the language writes it: "5/4", "16/1 + 3/64"."""
    wholes = length.numerator // length.denominator if length * GRID > _MOST_SHARES else 0
    rest = length - wholes
    pieces = [f"{min(wholes, _MOST_SHARES)}/1"] if wholes else []
    if rest:
        pieces.append(f"{rest.numerator}/{rest.denominator}")
    return " + ".join(pieces)


def _collect(measures: Sequence[StaffMeasure], starts: Sequence[Fraction], losses: LossLog) -> list[_Span]:
    spans: list[_Span] = []
    open_spans: dict[tuple[str, str], _Span] = {}
    for index, measure in enumerate(measures):
        for edge in measure.edges:
            _take(edge, index, starts, spans, open_spans, losses)
    for span in open_spans.values():
        losses.add(f"end of {span.name}")
    return spans


def _take(
    edge: SpanEdge,
    index: int,
    starts: Sequence[Fraction],
    spans: list[_Span],
    open_spans: dict[tuple[str, str], _Span],
    losses: LossLog,
) -> None:
    now = starts[index] + snap(edge.onset)
    key = ("words" if edge.kind == "open" else edge.kind, edge.number)
    if edge.kind == "open":
        span = next((s for s in reversed(spans) if s.name == edge.name and s.start == now), None)
        if span is not None:
            open_spans[key] = span
    elif not edge.starts:
        closing = open_spans.pop(key, None)
        if closing is None:
            losses.add("end of a sign that has no start")
        else:
            closing.end = now
    elif edge.kind == "lasting":
        end = starts[index] + snap(edge.until) if edge.until is not None else None
        before = next((s for s in reversed(spans) if s.lasting and s.name == edge.name), None)
        if before is not None and before.end is not None and before.end >= now and end is not None:
            before.end = max(before.end, end)
        else:
            spans.append(_Span(edge.name, now, end, index, snap(edge.onset), True))
    elif not (edge.kind == "words" and any(s.name == edge.name and s.start == now for s in spans)):
        before = open_spans.pop(key, None)
        if before is not None:
            before.end = now
        span = _Span(edge.name, now, None, index, snap(edge.onset))
        spans.append(span)
        if edge.kind != "words":
            open_spans[key] = span
