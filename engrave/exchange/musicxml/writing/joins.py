"""What the notes of a part need to know of each other: where joins start, how far a string is bent, accidentals."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from engrave.score.joins import Legato, NoteAt, resolve_joins
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Measure, Note, Part, Voice
from engrave.theory.accidentals import Accidental, AccidentalMemory

_STRINGS_A_VOICE = 8
"""Strings of the widest instrument; joins are numbered by string, those of the second voice after them."""


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
