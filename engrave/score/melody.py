"""The upper voice of a part as a plain tune: what sounds, without anything that tells a hand how to play it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import count
from typing import NamedTuple

from engrave.score.joins import Joins, NoteAt, events_in_order, resolve_joins
from engrave.score.sign_list import PARTS_OF_SLURS, SIGNS, Carrier, SignName
from engrave.score.structure import Event, Graces, Measure, Note, Part, PartMeasure, Voice
from engrave.score.techniques import Technique, Trill, TrillAccidental
from engrave.theory.harmonics import touched_pitch
from engrave.theory.key import Key
from engrave.theory.pitch import Pitch
from engrave.theory.spelling import spell_midi
from engrave.theory.transposition import Interval, transpose_key, transpose_pitch

_FAMILIES = ("articulation", "ornaments", "notes", "octaves", "loudness")
"""Families of signs that are not about one instrument's hands."""
_TECHNIQUES = (SignName.FADE_IN, SignName.FADE_OUT, SignName.VOLUME_SWELL)
"""Signs of those families that are."""
PLAIN_SIGNS = frozenset(
    name for name, sign in SIGNS.items() if sign.family in _FAMILIES and name not in _TECHNIQUES
) | {SignName.SLASH, SignName.SLUR, *PARTS_OF_SLURS}
"""The signs that a tune keeps."""
_UNBENT = Fraction(0)

_Change = Callable[[Event], Event]


def plain_melody(
    part: Part, measures: Sequence[Measure], ways: Sequence[Interval]
) -> tuple[tuple[Voice, ...], ...]:
    """The one voice of each measure of `part`, moved by the interval of that measure.

    On a fretted part the highest note of a chord is the tune; a harmonic is written at its sound, a bent note at the
    pitch it is bent to in the end (quarter tones left out). A part without strings keeps all its notes.
    """
    reader = _MelodyReader(part)
    voices: list[tuple[Voice, ...]] = []
    for content, measure, way in zip(part.measures, measures, ways, strict=True):
        reader.start(len(voices), measure.key, way)
        voices.append(tuple(_change_voice(voice, reader.read) for voice in content.voices[:1]))
    return _tied_anew(part.measures, voices)


class _MelodyReader:
    """Reads the events of one voice in order."""

    _key: Key
    _way: Interval
    _at: NoteAt

    def __init__(self, part: Part) -> None:
        self._fretted = part.is_fretted
        self._bent = resolve_joins(part.measures).bent

    def start(self, measure: int, key: Key, way: Interval) -> None:
        """The next measure, its key, and how far its notes move."""
        self._at, self._key, self._way = NoteAt(measure, 0, 0, 0), key, way

    def read(self, event: Event) -> Event:
        """The event as a tune has it; its grace notes are events of their own."""
        notes = [
            self._read_note(note, self._bent.get(self._at._replace(note=index), _UNBENT))
            for index, note in enumerate(event.notes)
        ]
        self._at = self._at._replace(event=self._at.event + 1)
        if self._fretted and len(notes) > 1:
            notes = [_highest(notes)]
        return event._replace(notes=tuple(notes), techniques=_plain(event.techniques))

    def _read_note(self, note: Note, bent: Fraction) -> Note:
        techniques = _plain(note.techniques)
        if not note.is_slash:
            pitch = note.sounding or note.pitch
            if self._fretted:
                pitch = self._bend(note, pitch, bent)
                techniques = self._mark_trill(note, techniques)
            note = note._replace(pitch=transpose_pitch(pitch, self._way))
        return note._replace(string=0, fret=0, techniques=techniques, finger="", sounding=None, chosen=False)

    def _bend(self, note: Note, pitch: Pitch, bent: Fraction) -> Pitch:
        """The pitch to which a note is bent in the end; one that is tied keeps the bend it has."""
        level = note.bend[-1].semitones if note.bend else bent
        return spell_midi(pitch.midi + int(level), self._key) if level >= 1 else pitch

    def _mark_trill(self, note: Note, techniques: tuple[Technique, ...]) -> tuple[Technique, ...]:
        """The techniques with the accidental that the upper note of a trill has in the new key."""
        kept: tuple[Technique, ...] = tuple(
            technique for technique in techniques if not isinstance(technique, TrillAccidental)
        )
        for technique in techniques:
            if isinstance(technique, Trill):
                upper = transpose_pitch(touched_pitch(note.pitch, technique.to - note.fret), self._way)
                if upper.alter != transpose_key(self._key, self._way).alters[upper.step]:
                    kept += (TrillAccidental(upper.alter, technique.location),)
        return kept


