"""What a score asks for over measures: where lasting signs begin and end, which signs it uses, where hands are free."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.score.sign_list import SIGNS, SignName
from engrave.score.structure import Event, Score, SpanAt, View

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


_FREE = Fraction(1, 4)
"""A rest of a quarter at the end of a page or at the start of the next leaves time to turn (house rule)."""


def hands_are_free(score: Score, index: int) -> bool:
    """True when every fretted part rests for a moment at the end of measure `index` or at the start of the next.

    A lead sheet is played from too.
    """
    for part in score.parts:
        if not part.is_fretted and score.view is not View.LEAD_SHEET:
            continue
        before = [voice.events[-1] for voice in part.measures[index].voices if voice.events]
        after = [voice.events[0] for voice in part.measures[index + 1].voices if voice.events]
        ends = all(event.is_rest and event.length >= _FREE for event in before)
        starts = all(event.is_rest and event.length >= _FREE for event in after)
        if not ends and not starts:
            return False
    return True


OTHER_SIGNS = ("grace", "appoggiatura", "closing-grace", SignName.SLASH, "measure-repeat", "multiple-rest")
"""What can be explained besides the signs of the list."""
_EXPLAINED_ELSEWHERE = (SignName.ACCIDENTAL_MARK,)
"""Signs that belong to another one."""
STRAINING = frozenset({SignName.BEND, SignName.BARRE, SignName.HALF_BARRE, SignName.WIDE_VIBRATO})
"""Signs of techniques that load the hand, beside which a caution is due (house rule)."""


def used_signs(score: Score) -> tuple[str, ...]:
    """The signs that occur in `score`, in the order of the list of signs."""
    found: set[str] = set()
    for part in score.parts:
        for content in part.measures:
            found.update(span.name for span in content.spans)
            if content.repeats:
                found.add("measure-repeat")
            for voice in content.voices:
                for event in voice.events:
                    found.update(_event_signs(event))
    if any(measure.rests > 1 for measure in score.measures):
        found.add("multiple-rest")
    return tuple(name for name in (*SIGNS, *OTHER_SIGNS) if name in found)


def _event_signs(event: Event) -> Iterator[str]:
    yield from (technique.sign for technique in event.techniques)
    for note in event.notes:
        yield from (
            technique.sign for technique in note.techniques if technique.sign not in _EXPLAINED_ELSEWHERE
        )
        if note.finger:
            yield SignName.FINGER
    for graces, name in ((event.before, ""), (event.after, "closing-grace")):
        if graces is not None:
            yield name or ("grace" if graces.slashed else "appoggiatura")
            for grace in graces.events:
                yield from _event_signs(grace)
