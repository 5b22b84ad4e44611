"""Which notes have to carry their spelling, because the reader would choose another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from engrave.score.spelling import VoiceSpeller
from engrave.score.structure import Event, Measure, Note, Part
from engrave.writing.music_tree import Own, is_pitch, played_events


class EventAt(NamedTuple):
    """An event of a part: its measure, its voice, and its number there, grace notes counted."""

    measure: int
    voice: int
    order: int


def find_spellings(
    part: Part, measures: Sequence[Measure], written: Mapping[EventAt, Own]
) -> dict[EventAt, Own]:
    """For every note of the part whether its spelling is to be written.

    `written` says it of the notes whose spelling stands in the text already and is right: it stays there. Raises
    ValueError where no spelling can be written.
    """
    found: dict[EventAt, Own] = {}
    for voice in range(2):
        events: list[tuple[EventAt, Event]] = []
        for number, content in enumerate(part.measures):
            if voice < len(content.voices):
                played = enumerate(played_events(content.voices[voice]))
                events.extend((EventAt(number, voice, order), event) for order, event in played)
        _spell(part, measures, events, written, found)
    return found


def _spell(
    part: Part,
    measures: Sequence[Measure],
    events: Sequence[tuple[EventAt, Event]],
    written: Mapping[EventAt, Own],
    found: dict[EventAt, Own],
) -> None:
    spelled = [(at, event) for at, event in events if event.notes and not event.notes[0].is_slash]
    groups = [[note.pitch.midi for note in event.notes] for _, event in spelled]
    speller = VoiceSpeller(groups, [measures[at.measure].key for at, _ in spelled])
    found.update((at, (False,) * len(event.notes)) for at, event in events)
    for at, event in spelled:
        speller.start(at.measure, event.onset, part.measures[at.measure].chords)
        stays = written.get(at, ())
        row = []
        for number, note in enumerate(event.notes):
            try:
                _check(part, note)
                own = number < len(stays) and stays[number]
                row.append(_needs_spelling(speller, number, note, own))
            except ValueError as error:
                raise ValueError(f"{part.name}, measure {measures[at.measure].number}: {error}") from None
        found[at] = tuple(row)


def _check(part: Part, note: Note) -> None:
    if not note.string:
        return
    if note.string > part.instrument.strings:
        raise ValueError(f"there is no string {note.string}")
    if not note.is_slash and note.pitch.midi != part.instrument.written_midi(note.string, note.fret):
        raise ValueError(f"string {note.string} fret {note.fret} does not sound {note.pitch.name}")


def _needs_spelling(speller: VoiceSpeller, number: int, note: Note, stays: bool) -> bool:
    midi = note.pitch.midi
    held = speller.held(note)
    if held is not None:
        if held != note.pitch:
            raise ValueError(f"{note.pitch.name} is tied to {held.name}; a tie keeps the spelling")
        speller.keep(note, held, False)
        return False
    own = stays or not note.string or is_pitch(note)
    if not own:
        own = speller.propose(number, midi) != note.pitch
    speller.keep(note, note.pitch, not own)
    return own
