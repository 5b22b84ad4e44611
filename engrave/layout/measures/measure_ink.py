"""Builds each measure: its columns, its staves, and the springs and rods between the columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.measures.bend_room import NONE_HELD, find_held_strings
from engrave.layout.measures.clef_changes import ClefChanger
from engrave.layout.measures.graces import settle_graces
from engrave.layout.measures.ink import MeasureInk, StaffInk, trace_voice
from engrave.layout.measures.lanes import Lane, LaneReader
from engrave.layout.measures.line_starts import LineStartReader
from engrave.layout.measures.rhythm import RhythmReader, VoiceRhythm
from engrave.layout.measures.rods import measure_rods
from engrave.layout.measures.staff_ink import StaffInkBuilder
from engrave.layout.measures.tab_ink import TabInkBuilder
from engrave.layout.measures.timing import Timing, TimingReader
from engrave.layout.measures.words import MeasureWords, WordMeasurer
from engrave.layout.octave_lines import OctaveShifts, find_octave_shifts
from engrave.layout.staves import StaffPlan
from engrave.score.joins import Joins
from engrave.score.spans import resolve_spans
from engrave.score.structure import Measure, PartMeasure, Score, Voice
from engrave.style.sections import NoteStyle, Style
from engrave.theory.accidentals import AccidentalMemory

_DYNAMICS = 1
"""The lane of dynamics among a part's lanes: they stand between the staves, where barlines run."""
_NO_OCTAVES = OctaveShifts()


class _Started(NamedTuple):
    """A measure before it is built: the words and the rhythms of every part, its columns, and the lanes of every part."""

    words: tuple[MeasureWords, ...]
    rhythms: Sequence[Sequence[VoiceRhythm]]
    timing: Timing
    lanes: Sequence[tuple[Lane, ...]]


