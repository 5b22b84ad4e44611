"""Drafts spelled in context and frozen into the score."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from engrave.reading.drafts import DraftEvent, DraftNote, DraftSyllable, DraftVoice, PartDraft
from engrave.score.spelling import VoiceSpeller
from engrave.score.structure import (
    Event,
    Graces,
    Measure,
    Note,
    PartMeasure,
    Syllable,
    Voice,
)
from engrave.score.techniques import StoppedHarmonic, Technique, Trill, TrillAccidental
from engrave.theory.duration import note_value
from engrave.theory.harmonics import harmonic_pitch, touched_pitch
from engrave.theory.key import Key
from engrave.theory.pitch import Pitch

_WHOLE = note_value(1)
_START = Fraction(0)


def finish_part(measures: list[Measure], drafts: Sequence[PartDraft]) -> tuple[PartMeasure, ...]:
    """The measures of one part: every note spelled by key and neighbours, everything immutable."""
    for number in range(2):
        _spell(number, measures, drafts)
    return tuple(
        PartMeasure(
            voices=tuple(_finish_voice(voice, measure) for voice in draft.voices),
            chords=draft.chords,
            texts=draft.texts,
            dynamics=draft.dynamics,
            spans=draft.spans,
            location=draft.location,
            repeats=draft.repeats,
            repeat_index=draft.repeat_index,
            clefs=draft.clefs,
            neck=draft.neck,
            strum=draft.strum,
            is_strummed=draft.is_strummed,
        )
        for measure, draft in zip(measures, drafts, strict=True)
    )


def _spell(number: int, measures: list[Measure], drafts: Sequence[PartDraft]) -> None:
    """Spell voice `number` through the piece. What the author spelled stays."""
    places: list[tuple[int, DraftEvent]] = []
    for index, draft in enumerate(drafts):
        if number < len(draft.voices):
            for event in [e for main in draft.voices[number].events for e in main.in_order()]:
                if event.notes and not event.notes[0].is_slash:
                    places.append((index, event))
    groups = [[note.midi for note in event.notes] for _, event in places]
    speller = VoiceSpeller(groups, [measures[index].key for index, _ in places])
    for index, event in places:
        speller.start(index, event.onset, drafts[index].chords)
        for at, note in enumerate(event.notes):
            held = speller.held(note)
            proposed = held is None and note.pitch is None
            note.pitch = held or note.pitch or speller.propose(at, note.midi)
            speller.keep(note, note.pitch, proposed)


def _finish_voice(voice: DraftVoice, measure: Measure) -> Voice:
    if voice.whole_rest or not voice.events:
        return Voice((Event(_START, measure.length, _WHOLE, whole_measure=True, location=voice.location),))
    return Voice(tuple([_finish_event(event, measure.key) for event in voice.events]))


def _finish_event(event: DraftEvent, key: Key) -> Event:
    return Event(
        onset=event.onset,
        length=event.length,
        value=event.value,
        notes=tuple([_finish_note(note, key) for note in event.notes]),
        tuplets=event.tuplets,
        lyrics=_finish_lyrics(event) if event.lyrics else (),
        techniques=event.techniques,
        whole_measure=False,
        location=event.location,
        hidden=event.hidden,
        before=Graces(tuple(_finish_event(grace, key) for grace in event.before), event.slashed)
        if event.before
        else None,
        after=Graces(tuple(_finish_event(grace, key) for grace in event.after), False)
        if event.after
        else None,
    )


def _finish_note(note: DraftNote, key: Key) -> Note:
    assert note.pitch is not None
    return Note(
        pitch=note.pitch,
        string=note.string,
        fret=note.fret,
        tie_from=note.tie_from,
        tie_to=note.tie_to,
        techniques=note.techniques + _trill_accidental(note, key) if note.techniques else (),
        finger=note.finger,
        location=note.location,
        sounding=note.sounding or _touched_sound(note),
        chosen=note.chosen,
    )


def _trill_accidental(note: DraftNote, key: Key) -> tuple[Technique, ...]:
    """The accidental over a trill whose upper note the key does not have."""
    for technique in note.techniques:
        if isinstance(technique, Trill) and note.pitch is not None:
            upper = touched_pitch(note.pitch, technique.to - note.fret)
            if upper.alter != key.alters[upper.step]:
                return (TrillAccidental(upper.alter, technique.location),)
    return ()


def _touched_sound(note: DraftNote) -> Pitch | None:
    """What a harmonic of a stopped string sounds."""
    for technique in note.techniques:
        if isinstance(technique, StoppedHarmonic) and note.pitch is not None:
            return harmonic_pitch(note.pitch, technique.touched - note.fret)
    return None


def _finish_lyrics(event: DraftEvent) -> tuple[Syllable | None, ...]:
    verses = max(event.lyrics) + 1
    row: list[Syllable | None] = []
    for verse in range(verses):
        draft = event.lyrics.get(verse)
        row.append(_finish_syllable(draft) if draft else None)
    return tuple(row)


def _finish_syllable(draft: DraftSyllable) -> Syllable:
    extends = draft.extends or (draft.tied and not draft.hyphen)
    return Syllable(draft.text, draft.hyphen, extends, draft.location)
