"""The same music for another tuning, capo, instrument or key: what still lies where it lay stays, the rest is opened to choice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from engrave.fingering.hand import Hand
from engrave.fingering.move_necks import move_necks
from engrave.fingering.neck import build_neck
from engrave.fingering.place import change_notes
from engrave.fingering.shapes import find_shapes
from engrave.score.joins import NoteAt
from engrave.score.sign_list import SignName
from engrave.score.structure import ChordAt, Measure, NamedShape, Note, Part, Score, SpanAt
from engrave.score.techniques import StoppedHarmonic, Technique, Trill
from engrave.theory.chord_name import ChordName
from engrave.theory.chord_shape import ChordShape
from engrave.theory.instrument import Instrument
from engrave.theory.key import Key
from engrave.theory.pitch import Pitch
from engrave.theory.spelling import spell_midi
from engrave.theory.transposition import (
    Interval,
    fit_interval,
    interval_of,
    transpose_chord,
    transpose_key,
    transpose_pitch,
)

_TOUCHED = (SignName.NATURAL_HARMONIC,)
"""Signs of notes that sound what their string makes of them."""
_OCTAVE = 12


class Moved(NamedTuple):
    """A score moved, its places still open, and what could not go along (in words)."""

    score: Score
    remarks: tuple[str, ...]


def move_score(
    score: Score,
    instruments: Mapping[str, Instrument],
    interval: Interval,
    hand: Hand,
    octaves: Mapping[str, int] | None = None,
) -> Moved:
    """`score` with other `instruments` (by part id) and all that sounds moved by `interval`, each part by its `octaves` too.

    The strings, frets and fingers of notes that need not move stay; other notes are `chosen` and keep their string as a
    wish. Raises ValueError where parts that share a key would need different ones.
    """
    key = score.measures[0].key if score.measures else Key(0)
    totals = {
        part.id: _raised(
            _written_interval(part, instruments.get(part.id), interval, key), (octaves or {}).get(part.id, 0)
        )
        for part in score.parts
    }
    fifths = {total.fifths for total in totals.values()}
    if len(fifths) > 1:
        raise ValueError(
            "a capo changes the written key, which all parts share; move every fretted part alike, or split the score by part"
        )
    total = next(iter(totals.values()))
    remarks: list[str] = []
    parts = [
        _move_part(score, part, instruments.get(part.id), totals[part.id], remarks) for part in score.parts
    ]
    ways = _ways(score, total)
    shapes = _move_shapes(score, parts, ways, hand, remarks)
    held = {named.name: named.shape for named in shapes}
    numbers = [measure.number for measure in score.measures]
    parts = [
        move_necks(old, new, ways, numbers, remarks) for old, new in zip(score.parts, parts, strict=True)
    ]
    return Moved(
        replace(
            score,
            measures=tuple(_move_measure(measure, total) for measure in score.measures),
            parts=tuple(_move_chords(part, ways, held) for part in parts),
            shapes=shapes,
        ),
        tuple(remarks),
    )


def _ways(score: Score, total: Interval) -> list[Interval]:
    """How the music of each measure moves: by `total`, spelled for the key that the measure gets."""
    return [fit_interval(total, measure.key) for measure in score.measures] or [total]


def _written_interval(part: Part, new: Instrument | None, interval: Interval, key: Key) -> Interval:
    """How far the written notes of a part move: by the interval, and against the capo."""
    if new is None or new.capo == part.instrument.capo:
        return interval
    semitones = interval.semitones + part.instrument.capo - new.capo
    if semitones == interval.semitones:
        return interval
    return interval_of(semitones, key)


def _raised(interval: Interval, octaves: int) -> Interval:
    return interval._replace(semitones=interval.semitones + _OCTAVE * octaves)


def _move_measure(measure: Measure, total: Interval) -> Measure:
    return replace(measure, key=transpose_key(measure.key, total)) if total.fifths else measure


def _move_part(score: Score, part: Part, new: Instrument | None, total: Interval, remarks: list[str]) -> Part:
    """The part on its new instrument, notes that have to move open to choice."""
    instrument = new or part.instrument
    octaves = instrument.octave - part.instrument.octave
    ways = _ways(score, total)
    touched: list[int] = []

    def move(note: Note, at: NoteAt) -> Note:
        if note.is_slash:
            return note
        way = ways[at.measure]
        pitch = transpose_pitch(note.pitch, way).transposed_octaves(octaves)
        if note.chosen or not part.is_fretted:
            return note._replace(pitch=pitch, chosen=bool(instrument.tuning), finger="", string=0, fret=0)
        key = transpose_key(score.measures[at.measure].key, way)
        fingered = pitch.midi - _OCTAVE * instrument.octave
        exists = note.string <= instrument.strings
        if note.has(SignName.DEAD) and exists:
            return note._replace(pitch=_as_written(instrument, note, pitch, key))
        if any(note.has(name) for name in _TOUCHED) and exists:
            if (
                instrument.tuning[note.string - 1] != part.instrument.tuning[note.string - 1]
                or total.semitones
            ):
                touched.append(score.measures[at.measure].number)
            return note._replace(pitch=_as_written(instrument, note, pitch, key))
        stays = exists and note.fret <= instrument.usable_frets
        if stays and instrument.tuning[note.string - 1].midi + note.fret == fingered:
            return note._replace(pitch=pitch)
        return note._replace(pitch=pitch, chosen=True, finger="", string=note.string if exists else 0)

    moved = change_notes(part, move)._replace(instrument=instrument)
    if touched:
        numbers = ", ".join(str(number) for number in dict.fromkeys(touched))
        remarks.append(
            f"{part.name}: natural harmonics sound what their strings now give them: measures {numbers}"
        )
    return moved


def _as_written(instrument: Instrument, note: Note, near: Pitch, key: Key) -> Pitch:
    """The pitch of a note that keeps its string and fret: `near` where that is it, else spelled by `key`."""
    midi = instrument.written_midi(note.string, note.fret)
    return near if near.midi == midi else spell_midi(midi, key)


def _move_shapes(
    score: Score, parts: list[Part], ways: Sequence[Interval], hand: Hand, remarks: list[str]
) -> tuple[NamedShape, ...]:
    """The shapes at the head for the new chords and strings; those that no longer hold are found anew."""
    old = next((part for part in score.parts if part.is_fretted), None)
    new = next((part for part in parts if part.is_fretted), None)
    if new is None:
        return score.shapes
    same = (
        old is not None and old.instrument.tuning == new.instrument.tuning and not ways[0].semitones % _OCTAVE
    )
    found: dict[ChordName, NamedShape] = {}
    for named in score.shapes:
        for name in _new_names(score, named.name, ways):
            shape = named.shape if same else _best_shape(name, new.instrument, hand)
            if shape is None:
                remarks.append(f"no shape of {name.text} can be held; its grid is left out")
            else:
                found.setdefault(name, NamedShape(name, shape, named.location))
    return tuple(found.values())


def _new_names(score: Score, name: ChordName, ways: Sequence[Interval]) -> list[ChordName]:
    """What a chord is called after the move: by another name where a measure's new key asks for another spelling."""
    used = [
        way
        for index, way in enumerate(ways)
        if any(chord.name == name for part in score.parts for chord in part.measures[index].chords)
    ]
    return list(dict.fromkeys(transpose_chord(name, way) for way in used or ways[:1]))