class MeasureInkBuilder:
    """Builds the measures of one score, which must be asked for in order (accidentals are remembered)."""

    def __init__(
        self,
        score: Score,
        plans: Sequence[StaffPlan],
        joins: Sequence[Joins],
        style: Style,
        face: MusicFace,
    ) -> None:
        """Use the staves `plans`, the `joins` of each part, the distances of `style` and the symbols of `face`."""
        self._score = score = _with_whole_rests(score)
        self._plans = plans
        self._style = style
        self._rhythms = RhythmReader()
        self._timings = TimingReader(style.spacing)
        self._staff = StaffInkBuilder(style, face)
        self._tab = TabInkBuilder(style, face)
        self._words = WordMeasurer(score, style, self._tab.centre)
        self._clefs = ClefChanger(score.parts, plans, style, face)
        self._lanes = LaneReader(style, face, self._tab.centre)
        self._line_starts = LineStartReader(score.parts, style, self._tab.centre)
        lengths = [measure.length for measure in score.measures]
        self._octaves = [
            find_octave_shifts(resolve_spans(lengths, [content.spans for content in part.measures]), lengths)
            for part in score.parts
        ]
        self._memories = [AccidentalMemory() for _ in plans]
        self._held = [
            find_held_strings(part.measures, own) for part, own in zip(score.parts, joins, strict=True)
        ]

    def build_all(self) -> list[MeasureInk]:
        """Every measure of the score."""
        measures = self._score.measures
        started = [self._start(measure) for measure in measures]
        ahead = [*[each.lanes for each in started[1:]], ()]
        return [self._build(*each) for each in zip(measures, started, ahead, strict=False)]

    def _start(self, measure: Measure) -> _Started:
        """The words and the columns of a measure."""
        words = tuple([self._words.measure(part, measure) for part in self._score.parts])
        contents = [part.measures[measure.index] for part in self._score.parts]
        rhythms = [[self._rhythms.read(voice, measure) for voice in part.voices] for part in contents]
        timing = self._timings.read(measure, contents, rhythms, words)
        lanes = [
            self._lanes.read(content, row, timing.columns, own)
            for content, row, own in zip(contents, words, timing.parts, strict=True)
        ]
        return _Started(words, rhythms, timing, lanes)

    def _build(self, measure: Measure, started: _Started, ahead: Sequence[tuple[Lane, ...]]) -> MeasureInk:
        index = measure.index
        words, rhythms, timing, lanes = started
        columns = timing.columns
        parts = tuple([part.measures[index] for part in self._score.parts])
        staves = self._build_staves(measure, parts, rhythms, timing)
        graces = settle_graces(
            self._plans, staves, columns, self._style.notes.grace_gap, self._style.spacing.slide_room
        )
        clefs = self._clefs.settle(measure, staves, columns)
        first = [staff.extents[0].left for staff in staves if 0 in staff.extents]
        first.extend(
            row[_DYNAMICS][0].left for row in lanes if row[_DYNAMICS] and not row[_DYNAMICS][0].column
        )
        near = [staff.near_lefts[0] for staff in staves if 0 in staff.near_lefts]
        onsets, natural = timing.onsets, timing.natural
        spacing = self._style.spacing
        if not onsets:
            width = spacing.multiple_rest_measure if measure.rests > 1 else spacing.whole_rest_measure
            room = max((-clef.dx for clef in clefs), default=0.0)
            return MeasureInk(
                measure=measure,
                parts=parts,
                onsets=(),
                columns=columns,
                timings=timing.parts,
                staves=staves,
                natural=(width + room,),
                rods=(width * 2 / 3 + room,),
                even_rods=(width * 2 / 3 + room,),
                rest=width + room,
                left=0.0,
                near_left=0.0,
                graces=graces,
                words=words,
                clefs=clefs,
            )
        rods = measure_rods(
            self._plans, staves, lanes, ahead, natural=natural, style=self._style, clefs=clefs
        )
        return MeasureInk(
            measure=measure,
            parts=parts,
            onsets=onsets,
            columns=columns,
            timings=timing.parts,
            staves=staves,
            natural=natural,
            rods=rods.least,
            even_rods=rods.even,
            rest=rods.rest,
            tie_room=_tie_room(staves, len(onsets) - 1, self._style.notes),
            left=max(first, default=0.0),
            near_left=max(near, default=0.0),
            graces=graces,
            words=words,
            clefs=clefs,
            start=self._line_starts.read(staves, words),
        )

    def _build_staves(
        self,
        measure: Measure,
        parts: tuple[PartMeasure, ...],
        rhythms: Sequence[Sequence[VoiceRhythm]],
        timing: Timing,
    ) -> tuple[StaffInk, ...]:
        sources = [
            [
                trace_voice(voice, measure, whole.id, beats)
                for voice, beats in zip(part.voices, own.beats, strict=True)
            ]
            for whole, part, own in zip(self._score.parts, parts, timing.parts, strict=True)
        ]
        staves = []
        for plan, memory in zip(self._plans, self._memories, strict=True):
            p = plan.part
            held = self._held[p].get(measure.index, NONE_HELD)
            if plan.is_blank:
                staves.append(StaffInk((), {}, {}))
            elif plan.is_tab:
                staves.append(
                    self._tab.build(parts[p], rhythms[p], sources[p], timing.parts[p], plan, held=held)
                )
            else:
                memory.start_measure(measure.key)
                octaves = self._octaves[p].get(measure.index, _NO_OCTAVES)
                staves.append(
                    self._staff.build(
                        parts[p],
                        rhythms[p],
                        sources[p],
                        timing.parts[p],
                        plan=plan,
                        memory=memory,
                        key=measure.key,
                        held=held,
                        octaves=octaves,
                        measure=measure.index,
                    )
                )
        return tuple(staves)


def _tie_room(staves: Sequence[StaffInk], last: int, notes: NoteStyle) -> float:
    """The least width of the slice after column `last` in which a half tie from there can be seen; 0 without one."""
    tied = [
        staff.extents[last].right
        for staff in staves
        for voice in staff.voices
        for item in voice.items[-1:]
        if item.column == last and any(note.tie_to for note in item.event.notes)
    ]
    return max(tied) + notes.tie_head_gap + notes.tie_shortest + notes.half_tie_gap if tied else 0.0


def _with_whole_rests(score: Score) -> Score:
    """`score` with each rest that fills its measure as the rest of a whole measure, whatever value it was written as (common practice, no source)."""

    def quiet(content: PartMeasure, measure: Measure) -> PartMeasure:
        if not any(_fills(voice, measure) for voice in content.voices):
            return content
        voices = tuple(
            Voice((voice.events[0]._replace(whole_measure=True),)) if _fills(voice, measure) else voice
            for voice in content.voices
        )
        return content._replace(voices=voices)

    parts = tuple(
        part._replace(
            measures=tuple(
                quiet(content, measure)
                for content, measure in zip(part.measures, score.measures, strict=True)
            )
        )
        for part in score.parts
    )
    return replace(score, parts=parts)


def _fills(voice: Voice, measure: Measure) -> bool:
    """True for a voice of one plain rest as long as its measure."""
    if len(voice.events) != 1 or measure.pickup:
        return False
    only = voice.events[0]
    written = (only.notes, only.hidden, only.tuplets, only.techniques, only.lyrics, only.whole_measure)
    return only.length == measure.length and not any(written)
