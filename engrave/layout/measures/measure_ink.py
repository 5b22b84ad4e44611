"""Builds each measure: its columns, its staves, and the springs and rods between the columns."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.measures.bend_room import NONE_HELD, find_held_strings
from engrave.layout.measures.clef_changes import ClefChanger, room_at_end
from engrave.layout.measures.graces import settle_graces
from engrave.layout.measures.ink import ChordInk, ClefInk, FretInk, MeasureInk, StaffInk, trace_voice
from engrave.layout.measures.lanes import Lane, LaneReader
from engrave.layout.measures.rhythm import RhythmReader
from engrave.layout.measures.staff_ink import StaffInkBuilder
from engrave.layout.measures.tab_ink import TabInkBuilder
from engrave.layout.measures.words import MeasureWords, WordMeasurer
from engrave.layout.octave_lines import OctaveShifts, find_octave_shifts
from engrave.layout.springs import apply_long_rods, decide_phi, ideal_space
from engrave.layout.staves import StaffPlan
from engrave.score.joins import LEGATO, SLIDING, Joins
from engrave.score.spans import resolve_spans
from engrave.score.structure import Measure, PartMeasure, Score
from engrave.style.sections import NoteStyle, Style
from engrave.theory.accidentals import AccidentalMemory

_DYNAMICS = 1
"""The lane of dynamics among a part's lanes: they stand between the staves, where barlines run."""
_NO_OCTAVES = OctaveShifts()


