"""Where the signs that last begin and end, counted over measures."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.score.sign_list import SignName
from engrave.score.structure import SpanAt

_RIVALS = {
    SignName.DIMINUENDO: SignName.CRESCENDO,
    SignName.HALF_BARRE: SignName.BARRE,
    SignName.OCTAVE_LOWER: SignName.OCTAVE_HIGHER,
    SignName.TWO_OCTAVES_HIGHER: SignName.OCTAVE_HIGHER,
    SignName.TWO_OCTAVES_LOWER: SignName.OCTAVE_HIGHER,
}
"""Spans that cannot hold at once with another kind: each by the kind it counts as."""


class Span(NamedTuple):
    """A span in the piece: from `onset` in measure `first` up to `end` in measure `last` (indices), not included."""

    sign: SpanAt
    first: int
    onset: Fraction
    last: int
    end: Fraction


def resolve_spans(lengths: Sequence[Fraction], starting: Sequence[Sequence[SpanAt]]) -> list[Span]:
    """All spans of a part with their ends found, those past the end of the piece cut off there.

    `lengths` of the measures in whole notes; `starting` holds what starts in each of them.
    """
    spans = []
    for index, row in enumerate(starting):
        for sign in row:
            last, end = index, sign.onset + sign.length
            if sign.measures:
                last = min(index + sign.measures, len(lengths)) - 1
                end = lengths[last]
            while end > lengths[last] and last + 1 < len(lengths):
                end -= lengths[last]
                last += 1
            spans.append(Span(sign, index, sign.onset, last, min(end, lengths[last])))
    return spans


def find_rivals(spans: Sequence[Span]) -> list[tuple[Span, Span]]:
    """Pairs of spans that cannot hold at once but do, the earlier first."""
    latest: dict[SignName, Span] = {}
    pairs = []
    for span in sorted(spans, key=lambda span: (span.first, span.onset)):
        kind = _RIVALS.get(span.sign.name, span.sign.name)
        before = latest.get(kind)
        if before is not None and (span.first, span.onset) < (before.last, before.end):
            pairs.append((before, span))
            if (before.last, before.end) > (span.last, span.end):
                continue
        latest[kind] = span
    return pairs