def _best_shape(name: ChordName, instrument: Instrument, hand: Hand) -> ChordShape | None:
    if name.root is None:
        return None
    shapes = find_shapes(name, build_neck(instrument, hand), hand)
    return shapes[0].shape if shapes else None


def _move_chords(part: Part, ways: Sequence[Interval], held: Mapping[ChordName, ChordShape]) -> Part:
    def move(chord: ChordAt, way: Interval) -> ChordAt:
        name = transpose_chord(chord.name, way) if way.semitones % _OCTAVE else chord.name
        return chord._replace(name=name, shape=held.get(name))

    measures = tuple(
        content._replace(chords=tuple(move(chord, way) for chord in content.chords))
        if content.chords
        else content
        for content, way in zip(part.measures, ways)
    )
    return part._replace(measures=measures)


def follow_frets(before: Part, after: Part) -> Part:
    """`after` with the frets in its marks (trills, harmonics) and lasting signs (positions, barres) moved like its notes.

    A lasting sign follows where every note of its measure that keeps its string moves by the same number of frets.
    """
    ways: dict[int, set[int | None]] = {}
    for (index, old), (_, new) in zip(_notes(before), _notes(after), strict=True):
        if old.string != new.string:
            ways.setdefault(index, set()).add(None)
        elif old.fret and new.fret:
            ways.setdefault(index, set()).add(new.fret - old.fret)
    frets: dict[NoteAt, int] = {}

    def remember(note: Note, at: NoteAt) -> Note:
        frets[at] = note.fret
        return note

    change_notes(before, remember)
    moved = change_notes(after, lambda note, at: _move_techniques(note, note.fret - frets[at]))
    measures = []
    for index, content in enumerate(moved.measures):
        way = ways.get(index, set())
        step = next(iter(way)) if len(way) == 1 else None
        if step:
            content = content._replace(spans=tuple(_move_span(span, step) for span in content.spans))
        measures.append(content)
    return moved._replace(measures=tuple(measures))


def spans_to_check(before: Part, after: Part) -> list[int]:
    """The measures (by index) whose positions and barres may no longer fit their notes."""
    changed = {
        index
        for (index, old), (_, new) in zip(_notes(before), _notes(after), strict=True)
        if (old.string, old.fret) != (new.string, new.fret)
    }
    rows = zip(before.measures, after.measures, strict=True)
    return [
        index
        for index, (old, new) in enumerate(rows)
        if index in changed and any(span.detail for span in new.spans) and old.spans == new.spans
    ]


def _notes(part: Part) -> Iterator[tuple[int, Note]]:
    for index, content in enumerate(part.measures):
        for voice in content.voices:
            for event in voice.events:
                for note in event.notes:
                    yield index, note


def _move_techniques(note: Note, step: int) -> Note:
    if not step or not note.techniques:
        return note
    return note._replace(techniques=tuple(_move_technique(technique, step) for technique in note.techniques))


def _move_technique(technique: Technique, step: int) -> Technique:
    """A fret that a technique names moves with the note's own."""
    match technique:
        case Trill():
            return technique._replace(to=max(0, technique.to + step))
        case StoppedHarmonic():
            return technique._replace(touched=max(0, technique.touched + step))
        case _:
            return technique


def _move_span(span: SpanAt, step: int) -> SpanAt:
    if span.detail.isdigit() and int(span.detail) + step > 0:
        return span._replace(detail=str(int(span.detail) + step))
    return span