class _Started(NamedTuple):
    """A measure before it is built: the words of every part, its columns, and the lanes of every part."""

    words: tuple[MeasureWords, ...]
    columns: dict[Fraction, int]
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
        self._score = score
        self._plans = plans
        self._style = style
        self._rhythms = RhythmReader()
        self._staff = StaffInkBuilder(style, face)
        self._tab = TabInkBuilder(style, face)
        self._words = WordMeasurer(score, style, self._tab.centre)
        self._clefs = ClefChanger(score.parts, plans, style, face)
        self._lanes = LaneReader(style, face, self._tab.centre)
        lengths = [measure.length for measure in score.measures]
        self._octaves = [
            find_octave_shifts(resolve_spans(lengths, [content.spans for content in part.measures]), lengths)
            for part in score.parts
        ]
        self._memories = [AccidentalMemory() for _ in plans]
        self._held = [
            find_held_strings(part.measures, own) for part, own in zip(score.parts, joins, strict=True)
        ]
        self._slices: dict[tuple[object, ...], tuple[float, ...]] = {}

    def build_all(self) -> list[MeasureInk]:
        """Every measure of the score."""
        measures = self._score.measures
        started = [self._start(measure) for measure in measures]
        ahead = [*[each.lanes for each in started[1:]], ()]
        return [self._build(*each) for each in zip(measures, started, ahead, strict=False)]

    def _start(self, measure: Measure) -> _Started:
        """The words and the columns of a measure."""
        words = tuple([self._words.measure(part, measure) for part in self._score.parts])
        columns = self._columns(measure.index, words)
        contents = [part.measures[measure.index] for part in self._score.parts]
        lanes = [
            self._lanes.read(content, row, columns) for content, row in zip(contents, words, strict=True)
        ]
        return _Started(words, columns, lanes)

    def _build(self, measure: Measure, started: _Started, ahead: Sequence[tuple[Lane, ...]]) -> MeasureInk:
        index = measure.index
        words, columns, lanes = started
        parts = tuple(part.measures[index] for part in self._score.parts)
        staves = self._build_staves(measure, parts, columns)
        graces = settle_graces(
            self._plans, staves, columns, self._style.notes.grace_gap, self._style.spacing.slide_room
        )
        clefs = self._clefs.settle(measure, staves, columns)
        first = [staff.extents[0].left for staff in staves if 0 in staff.extents]
        first.extend(
            row[_DYNAMICS][0].left for row in lanes if row[_DYNAMICS] and not row[_DYNAMICS][0].column
        )
        near = [staff.near_lefts[0] for staff in staves if 0 in staff.near_lefts]
        onsets = tuple(columns)
        if not onsets:
            spacing = self._style.spacing
            width = spacing.multiple_rest_measure if measure.rests > 1 else spacing.whole_rest_measure
            room = max((-clef.dx for clef in clefs), default=0.0)
            return MeasureInk(
                measure=measure,
                parts=parts,
                onsets=(),
                columns=columns,
                staves=staves,
                natural=(width + room,),
                rods=(width * 2 / 3 + room,),
                left=0.0,
                near_left=0.0,
                graces=graces,
                words=words,
                clefs=clefs,
            )
        natural = self._natural(measure, parts, onsets, words)
        rods = self._rods(staves, len(onsets), lanes, ahead, natural, clefs=clefs)
        return MeasureInk(
            measure=measure,
            parts=parts,
            onsets=onsets,
            columns=columns,
            staves=staves,
            natural=natural,
            rods=rods,
            tie_room=_tie_room(staves, len(onsets) - 1, self._style.notes),
            left=max(first, default=0.0),
            near_left=max(near, default=0.0),
            graces=graces,
            words=words,
            clefs=clefs,
        )

    def _build_staves(
        self, measure: Measure, parts: tuple[PartMeasure, ...], columns: dict[Fraction, int]
    ) -> tuple[StaffInk, ...]:
        rhythms = [[self._rhythms.read(voice, measure) for voice in part.voices] for part in parts]
        sources = [
            [trace_voice(voice, measure, whole.id) for voice in part.voices]
            for whole, part in zip(self._score.parts, parts, strict=True)
        ]
        staves = []
        for plan, memory in zip(self._plans, self._memories, strict=True):
            p = plan.part
            held = self._held[p].get(measure.index, NONE_HELD)
            if plan.is_tab:
                staves.append(self._tab.build(parts[p], rhythms[p], sources[p], columns, plan, held=held))
            else:
                memory.start_measure(measure.key)
                octaves = self._octaves[p].get(measure.index, _NO_OCTAVES)
                staves.append(
                    self._staff.build(
                        parts[p],
                        rhythms[p],
                        sources[p],
                        columns,
                        plan=plan,
                        memory=memory,
                        key=measure.key,
                        held=held,
                        octaves=octaves,
                        measure=measure.index,
                    )
                )
        return tuple(staves)

    def _columns(self, index: int, words: Sequence[MeasureWords]) -> dict[Fraction, int]:
        """The moments of measure `index` at which anything starts, in order, each with its column's number."""
        onsets: set[Fraction] = set()
        for part, row in zip(self._score.parts, words, strict=True):
            content = part.measures[index]
            for voice in content.voices:
                onsets.update(event.onset for event in voice.events if event.notes or not event.whole_measure)
            onsets.update(chord.onset for chord in content.chords)
            onsets.update(word.onset for word in row.counted)
            onsets.update(dynamic.onset for dynamic in content.dynamics)
            onsets.update(clef.onset for clef in content.clefs if clef.onset)
        return {onset: column for column, onset in enumerate(sorted(onsets))}

    def _natural(
        self,
        measure: Measure,
        parts: tuple[PartMeasure, ...],
        onsets: tuple[Fraction, ...],
        words: Sequence[MeasureWords],
    ) -> tuple[float, ...]:
        """The ideal width of each slice: the share of its shortest sounding note's space (Gourlay 1987)."""
        voices = tuple(
            tuple((event.onset, event.length) for event in voice.events)
            for part in parts
            for voice in part.voices
        )
        if measure.counting:
            voices += _counted_voices(words, measure.length)
        key = (onsets, voices, measure.length)
        known = self._slices.get(key)
        if known is not None:
            return known
        spacing = self._style.spacing
        ends = (*onsets[1:], measure.length)
        natural = []
        for start, end, phi in zip(onsets, ends, decide_phi(onsets, voices, measure.length), strict=True):
            space = ideal_space(float(phi), spacing.quarter, spacing.ratio, spacing.floor)
            natural.append(float((end - start) / phi) * space)
        natural[-1] = max(natural[-1] - spacing.note_to_barline, spacing.floor / 2)
        result = self._slices[key] = tuple(natural)
        return result

    def _rods(
        self,
        staves: tuple[StaffInk, ...],
        count: int,
        lanes: Sequence[tuple[Lane, ...]],
        ahead: Sequence[tuple[Lane, ...]],
        natural: tuple[float, ...],
        clefs: Sequence[ClefInk],
    ) -> tuple[float, ...]:
        spacing = self._style.spacing
        rods = [0.0] * count
        long_rods: list[tuple[int, int, float]] = []
        for plan, staff in zip(self._plans, staves, strict=True):
            tail = room_at_end(clefs, plan.index, spacing.head_to_head) if clefs else 0.0
            _add_ink_rods(
                rods,
                long_rods,
                staff,
                (_tab_gaps if plan.is_tab else _staff_gaps)(staff, self._style),
                self._style,
                tail=tail,
            )
        for part, lane_row in enumerate(lanes):
            for number, lane in enumerate(lane_row):
                following = ahead[part][number] if part < len(ahead) and number < len(ahead[part]) else ()
                _add_lane_rods(rods, long_rods, lane, following, spacing.barline_to_note)
        if long_rods:
            return tuple(apply_long_rods(natural, rods, long_rods))
        return tuple(rods)


