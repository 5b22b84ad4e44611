"""Drafts spelled in context and frozen into the score."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Protocol

from engrave.diagnostics.problem import Place
from engrave.reading.details import TOUCHED_HARMONICS
from engrave.reading.drafts import DraftEvent, DraftNote, DraftVoice
from engrave.score.structure import (
    ChordAt,
    Event,
    Graces,
    Mark,
    Measure,
    Note,
    PartMeasure,
    SpanAt,
    Syllable,
    TextAt,
    Voice,
)
from engrave.theory.chord_name import chord_letters
from engrave.theory.duration import note_value
from engrave.theory.harmonics import harmonic_pitch, touched_pitch
from engrave.theory.key import Key
from engrave.theory.pitch import SEMITONES, Pitch
from engrave.theory.spelling import spell_in_context

_WHOLE = note_value(1)
_START = Fraction(0)


class Draft(Protocol):
    """One part in one measure, as the reader leaves it."""

    voices: list[DraftVoice]
    chords: tuple[ChordAt, ...]
    texts: tuple[TextAt, ...]
    dynamics: tuple[TextAt, ...]
    spans: tuple[SpanAt, ...]
    place: Place
    repeats: int
    repeat_index: int


def finish_part(measures: list[Measure], drafts: Sequence[Draft]) -> tuple[PartMeasure, ...]:
    """The measures of one part: every note spelled by key and neighbours, everything immutable."""
    for number in range(2):
        _spell(number, measures, drafts)
    return tuple(
        PartMeasure(
            tuple(_finish_voice(voice, measure) for voice in draft.voices),
            draft.chords,
            draft.texts,
            draft.dynamics,
            draft.spans,
            draft.place,
            draft.repeats,
            draft.repeat_index,
        )
        for measure, draft in zip(measures, drafts, strict=True)
    )


def _spell(number: int, measures: list[Measure], drafts: Sequence[Draft]) -> None:
    """Spell voice `number` through the piece.

    What the author spelled stays; a held note is spelled like its start; a chord name above decides for its tones;
    within a measure a pitch keeps the spelling that it had first.
    """
    groups: list[list[int]] = []
    keys: list[Key] = []
    places: list[tuple[int, DraftEvent]] = []
    for index, (measure, draft) in enumerate(zip(measures, drafts, strict=True)):
        if number < len(draft.voices):
            for event in [e for main in draft.voices[number].events for e in main.in_order()]:
                if event.notes and not event.notes[0].is_slash:
                    groups.append([note.midi for note in event.notes])
                    keys.append(measure.key)
                    places.append((index, event))
    before: dict[int, Pitch] = {}
    in_measure: dict[int, Pitch] = {}
    current = -1
    for (index, event), pitches in zip(places, spell_in_context(groups, keys), strict=True):
        if index != current:
            current, in_measure = index, {}
        named = _chord_letters(drafts[index].chords, event.onset)
        now: dict[int, Pitch] = {}
        for note, pitch in zip(event.notes, pitches, strict=True):
            if note.tie_from and note.midi in before:
                note.pitch = before[note.midi]
            elif note.pitch is None:
                note.pitch = in_measure.get(note.midi) or _by_chord(pitch, named, measures[index].key)
                in_measure[note.midi] = note.pitch
            now[note.midi] = note.pitch
        before = now


def _chord_letters(chords: tuple[ChordAt, ...], onset: Fraction) -> dict[int, tuple[int, int]]:
    """The letters of the chord that holds at `onset`, by pitch class."""
    name = None
    for chord in chords:
        if chord.onset <= onset:
            name = chord.name
    return chord_letters(name) if name is not None else {}


def _by_chord(pitch: Pitch, named: dict[int, tuple[int, int]], key: Key) -> Pitch:
    """The chord's spelling of a note that the key does not have."""
    if pitch.alter == key.alters[pitch.step]:
        return pitch
    letter = named.get(pitch.midi % 12)
    if letter is None:
        return pitch
    step, alter = letter
    return Pitch(step, alter, (pitch.midi - SEMITONES[step] - alter) // 12 - 1)


def _finish_voice(voice: DraftVoice, measure: Measure) -> Voice:
    if voice.whole_rest or not voice.events:
        return Voice((Event(_START, measure.length, _WHOLE, whole_measure=True, place=voice.place),))
    return Voice(tuple([_finish_event(event, measure.key) for event in voice.events]))


def _finish_event(event: DraftEvent, key: Key) -> Event:
    return Event(
        event.onset,
        event.length,
        event.value,
        tuple([_finish_note(note, key) for note in event.notes]),
        event.tuplets,
        _finish_lyrics(event) if event.lyrics else (),
        event.marks,
        False,
        event.place,
        Graces(tuple(_finish_event(grace, key) for grace in event.before), event.slashed)
        if event.before
        else None,
        Graces(tuple(_finish_event(grace, key) for grace in event.after), False) if event.after else None,
    )


def _finish_note(note: DraftNote, key: Key) -> Note:
    assert note.pitch is not None
    return Note(
        note.pitch,
        note.string,
        note.fret,
        note.tie_from,
        note.tie_to,
        note.marks + _trill_accidental(note, key) if note.marks else (),
        note.finger,
        note.place,
        note.sounding or _touched_sound(note),
        note.chosen,
    )


def _trill_accidental(note: DraftNote, key: Key) -> tuple[Mark, ...]:
    """The accidental over a trill whose upper note the key does not have."""
    for mark in note.marks:
        if mark.name == "trill" and mark.amount and note.pitch is not None:
            upper = touched_pitch(note.pitch, int(mark.amount) - note.fret)
            if upper.alter != key.alters[upper.step]:
                return (Mark("accidental-mark", str(upper.alter), mark.place),)
    return ()


def _touched_sound(note: DraftNote) -> Pitch | None:
    """What a harmonic of a stopped string sounds."""
    for mark in note.marks:
        if mark.name in TOUCHED_HARMONICS and note.pitch is not None:
            return harmonic_pitch(note.pitch, int(mark.amount) - note.fret)
    return None


def _finish_lyrics(event: DraftEvent) -> tuple[Syllable | None, ...]:
    verses = max(event.lyrics) + 1
    row: list[Syllable | None] = []
    for verse in range(verses):
        draft = event.lyrics.get(verse)
        row.append(Syllable(draft.text, draft.hyphen, draft.extends, draft.place) if draft else None)
    return tuple(row)
