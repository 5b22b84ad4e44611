"""A score as it sounds: repeats taken, ties joined, every note with its moment, pitch and loudness.

Times are exact fractions of a whole note from the start; a tempo map turns them into seconds.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.score.spans import resolve_spans
from engrave.score.structure import ChordAt, Event, Note, Part, PartMeasure, Score
from engrave.theory.bends import BendStep, parse_bend
from engrave.theory.instrument import Instrument
from engrave.theory.repeats import unfold

USUAL_TEMPO = 96.0
"""Quarters a minute where a score says nothing (house rule)."""
_LOUDNESS = {
    "pppp": 0.12, "ppp": 0.18, "pp": 0.28, "p": 0.40, "mp": 0.52, "mf": 0.64, "f": 0.76, "ff": 0.88, "fff": 0.95, "ffff": 1.0, "n": 0.08,
    "fp": 0.76, "pf": 0.64, "sf": 0.82, "sfz": 0.85, "sffz": 0.92, "sfp": 0.80, "rf": 0.76, "rfz": 0.78, "fz": 0.82,
}  # fmt: skip
"""Loudness of the dynamics, 0 to 1 (house rule: about equal steps)."""
_USUAL = _LOUDNESS["mf"]
_ACCENT, _STRONG, _GHOST = 0.14, 0.2, -0.25
_GRACE = Fraction(1, 32)
"""Length of a grace note, taken from its main note (house rule)."""
_GRACES_MOST = Fraction(1, 3)
"""Grace notes take no more of their note than this (house rule)."""
_ROLL = 0.045
"""Seconds from string to string of a rolled chord (house rule)."""
_STRUM = 0.012
"""Seconds from string to string of a strum (house rule)."""


class SoundingNote(NamedTuple):
    """One sounding note. `midi` is its pitch as a MIDI number; `delay` in seconds spreads chords.

    `marks` are the names of its signs, spans such as palm-mute and let-ring among them. `bend` are the steps of its
    bend; `string` is 0 where there is none.
    """

    part: int
    string: int
    start: Fraction
    length: Fraction
    midi: int
    loudness: float
    marks: frozenset[str]
    bend: tuple[BendStep, ...] = ()
    delay: float = 0.0
    slides_from: int = 0
    """The pitch from which it is reached by a slide, 0 for none."""


class TempoAt(NamedTuple):
    """From `start` on, so many quarters a minute."""

    start: Fraction
    quarters: float


class Performance(NamedTuple):
    """All notes in order of time, the tempo map (it begins at 0), the moments of beats and bars, and the whole length."""

    notes: tuple[SoundingNote, ...]
    tempos: tuple[TempoAt, ...]
    bars: tuple[Fraction, ...]
    beats: tuple[Fraction, ...]
    length: Fraction

    def seconds(self, moment: Fraction) -> float:
        """Seconds from the start to `moment`."""
        total = 0.0
        for index, tempo in enumerate(self.tempos):
            stop = self.tempos[index + 1].start if index + 1 < len(self.tempos) else moment
            span = min(stop, moment) - tempo.start
            if span > 0:
                total += float(span) * 4 * 60 / tempo.quarters
        return total


class _Step(NamedTuple):
    """A measure as it is played: its index in the score, and when it starts."""

    measure: int
    start: Fraction


def perform(score: Score, first: int = 0, stop: int | None = None, repeats: bool = True) -> Performance:
    """The performance of measures `first` to `stop` - 1 (indices), with repeats and jumps taken if `repeats`."""
    last = len(score.measures) if stop is None else stop
    order = unfold([m.repeat for m in score.measures]) if repeats else range(len(score.measures))
    steps: list[_Step] = []
    moment = Fraction(0)
    bars: list[Fraction] = []
    beats: list[Fraction] = []
    for index in order:
        if not first <= index < last:
            continue
        measure = score.measures[index]
        steps.append(_Step(index, moment))
        for _ in range(measure.rests):
            bars.append(moment)
            beat = Fraction(0)
            while beat < measure.length:
                beats.append(moment + beat)
                beat += Fraction(1, measure.metre.unit)
            moment += measure.length
    notes: list[SoundingNote] = []
    for number, part in enumerate(score.parts):
        notes.extend(_PartPlayer(score, number, part).play(steps))
    notes.sort(key=lambda note: (note.start, note.part, note.string, note.midi))
    return Performance(tuple(notes), _tempos(score, steps), tuple(bars), tuple(beats), moment)


def _tempos(score: Score, steps: Sequence[_Step]) -> tuple[TempoAt, ...]:
    """The tempo map; words alone change nothing."""
    found: list[TempoAt] = []
    for step in steps:
        tempo = score.measures[step.measure].tempo
        if tempo is not None and tempo.value is not None and tempo.per_minute is not None:
            quarters = float(tempo.per_minute * tempo.value.length * 4)
            if not found or found[-1].quarters != quarters:
                found.append(TempoAt(step.start, quarters))
    if not found or found[0].start > 0:
        earlier = next((m.tempo for m in score.measures if m.tempo is not None and m.tempo.per_minute), None)
        quarters = USUAL_TEMPO
        if not found and earlier is not None and earlier.value is not None and earlier.per_minute is not None:
            quarters = float(earlier.per_minute * earlier.value.length * 4)
        found.insert(0, TempoAt(Fraction(0), quarters))
    return tuple(found)


class _PartPlayer:
    """Plays one part."""

    def __init__(self, score: Score, number: int, part: Part) -> None:
        self._score = score
        self._number = number
        self._part = part
        lengths = [measure.length for measure in score.measures]
        self._starts = [sum(lengths[:index], Fraction(0)) for index in range(len(lengths))]
        self._spans = resolve_spans(lengths, [content.spans for content in part.measures])
        self._dynamics = [
            (self._starts[index] + dynamic.onset, _LOUDNESS[dynamic.text])
            for index, content in enumerate(part.measures)
            for dynamic in content.dynamics
        ]
        self._last: dict[tuple[int, int], int] = {}

    def play(self, steps: Sequence[_Step]) -> list[SoundingNote]:
        """All notes of the part, ties joined."""
        notes: list[SoundingNote] = []
        for step in steps:
            index = self._source(step.measure)
            content = self._part.measures[index]
            for voice_number, voice in enumerate(content.voices):
                for event in voice.events:
                    self._play_event(notes, event, step, index, voice_number, content)
        return notes

    def _source(self, index: int) -> int:
        """The measure whose music is played at `index`: an earlier one where the part repeats it."""
        while self._part.measures[index].repeats:
            index -= self._part.measures[index].repeats
        return index

    def _play_event(
        self,
        notes: list[SoundingNote],
        event: Event,
        step: _Step,
        index: int,
        voice: int,
        content: PartMeasure,
    ) -> None:
        if not event.notes:
            return
        start, length = step.start + event.onset, event.length
        written = self._starts[index] + event.onset
        before = event.before.events if event.before is not None else ()
        if before:
            each = min(_GRACE, length * _GRACES_MOST / len(before))
            for grace in before:
                self._add_chord(notes, grace, start, each, written, voice, content, event.onset)
                start, length = start + each, length - each
        after = event.after.events if event.after is not None else ()
        if after:
            each = min(_GRACE, length * _GRACES_MOST / len(after))
            length -= each * len(after)
        self._add_chord(notes, event, start, length, written, voice, content, event.onset)
        for number, grace in enumerate(after):
            at = start + length + each * number
            self._add_chord(notes, grace, at, each, written, voice, content, event.onset)

    def _add_chord(
        self,
        notes: list[SoundingNote],
        event: Event,
        start: Fraction,
        length: Fraction,
        written: Fraction,
        voice: int,
        content: PartMeasure,
        onset: Fraction,
    ) -> None:
        """The notes of an event, spread as its marks say; held notes lengthen the ones that they hold."""
        shared = frozenset(mark.name for mark in event.marks) | frozenset(self._spans_at(written))
        sounding = list(self._pitches(event, content, onset))
        names = shared | {mark.name for note in event.notes for mark in note.marks}
        order = sorted(range(len(sounding)), key=lambda i: sounding[i][1])
        if names & {"arpeggiate-down", "strum-up"}:
            order.reverse()
        gap = _ROLL if names & {"arpeggiate", "arpeggiate-up", "arpeggiate-down"} else 0.0
        gap = _STRUM if names & {"strum-down", "strum-up", "rake"} else gap
        for rank, position in enumerate(order):
            note, midi, string = sounding[position]
            key = (voice, string or 1000 + midi)
            if note.tie_from and key in self._last:
                held = notes[self._last[key]]
                notes[self._last[key]] = held._replace(
                    length=start + length - held.start, bend=held.bend + _bend(note, held=True)
                )
                continue
            marks = shared | {mark.name for mark in note.marks}
            notes.append(
                SoundingNote(
                    self._number,
                    string,
                    start,
                    length,
                    midi,
                    self._loudness(written, marks),
                    marks,
                    _bend(note, held=False),
                    rank * gap,
                    self._slide_start(notes, note, key),
                )
            )
            self._last[key] = len(notes) - 1

    def _pitches(
        self, event: Event, content: PartMeasure, onset: Fraction
    ) -> Iterator[tuple[Note, int, int]]:
        """(note, MIDI number, string) of everything that sounds; slashes sound the shape of the chord over them."""
        instrument = self._part.instrument
        for note in event.notes:
            if not note.is_slash:
                yield note, sounding_midi(note, instrument), note.string
                continue
            chord = _chord_at(content.chords, onset)
            if chord is None or chord.shape is None:
                continue
            for index, fret in enumerate(chord.shape.frets):
                string = len(chord.shape.frets) - index
                if fret is not None and string <= instrument.strings:
                    yield note, instrument.sounding_midi(string, fret), string

    def _spans_at(self, written: Fraction) -> Iterator[str]:
        for span in self._spans:
            start = self._starts[span.first] + span.onset
            if start <= written < self._starts[span.last] + span.end:
                yield span.sign.name

    def _loudness(self, written: Fraction, marks: frozenset[str]) -> float:
        """The loudness at a written moment: its dynamic, hairpins between dynamics, accents."""
        place = bisect_right(self._dynamics, written, key=lambda dynamic: dynamic[0])
        level = self._dynamics[place - 1][1] if place else _USUAL
        for span in self._spans:
            start, end = self._starts[span.first] + span.onset, self._starts[span.last] + span.end
            if span.sign.name in ("crescendo", "diminuendo") and start <= written < end:
                way = 0.2 if span.sign.name == "crescendo" else -0.2
                goal = self._dynamics[place][1] if place < len(self._dynamics) else level + way
                level += (goal - level) * float((written - start) / (end - start))
        level += _ACCENT if "accent" in marks else _STRONG if "strong-accent" in marks else 0.0
        level += _GHOST if "ghost" in marks else 0.0
        return min(1.0, max(0.05, level))

    def _slide_start(self, notes: list[SoundingNote], note: Note, key: tuple[int, int]) -> int:
        if not (note.has("slide") or note.has("legato-slide")) or key not in self._last:
            return 0
        return notes[self._last[key]].midi


def _chord_at(chords: tuple[ChordAt, ...], onset: Fraction) -> ChordAt | None:
    """The chord that holds at `onset`."""
    found = None
    for chord in chords:
        if chord.onset <= onset:
            found = chord
    return found


def _bend(note: Note, held: bool) -> tuple[BendStep, ...]:
    for mark in note.marks:
        if mark.name == "bend":
            return parse_bend(mark.amount, held)
    return ()


def sounding_midi(note: Note, instrument: Instrument) -> int:
    """The MIDI number that sounds for a written note, harmonics and capo counted in."""
    if note.sounding is not None:
        return note.sounding.midi - 12 * instrument.octave + instrument.capo
    if note.string:
        return instrument.sounding_midi(note.string, note.fret)
    return note.pitch.midi - 12 * instrument.octave