def _counted_voices(
    words: Sequence[MeasureWords], length: Fraction
) -> tuple[tuple[tuple[Fraction, Fraction], ...], ...]:
    """The counts of all parts as voices: what is counted is spaced as if it were played."""
    voices = []
    for row in words:
        moments = [word.onset for word in row.counted]
        ends = [*moments[1:], length]
        voices.append(tuple((m, end - m) for m, end in zip(moments, ends, strict=False) if end > m))
    return tuple(voice for voice in voices if voice)


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


def _add_ink_rods(
    rods: list[float],
    long_rods: list[tuple[int, int, float]],
    staff: StaffInk,
    gaps: dict[int, float],
    style: Style,
    tail: float,
) -> None:
    """Keep neighbouring ink of one staff apart. `gaps` overrides the white before a column, `tail` that before the barline."""
    spacing = style.spacing
    usual = spacing.head_to_head
    before = -1
    before_right = 0.0
    for column in sorted(staff.extents):
        extent = staff.extents[column]
        if before >= 0:
            least = before_right + gaps.get(column, usual) + extent.left
            if column == before + 1:
                rods[before] = max(rods[before], least)
            else:
                long_rods.append((before, column, least))
        before, before_right = column, extent.right
    if before >= 0:
        least = before_right + max(tail, spacing.note_to_barline)
        if before == len(rods) - 1:
            rods[before] = max(rods[before], least)
        else:
            long_rods.append((before, len(rods), least))


def _staff_gaps(staff: StaffInk, style: Style) -> dict[int, float]:
    """The white before columns that are slid to: room for the line, which ends before the accidentals."""
    room = style.spacing.slide_room
    return {
        item.column: room
        for voice in staff.voices
        for item in voice.items
        if isinstance(item, ChordInk)
        for note in item.notes
        if note.techniques and any(technique.sign in SLIDING for technique in note.techniques)
    }


def _tab_gaps(staff: StaffInk, style: Style) -> dict[int, float]:
    """The white before each column of a tab: room for a sign between two digits, or just air."""
    spacing = style.spacing
    gaps: dict[int, float] = {}
    for voice in staff.voices:
        for item in voice.items:
            if isinstance(item, FretInk):
                joined = any(
                    technique.sign in LEGATO
                    for digit in item.digits
                    if digit.text
                    for technique in digit.note.techniques
                )
                gap = spacing.slide_room if joined else spacing.fret_to_fret
                gaps[item.column] = max(gaps.get(item.column, 0.0), gap)
    return gaps


def _add_lane_rods(
    rods: list[float], long_rods: list[tuple[int, int, float]], lane: Lane, following: Lane, lead: float
) -> None:
    """Keep the words of one lane apart, and the last one clear of the barline and of the next measure's first."""
    end = len(rods)
    for index, item in enumerate(lane):
        if index + 1 < len(lane):
            neighbour = lane[index + 1]
            stop, least = neighbour.column, item.right + item.gap + neighbour.left
        else:
            stop, least = end, item.right + item.gap / 2
            if following and following[0].column == 0:
                least = max(least, item.right + item.gap + following[0].left - lead)
        if stop == item.column + 1:
            rods[item.column] = max(rods[item.column], least)
        elif stop > item.column:
            long_rods.append((item.column, stop, least))
