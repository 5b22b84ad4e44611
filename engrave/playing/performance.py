"""A score as it sounds: repeats taken, ties joined, ornaments played out, every note with its moment and loudness."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction

from engrave.playing.part_player import PartPlayer
from engrave.playing.sounding import Beat, Performance, SoundingNote
from engrave.playing.taste import read_taste
from engrave.playing.tempos import Hold, Step, find_holds, with_holds, written_tempos
from engrave.score.structure import Measure, Score
from engrave.theory.repeats import unfold


def perform(score: Score, first: int = 0, stop: int | None = None, repeats: bool = True) -> Performance:
    """The performance of measures `first` to `stop` - 1 (indices), with repeats, D.C. and D.S. taken if `repeats`."""
    taste = read_taste()
    last = len(score.measures) if stop is None else stop
    order = unfold([m.repeat for m in score.measures]) if repeats else range(len(score.measures))
    steps: list[Step] = []
    measures: list[Fraction] = []
    beats: list[Beat] = []
    counted = _counted_before(score, first)
    moment = Fraction(0)
    for index in order:
        if not first <= index < last:
            continue
        measure = score.measures[index]
        steps.append(Step(index, moment))
        counted = _counted(measure) or counted
        for _ in range(measure.rests):
            measures.append(moment)
            beats.extend(_beats_of(measure, moment, counted))
            moment += measure.length
    tempos = written_tempos(score, steps, taste)
    notes: list[SoundingNote] = []
    for number, part in enumerate(score.parts):
        notes.extend(PartPlayer(score, number, part, tempos).play(steps))
    holds = find_holds(score, steps, taste)
    notes = _silenced(notes, [hold for hold in holds if hold.seconds])
    notes.sort(key=lambda note: (note.start, note.part, note.string, note.midi))
    start = score.measures[first]
    beat_length = _beat_length(start, _counted(start) or _counted_before(score, first))
    return Performance(
        tuple(notes), with_holds(tempos, holds), tuple(measures), tuple(beats), moment, beat_length
    )


def _counted(measure: Measure) -> Fraction:
    """The value that the metronome mark of a measure counts, 0 where there is none."""
    value = measure.tempo.value if measure.tempo is not None else None
    return value.length if value is not None else Fraction(0)


def _counted_before(score: Score, first: int) -> Fraction:
    """The value that the last metronome mark before measure `first` counts."""
    return next(
        (value for measure in reversed(score.measures[:first]) if (value := _counted(measure))), Fraction(0)
    )


def _beat_length(measure: Measure, counted: Fraction) -> Fraction:
    """How far clicks are apart: what the metronome mark counts, where the time is counted so too (common practice, no source).

    Else the lower number of the time: eighths in 6/8 unless its mark counts dotted quarters.
    """
    metre = measure.metre
    unit = Fraction(1, metre.unit)
    fits = counted == 3 * unit if metre.is_compound else counted >= unit and metre.length % counted == 0
    return counted if counted and fits else unit


def _beats_of(measure: Measure, start: Fraction, counted: Fraction) -> Iterator[Beat]:
    """The beats of a measure that starts at `start`; those of a pickup stand where they would in a whole measure."""
    step, offset = _beat_length(measure, counted), measure.metre_offset
    beat = -(-offset // step) * step
    while beat < offset + measure.length:
        yield Beat(start + beat - offset, beat == 0)
        beat += step


def _silenced(notes: Sequence[SoundingNote], silences: Sequence[Hold]) -> list[SoundingNote]:
    """The notes cut off where a caesura begins; `silences` are in order of time."""
    starts = [silence.start for silence in silences]
    found = list[SoundingNote]()
    for note in notes:
        place = bisect_right(starts, note.start)
        if place < len(starts) and starts[place] < note.start + note.length:
            note = note._replace(length=starts[place] - note.start)
        found.append(note)
    return found
