"""What stands at an event of a voice besides its own signs: slurs, the ends of signs that last, words over the music."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from engrave.exchange.braille.literary import expression
from engrave.exchange.braille.signs import (
    BARRE,
    CLOSE_SLUR,
    CONTINUED,
    CONTINUED_END,
    FRETS,
    HAIRPINS,
    HALF_BARRE,
    MOST_SLURRED,
    OPEN_SLUR,
    POSITION,
    SLIDE,
    SLUR,
    cells,
)
from engrave.score.joins import SLIDING, SLURRED, events_in_order, resolve_joins
from engrave.score.sign_list import SignName
from engrave.score.slurs import EventAt, resolve_slurs
from engrave.score.spans import Span, resolve_spans
from engrave.score.structure import Measure, Part
from engrave.style.wordbook import Wordbook

_FRETTED = {SignName.POSITION: POSITION, SignName.BARRE: BARRE, SignName.HALF_BARRE: HALF_BARRE}
_LASTING = (SignName.PALM_MUTE, SignName.LET_RING)


class Sign(NamedTuple):
    """Cells at a moment of a measure; `is_word`: they end with letters."""

    text: str
    is_word: bool = False


@dataclass(slots=True)
class Marks:
    """What stands before an event, closest to its own signs, and after it."""

    before: list[str] = field(default_factory=list)
    after: list[str] = field(default_factory=list)


class PartMarks(NamedTuple):
    """The marks of a part, by event; and signs by measure and moment, in order of time."""

    at: dict[EventAt, Marks]
    moments: list[list[tuple[Fraction, Sign]]]


def read_marks(part: Part, measures: Sequence[Measure], book: Wordbook) -> PartMarks:
    """All marks of a part."""
    at: dict[EventAt, Marks] = defaultdict(Marks)
    _add_slurs(part, at)
    moments = [sorted(_moments(part, index), key=_onset) for index in range(len(measures))]
    starting = [content.spans for content in part.measures]
    for span in resolve_spans([measure.length for measure in measures], starting):
        for index, onset, sign in _span(span, book):
            moments[index].append((onset, sign))
    return PartMarks(dict(at), [sorted(row, key=_onset) for row in moments])


def _onset(timed: tuple[Fraction, Sign]) -> Fraction:
    return timed[0]


def _moments(part: Part, index: int) -> Iterator[tuple[Fraction, Sign]]:
    content = part.measures[index]
    for text in (*content.texts, *content.dynamics):
        yield text.onset, Sign(expression(text.text), True)


def _span(span: Span, book: Wordbook) -> Iterator[tuple[int, Fraction, Sign]]:
    """Where a span begins and ends, and the sign for each. Octave lines are none: notes stand at their own height."""
    name = span.sign.name
    if name in HAIRPINS:
        begin, end = HAIRPINS[name]
        yield span.first, span.onset, Sign(cells(begin), True)
        yield span.last, span.end, Sign(cells(end), True)
    elif name in _FRETTED:
        fret = int(span.sign.detail)
        known = fret <= len(FRETS)
        cell = (
            _FRETTED[name] + cells(FRETS[fret - 1])
            if known
            else expression(f"{book.signs[name].name} {fret}")
        )
        yield span.first, span.onset, Sign(cell)
    elif name in _LASTING:
        yield span.first, span.onset, Sign(expression(book.letters[name]) + CONTINUED)
        yield span.last, span.end, Sign(CONTINUED_END)


def _add_slurs(part: Part, at: dict[EventAt, Marks]) -> None:
    """Slurs, and the joins that a slur or a line shows in print."""
    order = _order(part)
    place = {event: number for events in order.values() for number, event in enumerate(events)}
    simple: set[EventAt] = set()
    for slur in resolve_slurs(part.measures):
        first, last = place[slur.start], place[slur.stop]
        events = order[slur.voice][first : last + 1]
        if len(events) <= MOST_SLURRED:
            simple.update(events[:-1])
        else:
            at[slur.start].before.insert(0, OPEN_SLUR)
            at[slur.stop].after.append(CLOSE_SLUR)
    for join in resolve_joins(part.measures).legato:
        if join.start is not None:
            start = EventAt(*join.start[:3])
            if not SLURRED.isdisjoint(join.signs):
                simple.add(start)
            if not SLIDING.isdisjoint(join.signs) and SLIDE not in at[start].after:
                at[start].after.append(SLIDE)
    for event in simple:
        at[event].after.insert(0, SLUR)


def _order(part: Part) -> dict[int, list[EventAt]]:
    """The events of each voice in the order of playing."""
    order: dict[int, list[EventAt]] = defaultdict(list)
    for index, content in enumerate(part.measures):
        for number, voice in enumerate(content.voices):
            for event, _ in enumerate(events_in_order(voice)):
                order[number].append(EventAt(index, number, event))
    return order
