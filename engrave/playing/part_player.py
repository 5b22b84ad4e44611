"""One part played: its events become sounding notes, measure by measure."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.playing.loudness import UNSTRUCK, Loudness
from engrave.playing.ornaments import (
    ORNAMENTS,
    TREMOLO_VALUES,
    TREMOLOS,
    Figure,
    decide_figures,
    neighbour,
    quick_value,
    strike,
)
from engrave.playing.sounding import Piece, SoundingNote, TempoAt, settle_lengths
from engrave.playing.strummed import shape_at
from engrave.playing.swing import heard_span
from engrave.playing.taste import read_taste
from engrave.playing.tempos import Step, event_signs, source_measure, tempo_at
from engrave.score.joins import SLIDING, NoteAt, resolve_joins
from engrave.score.sign_list import SignName
from engrave.score.spans import Span, resolve_spans
from engrave.score.structure import Event, Graces, Note, Part, PartMeasure, Score
from engrave.score.techniques import Trill, signs_of
from engrave.theory.bends import BendKind, BendStep
from engrave.theory.instrument import Instrument

_DOWNWARD = frozenset({SignName.ARPEGGIATE_DOWN, SignName.STRUM_UP})
"""Signs of chords that begin with the highest string."""
_ROLLS = frozenset({SignName.ARPEGGIATE, SignName.ARPEGGIATE_UP, SignName.ARPEGGIATE_DOWN})
_STRUMS = frozenset({SignName.STRUM_DOWN, SignName.STRUM_UP})
_ONCE = UNSTRUCK | {
    SignName.SLIDE,
    SignName.SLIDE_FROM_BELOW,
    SignName.SLIDE_FROM_ABOVE,
    SignName.ACCENT,
    SignName.STRONG_ACCENT,
    SignName.SOFT_ACCENT,
}
"""Marks that only the first note of an ornament or tremolo has."""


class _Where(NamedTuple):
    """Where an event stands: as its first note is played, its measure, its place there, and the written moment from the start."""

    at: NoteAt
    content: PartMeasure
    measure: int
    onset: Fraction
    written: Fraction


class _Pitch(NamedTuple):
    """Something that sounds."""

    note: Note
    at: NoteAt
    midi: int
    string: int

    def key(self, at: NoteAt) -> tuple[NoteAt, int]:
        """What sounds for the note at `at`: each string of a slash by itself."""
        return at, self.string if self.note.is_slash else 0


class PartPlayer:
    """Plays part `number` of a score. `tempos` decide how quick ornaments are."""

    def __init__(self, score: Score, number: int, part: Part, tempos: Sequence[TempoAt]) -> None:
        self._score = score
        self._number = number
        self._part = part
        self._tempos = tempos
        self._starts = [Fraction(0)]
        lengths = [measure.length for measure in score.measures]
        for length in lengths:
            self._starts.append(self._starts[-1] + length)
        spans = resolve_spans(lengths, [content.spans for content in part.measures])
        self._loudness = Loudness(part, self._starts, spans, read_taste())
        self._spans: dict[int, list[Span]] = defaultdict(list)
        for span in spans:
            for index in range(span.first, span.last + 1):
                self._spans[index].append(span)
        self._notes: list[SoundingNote] = []
        self._joins = resolve_joins(())
        self._played: dict[tuple[NoteAt, int], int] = {}
        self._trilled: set[tuple[NoteAt, int]] = set()

    def play(self, steps: Sequence[Step]) -> list[SoundingNote]:
        """All notes of the part, ties joined, each as long as it sounds."""
        sources = [source_measure(self._part, step.measure) for step in steps]
        self._joins = resolve_joins(self._part.measures[index] for index in sources)
        for place, (step, index) in enumerate(zip(steps, sources, strict=True)):
            content = self._part.measures[index]
            for number, voice in enumerate(content.voices):
                at = NoteAt(place, number, 0, 0)
                for event in voice.events:
                    where = _Where(at, content, index, event.onset, self._starts[index] + event.onset)
                    heard = heard_span(event, self._score.measures[step.measure])
                    at = self._play_event(event, (step.start + heard[0], heard[1] - heard[0]), where)
        return settle_lengths(self._notes, read_taste())

    def _play_event(self, event: Event, heard: tuple[Fraction, Fraction], where: _Where) -> NoteAt:
        """An event with its grace notes, which take their time from it: (start, length). Where the next one stands."""
        start, length = heard
        if event.before is not None:
            each = _grace_length(event.before, length)
            for grace in event.before.events:
                self._add_chord(grace, start, each, where)
                start, length, where = start + each, length - each, _after(where)
        after = event.after.events if event.after is not None else ()
        if after:
            each = min(read_taste().grace, length * read_taste().graces_most / len(after))
            length -= each * len(after)
        self._add_chord(event, start, length, where)
        for number, grace in enumerate(after):
            where = _after(where)
            self._add_chord(grace, start + length + each * number, each, where)
        return _after(where).at

    def _add_chord(self, event: Event, start: Fraction, length: Fraction, where: _Where) -> None:
        """The notes of an event, spread as its signs say.

        A sign of the event may be written on any of its notes; an ornament belongs to the note that it is written
        on, else to the highest.
        """
        names = event_signs(event)
        shared = (names | self._spans_at(where)).difference(ORNAMENTS)
        ornaments = frozenset(signs_of(event.techniques)).intersection(ORNAMENTS)
        sounding = sorted(self._pitches(event, where), key=lambda pitch: pitch.midi)
        highest = max((pitch.midi for pitch in sounding), default=0)
        if names & _DOWNWARD:
            sounding.reverse()
        gap = _gap(names)
        for rank, pitch in enumerate(sounding):
            own = shared | ornaments if pitch.midi == highest else shared
            self._add_note(pitch, own, start, length, rank * gap, where)

    def _add_note(
        self,
        pitch: _Pitch,
        shared: frozenset[SignName],
        start: Fraction,
        length: Fraction,
        delay: float,
        where: _Where,
    ) -> None:
        """One note, or the notes of its ornament or tremolo; a tied one goes on with what it is tied to."""
        note = pitch.note
        key, start_at = pitch.key(pitch.at), self._joins.held_from.get(pitch.at)
        signs = shared | signs_of(note.techniques)
        tied = self._played.get(pitch.key(start_at)) if start_at is not None else None
        if start_at is not None and pitch.key(start_at) in self._trilled:
            signs |= {SignName.TRILL}
        if note.tie_to and SignName.TRILL in signs:
            self._trilled.add(key)
        figures = self._figures(pitch, signs, start, length, where)
        if tied is not None and not figures:
            held = self._notes[tied]
            piece = Piece(start - held.start, signs, note.bend, note.bar_move)
            self._notes[tied] = held._replace(length=start + length - held.start, held=(*held.held, piece))
            self._played[key] = tied
            return
        first = SoundingNote(
            part=self._number,
            string=pitch.string,
            start=start,
            length=length,
            midi=pitch.midi,
            loudness=self._loudness.at(where.written, signs),
            signs=signs,
            bend=note.bend,
            delay=delay,
            slides_from=self._slide_start(pitch.at),
            bar=note.bar_move,
        )
        self._notes.extend(self._played_out(first, figures) if figures else [first])
        self._played[key] = len(self._notes) - 1

    def _figures(
        self, pitch: _Pitch, signs: frozenset[SignName], start: Fraction, length: Fraction, where: _Where
    ) -> list[Figure]:
        """The strokes of a tremolo, or the notes of an ornament; none for a plain note."""
        quarters = tempo_at(self._tempos, start)
        for name in TREMOLOS:
            if name in signs:
                return strike(
                    length, TREMOLO_VALUES.get(name) or quick_value(quarters, read_taste().tremolo_strokes)
                )
        for name in ORNAMENTS:
            if name in signs:
                key = self._score.measures[where.measure].key
                above, below = (neighbour(pitch.note.pitch, key, way) for way in (1, -1))
                above = _trilled_to(pitch.note, above)
                value = quick_value(quarters, read_taste().ornament_notes)
                return decide_figures(name, length, value, above, below)
        return []

    def _played_out(self, note: SoundingNote, figures: Sequence[Figure]) -> Iterator[SoundingNote]:
        """The notes of an ornament, which one pick strikes, or of a tremolo, in which each is struck."""
        struck = any(name in note.signs for name in TREMOLOS)
        signs = note.signs.difference(_ONCE)
        loudness = note.loudness if struck else note.loudness * read_taste().unstruck
        bent = note.bend[-1].semitones if note.bend else 0
        held = (BendStep(BendKind.PRE_BEND, note.bend[-1].semitones),) if bent else ()
        for index, figure in enumerate(figures):
            played = note._replace(
                start=note.start + figure.start, length=figure.length, midi=note.midi + figure.above
            )
            if index:
                others = signs if struck else signs | {SignName.HAMMER_ON}
                played = played._replace(signs=others, loudness=loudness, bend=held, slides_from=0, bar=None)
            yield played

    def _pitches(self, event: Event, where: _Where) -> Iterator[_Pitch]:
        """Everything that sounds; slashes sound the shape of the chord over them."""
        instrument = self._part.instrument
        for index, note in enumerate(event.notes):
            at = where.at._replace(note=index)
            if not note.is_slash:
                yield _Pitch(note, at, sounding_midi(note, instrument), note.string)
                continue
            shape = shape_at(where.content.chords, where.onset, instrument)
            frets = shape.frets if shape is not None else ()
            for index, fret in enumerate(frets):
                string = len(frets) - index
                if fret is not None and string <= instrument.strings:
                    yield _Pitch(note, at, instrument.sounding_midi(string, fret), string)

    def _spans_at(self, where: _Where) -> frozenset[SignName]:
        """The names of the signs that last over a written moment."""
        return frozenset(
            span.sign.name
            for span in self._spans[where.measure]
            if self._starts[span.first] + span.onset <= where.written < self._starts[span.last] + span.end
        )

    def _slide_start(self, at: NoteAt) -> int:
        """The pitch from which a slide leads to the note at `at`, 0 for none."""
        join = self._joins.reached.get(at)
        if join is None or join.start is None or SLIDING.isdisjoint(join.signs):
            return 0
        played = self._played.get((join.start, 0))
        return self._notes[played].midi if played is not None else 0


def _after(where: _Where) -> _Where:
    """The event after one, at the same moment."""
    return where._replace(at=where.at._replace(event=where.at.event + 1))


def _grace_length(graces: Graces, length: Fraction) -> Fraction:
    """How long each grace note before an event of `length` is."""
    count, taste = len(graces.events), read_taste()
    if graces.slashed:
        return min(taste.grace, length * taste.graces_most / count)
    return min(graces.events[0].value.length, length * taste.appoggiatura_most / count)


def _gap(names: frozenset[SignName]) -> float:
    """Seconds from string to string of a chord."""
    taste = read_taste()
    if names & _STRUMS:
        return taste.strum
    if SignName.RAKE in names:
        return taste.rake
    return taste.roll if names & _ROLLS else 0.0


def _trilled_to(note: Note, usual: int) -> int:
    """Semitones up to the upper note of a trill; `usual` where the note does not say its fret."""
    return next((t.to - note.fret for t in note.techniques if isinstance(t, Trill)), usual)


def sounding_midi(note: Note, instrument: Instrument) -> int:
    """The MIDI number that sounds for a written note, harmonics and capo counted in."""
    if note.sounding is not None:
        return note.sounding.midi - 12 * instrument.octave + instrument.capo
    if note.string:
        return instrument.sounding_midi(note.string, note.fret)
    return note.pitch.midi - 12 * instrument.octave
