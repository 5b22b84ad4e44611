"""When things start in a measure: its columns, and the ideal width of each, worked out once for measures of one rhythm."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.layout.measures.rhythm import VoiceRhythm
from engrave.layout.measures.words import MeasureWords
from engrave.layout.springs import decide_phi, ideal_space
from engrave.score.structure import Measure, PartMeasure
from engrave.style.sections import SpacingStyle

_START = Fraction(0)
"""When a measure starts (fact)."""


class PartTiming(NamedTuple):
    """When the events of one part start.

    `columns` holds the column of every event, voice by voice, `ends` the column at which it ends (-1 where none is);
    `moments` are the events as (voice, index), gathered by column, the upper voice first. `beats` says on which beat each
    event starts: the metre's lower number counted from 1, "2" or "5/2".
    """

    columns: tuple[tuple[int, ...], ...]
    ends: tuple[tuple[int, ...], ...]
    moments: tuple[tuple[tuple[int, int], ...], ...]
    beats: tuple[tuple[str, ...], ...]


class Timing(NamedTuple):
    """The columns of one measure: their moments in whole notes, their numbers, the ideal width of the slice after each.

    Measures of one rhythm share one record; nobody may change its dictionary.
    """

    onsets: tuple[Fraction, ...]
    columns: dict[Fraction, int]
    natural: tuple[float, ...]
    parts: tuple[PartTiming, ...]


class TimingReader:
    """Works out columns and their widths for one style."""

    def __init__(self, spacing: SpacingStyle) -> None:
        """Use the widths of `spacing`."""
        self._spacing = spacing
        self._known: dict[tuple[object, ...], Timing] = {}

    def read(
        self,
        measure: Measure,
        parts: Sequence[PartMeasure],
        rhythms: Sequence[Sequence[VoiceRhythm]],
        words: Sequence[MeasureWords],
    ) -> Timing:
        """The columns of `measure`: `parts` is what each part has in it, with the rhythm of its voices and its words."""
        others = [
            onset
            for part, row in zip(parts, words, strict=True)
            if part.chords or part.dynamics or part.clefs or row.counted or part.neck is not None
            for onset in _others(part, row)
        ]
        numbers = tuple([tuple([rhythm.number for rhythm in own]) for own in rhythms])
        counted = tuple([word.onset for row in words for word in row.counted]) if measure.counting else None
        key = (numbers, measure.length, tuple(others), counted)
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = self._work_out(measure, parts, others, words)
        return known

    def _work_out(
        self,
        measure: Measure,
        parts: Sequence[PartMeasure],
        others: Sequence[Fraction],
        words: Sequence[MeasureWords],
    ) -> Timing:
        moments = set(others)
        for part in parts:
            for voice in part.voices:
                moments.update(
                    event.onset for event in voice.events if event.notes or not event.whole_measure
                )
        onsets = tuple(sorted(moments))
        columns = {onset: column for column, onset in enumerate(onsets)}
        timings = tuple([_part_timing(part, columns, measure) for part in parts])
        return Timing(
            onsets, columns, self._natural(measure, parts, onsets, words) if onsets else (), timings
        )

    def _natural(
        self,
        measure: Measure,
        parts: Sequence[PartMeasure],
        onsets: tuple[Fraction, ...],
        words: Sequence[MeasureWords],
    ) -> tuple[float, ...]:
        """The ideal width of each slice: the share of its shortest sounding note's space (Gourlay 1987)."""
        voices = [
            [(event.onset, event.length) for event in voice.events] for part in parts for voice in part.voices
        ]
        if measure.counting:
            voices += _counted_voices(words, measure.length)
        spacing = self._spacing
        ends = (*onsets[1:], measure.length)
        natural = []
        for start, end, phi in zip(onsets, ends, decide_phi(onsets, voices, measure.length), strict=True):
            space = ideal_space(float(phi), spacing.quarter, spacing.ratio, spacing.floor)
            natural.append(float((end - start) / phi) * space)
        natural[-1] = max(natural[-1] - spacing.note_to_barline, spacing.floor / 2)
        return tuple(natural)


def _others(part: PartMeasure, words: MeasureWords) -> list[Fraction]:
    """The moments at which something other than notes and rests starts."""
    return [
        *[chord.onset for chord in part.chords],
        *[word.onset for word in words.counted],
        *[dynamic.onset for dynamic in part.dynamics],
        *[clef.onset for clef in part.clefs if clef.onset],
        *([_START] if part.neck is not None else ()),
    ]


def _part_timing(part: PartMeasure, columns: dict[Fraction, int], measure: Measure) -> PartTiming:
    """Events that have no column of their own (rests of a whole measure) are given column 0."""
    starts = tuple([tuple([columns.get(event.onset, 0) for event in v.events]) for v in part.voices])
    ends = tuple([tuple([columns.get(e.onset + e.length, -1) for e in v.events]) for v in part.voices])
    gathered: dict[Fraction, list[tuple[int, int]]] = {}
    for number, voice in enumerate(part.voices):
        for index, event in enumerate(voice.events):
            gathered.setdefault(event.onset, []).append((number, index))
    unit, offset = measure.metre.unit, measure.metre_offset
    beats = tuple([tuple([str((e.onset + offset) * unit + 1) for e in v.events]) for v in part.voices])
    return PartTiming(starts, ends, tuple([tuple(gathered[onset]) for onset in sorted(gathered)]), beats)


def _counted_voices(words: Sequence[MeasureWords], length: Fraction) -> list[list[tuple[Fraction, Fraction]]]:
    """The counts of all parts as voices: what is counted is spaced as if it were played."""
    voices = []
    for row in words:
        moments = [word.onset for word in row.counted]
        ends = [*moments[1:], length]
        voices.append([(m, end - m) for m, end in zip(moments, ends, strict=False) if end > m])
    return [voice for voice in voices if voice]
