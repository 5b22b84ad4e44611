"""What the notes of a part need to know of each other: where joins start, how far a string is bent, accidentals."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from engrave.score.joins import SLIDING, Joins, Legato, NoteAt, resolve_joins
from engrave.score.sign_list import SignName
from engrave.score.slurs import EventAt, resolve_slurs
from engrave.score.structure import Event, Measure, Note, Part, Voice
from engrave.theory.accidentals import Accidental, AccidentalMemory

_STRINGS_A_VOICE = 8
"""Strings of the widest instrument; joins are numbered by string, those of the second voice after them."""

_MOST_NUMBERS = 16
"""The highest number of a slur (MusicXML 4.0, number-level)."""


class Slot(NamedTuple):
    """An event in the order of playing; `grace` is "before" or "after" for grace notes of a main event."""

    event: Event
    main: Event
    grace: str = ""
    slashed: bool = False


class Join(NamedTuple):
    """One end of a join; `kind` is start or stop."""

    sign: SignName
    kind: str
    number: int


@dataclass(slots=True)
class NoteContext:
    """What is known of each note from those before and after it; notes without an entry have nothing of the kind."""

    joins: dict[NoteAt, list[Join]] = field(default_factory=lambda: defaultdict(list))
    held: dict[NoteAt, Fraction] = field(default_factory=dict)
    """How far the string is already bent, in semitones."""
    slurs: dict[EventAt, list[tuple[str, int]]] = field(default_factory=lambda: defaultdict(list))
    """The slurs that stop and start at each event, with their numbers."""
    accidentals: dict[NoteAt, tuple[Accidental, bool]] = field(default_factory=dict)
    """The sign before a note, and whether it is a courtesy."""


def slots(voice: Voice) -> list[Slot]:
    """The events of a voice with their grace notes, in order."""
    row: list[Slot] = []
    for event in voice.events:
        if event.before is not None:
            row.extend(Slot(grace, event, "before", event.before.slashed) for grace in event.before.events)
        row.append(Slot(event, event))
        if event.after is not None:
            row.extend(Slot(grace, event, "after") for grace in event.after.events)
    return row


def read_context(part: Part, measures: Sequence[Measure]) -> NoteContext:
    """Walk through the part once."""
    joins = resolve_joins(part.measures)
    context = NoteContext(held=joins.bent)
    memory = AccidentalMemory()
    for index, (measure, own) in enumerate(zip(measures, part.measures, strict=True)):
        rows = [slots(voice) for voice in own.voices]
        for number, row in enumerate(rows):
            for position, slot in enumerate(row):
                for at, note in enumerate(slot.event.notes):
                    _join(context, joins.reached.get(NoteAt(index, number, position, at)), note)
        memory.start_measure(measure.key)
        _sign(context, memory, index, rows)
    _number_slurs(context, part, joins)
    return context


def _join(context: NoteContext, join: Legato | None, note: Note) -> None:
    """Both ends of the joins that reach `note`; a join without a start has only its end."""
    if join is None:
        return
    at = join.stop
    number = min(note.string or at.note + 1, _STRINGS_A_VOICE) + at.voice * _STRINGS_A_VOICE
    for sign in join.signs:
        if join.start is not None:
            context.joins[join.start].append(Join(sign, "start", number))
        context.joins[at].append(Join(sign, "stop", number))


def _number_slurs(context: NoteContext, part: Part, joins: Joins) -> None:
    """Slurs that last at once have numbers of their own, and none that a slide has."""
    slurs = resolve_slurs(part.measures)
    if not slurs:
        return
    slides = {join.stop for join in joins.legato if not SLIDING.isdisjoint(join.signs)}
    taken = {join.number for at in slides for join in context.joins.get(at, ()) if join.sign in SLIDING}
    free = [number for number in range(1, _MOST_NUMBERS + 1) if number not in taken] or [_MOST_NUMBERS]
    last: dict[int, EventAt] = {}
    for slur in sorted(slurs):
        number = next((n for n in free if n not in last or _is_before(last[n], slur.start)), free[-1])
        last[number] = slur.stop
        context.slurs[slur.stop].insert(0, ("stop", number))
        context.slurs[slur.start].append(("start", number))


def _is_before(stop: EventAt, start: EventAt) -> bool:
    """True when a file tells `stop` first: voices follow each other measure by measure."""
    return stop.measure < start.measure or (stop.voice == start.voice and stop <= start)


def _sign(context: NoteContext, memory: AccidentalMemory, index: int, rows: Sequence[Sequence[Slot]]) -> None:
    """Decide the accidentals of a measure, both voices together in order of time."""
    order = sorted(
        (_time(slot), number, position)
        for number, row in enumerate(rows)
        for position, slot in enumerate(row)
    )
    for _, number, position in order:
        for at, note in enumerate(rows[number][position].event.notes):
            if note.is_slash:
                continue
            sign, courtesy = memory.decide(note.pitch, note.tie_from)
            if sign is not None:
                context.accidentals[NoteAt(index, number, position, at)] = (sign, courtesy)


def _time(slot: Slot) -> tuple[Fraction, int]:
    """Grace notes before a note come after those that follow the note before it."""
    main = slot.main
    if slot.grace == "after":
        return main.onset + main.length, 0
    return main.onset, 1 if slot.grace else 2
