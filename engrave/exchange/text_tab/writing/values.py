"""The values of one voice, and each as the rows of values have it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.exchange.text_tab.lines.value_row import LETTERS, USUAL_NORMAL
from engrave.score.structure import Event, Note
from engrave.theory.duration import NoteValue

_LETTERS = {denominator: letter for letter, denominator in LETTERS.items()}
_LEADS = {"grace": "/", "closing-grace": "<"}


class Value(NamedTuple):
    """One event of a voice: what it strikes, the strings it holds, the tuplets (notes, in the time of) that open.

    `holds_all`: it strikes nothing and holds all that sounded. `grace`: "", "grace", "appoggiatura", "closing-grace".
    """

    onset: Fraction
    value: NoteValue
    length: Fraction = Fraction(0)
    struck: tuple[Note, ...] = ()
    held: tuple[int, ...] = ()
    holds_all: bool = False
    opens: tuple[tuple[int, int], ...] = ()
    closes: int = 0
    is_rest: bool = False
    is_slash: bool = False
    grace: str = ""
    event: Event | None = None

    @property
    def strings(self) -> frozenset[int]:
        """The strings that are struck."""
        return frozenset(note.string for note in self.struck)


def voice_values(events: Sequence[Event], before: frozenset[int]) -> tuple[list[Value], frozenset[int]]:
    """The values of one voice after one that ends with notes on the strings `before`, and what sounds at the end.

    A voice that is silent for the whole measure has none.
    """
    values: list[Value] = []
    if not events or events[0].whole_measure:
        return values, frozenset()
    for index, event in enumerate(events):
        around = (
            events[index - 1] if index else None,
            event,
            events[index + 1] if index + 1 < len(events) else None,
        )
        for kind, part in _in_order(event):
            value = _value(part, kind, event.onset, before)
            if not kind:
                opens, closes = _tuplets(*around)
                value = value._replace(opens=opens, closes=closes)
            values.append(value)
            before = frozenset(note.string for note in part.notes)
    return values, before


def _in_order(event: Event) -> Iterator[tuple[str, Event]]:
    """An event with its grace notes, each with its kind."""
    if event.before is not None:
        kind = "grace" if event.before.slashed else "appoggiatura"
        yield from ((kind, grace) for grace in event.before.events)
    yield "", event
    if event.after is not None:
        yield from (("closing-grace", grace) for grace in event.after.events)


def _value(event: Event, kind: str, onset: Fraction, before: frozenset[int]) -> Value:
    struck = tuple(note for note in event.notes if note.string and not note.tie_from)
    held = tuple(sorted(note.string for note in event.notes if note.string and note.tie_from))
    return Value(
        onset,
        event.value,
        event.length,
        struck,
        held,
        (bool(held) and not struck and frozenset(held) == before) or _is_held_slash(event),
        is_rest=not event.notes,
        is_slash=any(note.is_slash for note in event.notes),
        grace=kind,
        event=event,
    )


def _is_held_slash(event: Event) -> bool:
    return bool(event.notes) and event.notes[0].is_slash and event.notes[0].tie_from


def _tuplets(
    before: Event | None, event: Event, after: Event | None
) -> tuple[tuple[tuple[int, int], ...], int]:
    """The tuplets that open at an event, outermost first, and how many close after it."""
    earlier = {tuplet.id for tuplet in before.tuplets} if before is not None else set()
    later = {tuplet.id for tuplet in after.tuplets} if after is not None else set()
    opens = tuple((t.ratio.actual, t.ratio.normal) for t in event.tuplets if t.id not in earlier)
    return opens, sum(tuplet.id not in later for tuplet in event.tuplets)


def value_text(value: NoteValue) -> str:
    """A note value as a row has it: "q.", "64"."""
    return _LETTERS.get(value.denominator, str(value.denominator)) + "." * value.dots


def value_texts(value: Value, named: frozenset[int] = frozenset(), is_told: bool = True) -> tuple[str, str]:
    """What stands before the column of a value, and from it on.

    `named` are the strings that it must name; `is_told`: a rest is written as one.
    """
    opening = "".join(
        f"{actual}(" if USUAL_NORMAL.get(actual) == normal else f"{actual}:{normal}("
        for actual, normal in value.opens
    )
    opening += _LEADS.get(value.grace, "") + "_" * value.holds_all
    text = value_text(value.value)
    if named:
        text += ":" + "".join(map(str, sorted(named)))
    if value.held and not value.holds_all:
        text += "=" + "".join(map(str, value.held))
    text += "," * (value.is_rest and is_told) + "/" * value.is_slash
    text += ">" * (value.grace in ("grace", "appoggiatura"))
    return opening, text + ")" * value.closes