def _highest(notes: Sequence[Note]) -> Note:
    """The highest note of a chord, with the techniques of the whole chord that stand on its other notes."""
    highest = max(notes, key=lambda note: (not note.has(SignName.DEAD), note.pitch.midi))
    shared = {
        technique.sign: technique
        for note in (*notes, highest)
        for technique in note.techniques
        if _is_shared(technique)
    }
    own = tuple(technique for technique in highest.techniques if technique.sign not in shared)
    return highest._replace(techniques=(*own, *shared.values()))


def _is_shared(technique: Technique) -> bool:
    return technique.sign in SIGNS and SIGNS[technique.sign].carrier is Carrier.EVENT


def _plain(techniques: tuple[Technique, ...]) -> tuple[Technique, ...]:
    return tuple(technique for technique in techniques if technique.sign in PLAIN_SIGNS)


def _change_voice(voice: Voice, change: _Change) -> Voice:
    """The voice with every event changed in order of time, grace notes before and after their own."""
    return Voice(tuple(_change_event(event, change) for event in voice.events))


def _change_event(event: Event, change: _Change) -> Event:
    before = _change_graces(event.before, change)
    main = change(event)
    return main._replace(before=before, after=_change_graces(event.after, change))


def _change_graces(graces: Graces | None, change: _Change) -> Graces | None:
    if graces is None:
        return None
    return graces._replace(events=tuple(change(event) for event in graces.events))


def _tied_anew(
    contents: Sequence[PartMeasure], voices: Sequence[tuple[Voice, ...]]
) -> tuple[tuple[Voice, ...], ...]:
    """The voices without ties to notes that are no longer there.

    Over a measure that repeats earlier ones nothing is known, and ties stay.
    """
    joins = resolve_joins(c._replace(voices=row) for c, row in zip(contents, voices, strict=True))
    repeats = [content.repeats > 0 for content in contents]
    rows = []
    for index, row in enumerate(voices):
        after, before = repeats[index + 1 : index + 2] == [True], repeats[max(0, index - 1) : index] == [True]
        if not repeats[index]:
            row = tuple(
                _untied(voice, NoteAt(index, number, 0, 0), joins, _Unknown(before, after))
                for number, voice in enumerate(row)
            )
        rows.append(row)
    return tuple(rows)


class _Unknown(NamedTuple):
    """Whether nothing is known of what sounds before and after a measure."""

    before: bool
    after: bool


def _untied(voice: Voice, at: NoteAt, joins: Joins, unknown: _Unknown) -> Voice:
    """A voice without the ties that have no other end."""
    numbers, last = count(), len(list(events_in_order(voice))) - 1

    def untie(event: Event) -> Event:
        spot = at._replace(event=next(numbers))
        keeps_from, keeps_to = unknown.before and spot.event == 0, unknown.after and spot.event == last
        return event._replace(
            notes=tuple(
                note._replace(
                    tie_from=note.tie_from and (keeps_from or spot._replace(note=index) in joins.held_from),
                    tie_to=note.tie_to and (keeps_to or spot._replace(note=index) in joins.held_to),
                )
                for index, note in enumerate(event.notes)
            )
        )

    return _change_voice(voice, untie)
