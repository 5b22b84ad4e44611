"""A score as it sounds: repeats taken, ties joined, ornaments played out, every note with its moment and loudness."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction

from engrave.playing.part_player import PartPlayer
from engrave.playing.sounding import Performance, SoundingNote
from engrave.playing.taste import read_taste
from engrave.playing.tempos import Hold, Step, find_holds, with_holds, written_tempos
from engrave.score.structure import Score
from engrave.theory.repeats import unfold


def perform(score: Score, first: int = 0, stop: int | None = None, repeats: bool = True) -> Performance:
    """The performance of measures `first` to `stop` - 1 (indices), with repeats, D.C. and D.S. taken if `repeats`."""
    taste = read_taste()
    last = len(score.measures) if stop is None else stop
    order = unfold([m.repeat for m in score.measures]) if repeats else range(len(score.measures))
    steps: list[Step] = []
    measures: list[Fraction] = []
    beats: list[Fraction] = []
    moment = Fraction(0)
    for index in order:
        if not first <= index < last:
            continue
        measure = score.measures[index]
        steps.append(Step(index, moment))
        for _ in range(measure.rests):
            measures.append(moment)
            beat = Fraction(0)
            while beat < measure.length:
                beats.append(moment + beat)
                beat += Fraction(1, measure.metre.unit)
            moment += measure.length
    tempos = written_tempos(score, steps, taste)
    notes: list[SoundingNote] = []
    for number, part in enumerate(score.parts):
        notes.extend(PartPlayer(score, number, part, tempos).play(steps))
    holds = find_holds(score, steps, taste)
    notes = _silenced(notes, [hold for hold in holds if hold.seconds])
    notes.sort(key=lambda note: (note.start, note.part, note.string, note.midi))
    return Performance(tuple(notes), with_holds(tempos, holds), tuple(measures), tuple(beats), moment)


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
