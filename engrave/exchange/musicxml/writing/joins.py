"""What the notes of a part need to know of each other: where joins start, how far a string is bent, accidentals."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Measure, Note, Part, Voice
from engrave.theory.accidentals import Accidental, AccidentalMemory

JOINS = (SignName.HAMMER_ON, SignName.PULL_OFF, SignName.SLIDE, SignName.SLURRED_SLIDE)
"""Marks that stand on the note that is reached and start at the note before it on its string."""
_STRINGS_A_VOICE = 8
"""Strings of the widest instrument; joins are numbered by string, those of the second voice after them."""
_UNBENT = Fraction(0)

NoteKey = tuple[int, int, int, int]
"""Measure, voice, slot and note, all counted from 0."""


class Slot(NamedTuple):
    """An event in the order of playing; `grace` is "before" or "after" for grace notes of a main event."""

    event: Event
    main: Event
    grace: str = ""
    slashed: bool = False


class Join(NamedTuple):
    """One end of a join; `kind` is start or stop."""

    name: str
    kind: str
    number: int


@dataclass(slots=True)
class NoteContext:
    """What is known of each note from those before and after it; notes without an entry have nothing of the kind."""

    joins: dict[NoteKey, list[Join]] = field(default_factory=lambda: defaultdict(list))
    held: dict[NoteKey, Fraction] = field(default_factory=dict)
    """How far the string is already bent, in semitones."""
    accidentals: dict[NoteKey, tuple[Accidental, bool]] = field(default_factory=dict)
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
    context = NoteContext()
    memory = AccidentalMemory()
    before: dict[int, tuple[int, int, Event]] = {}
    bends: dict[tuple[int, int], Fraction] = {}
    for index, (measure, own) in enumerate(zip(measures, part.measures, strict=True)):
        rows = [slots(voice) for voice in own.voices]
        for number in [number for number in before if number >= len(rows)]:
            del before[number]
        for number, row in enumerate(rows):
            for position, slot in enumerate(row):
                place = (index, number, position)
                _join(context, before.get(number), number, place, slot.event)
                _bend(context, bends, place, slot.event)
                before[number] = (index, position, slot.event)
        memory.start_measure(measure.key)
        _sign(context, memory, index, rows)
    return context


def _join(
    context: NoteContext,
    before: tuple[int, int, Event] | None,
    voice: int,
    place: tuple[int, int, int],
    event: Event,
) -> None:
    """Note both ends of the joins that reach `event`; a join without a start has only its end."""
    for at, note in enumerate(event.notes):
        for technique in note.techniques:
            if technique.sign not in JOINS:
                continue
            number = min(note.string or at + 1, _STRINGS_A_VOICE) + voice * _STRINGS_A_VOICE
            if before is not None:
                index, position, last = before
                start = _partner(last.notes, note, at)
                if start is not None:
                    key = (index, voice, position, start)
                    context.joins[key].append(Join(technique.sign, "start", number))
            context.joins[(*place, at)].append(Join(technique.sign, "stop", number))


def _partner(notes: Sequence[Note], note: Note, at: int) -> int | None:
    """Which of `notes` is on the string of `note`; without strings, the one at the same place of the chord."""
    if not note.string:
        return at if at < len(notes) else None
    return next((i for i, other in enumerate(notes) if other.string == note.string), None)


def _bend(
    context: NoteContext, bends: dict[tuple[int, int], Fraction], place: tuple[int, int, int], event: Event
) -> None:
    voice = place[1]
    for at, note in enumerate(event.notes):
        held = bends.get((voice, note.string), _UNBENT) if note.tie_from else _UNBENT
        if held:
            context.held[(*place, at)] = held
        if note.bend:
            held = note.bend[-1].semitones
        bends[voice, note.string] = held


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
                context.accidentals[index, number, position, at] = (sign, courtesy)


def _time(slot: Slot) -> tuple[Fraction, int]:
    """Grace notes before a note come after those that follow the note before it."""
    main = slot.main
    if slot.grace == "after":
        return main.onset + main.length, 0
    return main.onset, 1 if slot.grace else 2
