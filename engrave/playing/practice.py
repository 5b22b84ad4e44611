"""A performance made for practising: counted in, clicked along, played again and again, slower or faster."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from engrave.playing.sounding import Beat, Performance, SoundingNote, TempoAt
from engrave.score.structure import Measure

SLOWEST, FASTEST = 0.25, 4.0
"""The limits of the tempo scale (house rule, a safety limit)."""


class Practice(NamedTuple):
    """How music is practised. `rise` is by how many hundredths of its first tempo each time through is faster than the last."""

    count_in: int = 0
    """Measures of click before the music."""
    click: bool = False
    """The click goes on through the music."""
    times: int = 1
    rise: float = 0.0
    tempo_scale: float = 1.0


AS_WRITTEN = Practice()


def practise(performance: Performance, first: Measure, practice: Practice) -> Performance:
    """The performance of music that begins with the measure `first`, played as `practice` says.

    A count-in fills the measure that a pickup leaves open, so that the pickup comes where it belongs.

    Raises ValueError for a tempo scale outside 0.25 to 4, also where the tempo rises to it.
    """
    scales = [practice.tempo_scale * (1 + practice.rise / 100 * number) for number in range(practice.times)]
    for scale in scales:
        if not SLOWEST <= scale <= FASTEST:
            raise ValueError(
                f"the tempo scale {scale:g} is outside {SLOWEST:g} to {FASTEST:g}; 0.5 is half as fast"
            )
    lead = practice.count_in * first.metre.length + (first.metre_offset if practice.count_in else 0)
    passes = [
        _moved(performance, lead + number * performance.length, scale) for number, scale in enumerate(scales)
    ]
    beats = [beat for part in passes for beat in part.beats]
    tempos = [tempo for part in passes for tempo in part.tempos]
    tempos[0] = tempos[0]._replace(start=Fraction(0))
    return replace(
        performance,
        notes=tuple(note for part in passes for note in part.notes),
        tempos=tuple(_without_doubles(tempos)),
        measures=tuple(measure for part in passes for measure in part.measures),
        beats=tuple(beats),
        length=lead + performance.length * practice.times,
        clicks=(*_count_in(performance, first, lead), *(beats if practice.click else ())),
        lead=lead,
        times=practice.times,
    )


def _moved(performance: Performance, by: Fraction, scale: float) -> Performance:
    """The performance `by` later, at `scale` times its tempo."""
    return replace(
        performance,
        notes=tuple(_later(note, by) for note in performance.notes),
        tempos=tuple(TempoAt(tempo.start + by, tempo.quarters * scale) for tempo in performance.tempos),
        measures=tuple(measure + by for measure in performance.measures),
        beats=tuple(Beat(beat.moment + by, beat.is_first) for beat in performance.beats),
    )


def _later(note: SoundingNote, by: Fraction) -> SoundingNote:
    return note._replace(start=note.start + by) if by else note


def _without_doubles(tempos: Sequence[TempoAt]) -> Iterator[TempoAt]:
    before = 0.0
    for tempo in tempos:
        if tempo.quarters != before:
            yield tempo
        before = tempo.quarters


def _count_in(performance: Performance, first: Measure, lead: Fraction) -> Iterator[Beat]:
    """The clicks before the music: on the beats of its first whole measure."""
    step, length = performance.beat_length, first.metre.length
    count = 0
    while count * step < lead:
        moment = count * step
        yield Beat(moment, moment % length == 0)
        count += 1
