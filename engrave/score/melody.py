"""The upper voice of a part as a plain tune: what sounds, without anything that tells a hand how to play it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from engrave.score.sign_list import SIGNS, Carrier, SignName
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
) | {SignName.SLASH}
"""The signs that a tune keeps."""
_UNBENT = Fraction(0)

_Change = Callable[[Event], Event]
_Pitches = frozenset[Pitch]


def plain_melody(
    part: Part, measures: Sequence[Measure], ways: Sequence[Interval]
) -> tuple[tuple[Voice, ...], ...]:
    """The one voice of each measure of `part`, moved by the interval of that measure.

    On a fretted part the highest note of a chord is the tune; a harmonic is written at its sound, a bent note at the
    pitch it is bent to in the end (quarter tones left out). A part without strings keeps all its notes.
    """
    reader = _MelodyReader(part.is_fretted)
    voices = []
    for content, measure, way in zip(part.measures, measures, ways, strict=True):
        reader.key, reader.way = measure.key, way
        voices.append(tuple(_change_voice(voice, reader.read) for voice in content.voices[:1]))
    return _tied_anew(part.measures, voices)


class _MelodyReader:
    """Reads the events of one voice in order; remembers which strings are bent, for the notes tied to them."""

    key: Key
    way: Interval

    def __init__(self, fretted: bool) -> None:
        self._fretted = fretted
        self._bent: dict[int, Fraction] = {}

    def read(self, event: Event) -> Event:
        """The event as a tune has it; its grace notes are events of their own."""
        before, self._bent = self._bent, {}
        notes = [self._read_note(note, before) for note in event.notes]
        if self._fretted and len(notes) > 1:
            notes = [_highest(notes)]
        return event._replace(notes=tuple(notes), techniques=_plain(event.techniques))

    def _read_note(self, note: Note, bent: dict[int, Fraction]) -> Note:
        techniques = _plain(note.techniques)
        if not note.is_slash:
            pitch = note.sounding or note.pitch
            if self._fretted:
                pitch = self._bend(note, pitch, bent)
                techniques = self._mark_trill(note, techniques)
            note = note._replace(pitch=transpose_pitch(pitch, self.way))
        return note._replace(string=0, fret=0, techniques=techniques, finger="", sounding=None, chosen=False)

    def _bend(self, note: Note, pitch: Pitch, bent: dict[int, Fraction]) -> Pitch:
        """The pitch to which a note is bent in the end; one that is tied keeps the bend it has."""
        level = bent.get(note.string, _UNBENT) if note.tie_from else _UNBENT
        if note.bend:
            level = note.bend[-1].semitones
        self._bent[note.string] = level
        return spell_midi(pitch.midi + int(level), self.key) if level >= 1 else pitch

    def _mark_trill(self, note: Note, techniques: tuple[Technique, ...]) -> tuple[Technique, ...]:
        """The techniques with the accidental that the upper note of a trill has in the new key."""
        kept: tuple[Technique, ...] = tuple(
            technique for technique in techniques if not isinstance(technique, TrillAccidental)
        )
        for technique in techniques:
            if isinstance(technique, Trill):
                upper = transpose_pitch(touched_pitch(note.pitch, technique.to - note.fret), self.way)
                if upper.alter != transpose_key(self.key, self.way).alters[upper.step]:
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
    links: list[tuple[_Pitches, _Pitches] | None] = []
    for content, row in zip(contents, voices, strict=True):
        for voice in row:
            links.extend(None if content.repeats else _ties(event) for event in _played(voice))
    kept: list[_Pitches | None] = [None]
    for link, following in pairwise(links):
        kept.append(link[1] & following[0] if link is not None and following is not None else None)
    kept.append(None)
    number = iter(range(len(links)))

    def untie(event: Event) -> Event:
        index = next(number)
        return event._replace(notes=tuple(_untie(note, kept[index], kept[index + 1]) for note in event.notes))

    return tuple(tuple(_change_voice(voice, untie) for voice in row) for row in voices)


def _played(voice: Voice) -> Iterator[Event]:
    """The events of a voice in order, grace notes too."""
    for event in voice.events:
        yield from event.before.events if event.before else ()
        yield event
        yield from event.after.events if event.after else ()


def _ties(event: Event) -> tuple[_Pitches, _Pitches]:
    """The pitches that an event holds from before, and those that it hands on."""
    return (
        frozenset(note.pitch for note in event.notes if note.tie_from),
        frozenset(note.pitch for note in event.notes if note.tie_to),
    )


def _untie(note: Note, before: _Pitches | None, after: _Pitches | None) -> Note:
    """A note without the ties that have no other end. None: nothing is known of that side."""
    return note._replace(
        tie_from=note.tie_from and (before is None or note.pitch in before),
        tie_to=note.tie_to and (after is None or note.pitch in after),
    )
