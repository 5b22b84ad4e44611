"""One system: every staff drawn on its own canvas, the canvases stacked with a common distance along the line."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from functools import partial
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.lines.frames import LineFrame
from engrave.layout.skyline import measure_distance
from engrave.layout.staves import StaffPlan, left_room
from engrave.layout.systems.bend_marks import BendPlacer
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.frame_marks import (
    place_barlines,
    place_repeat_dots,
    place_signs,
    place_staff_lines,
    place_system_start,
)
from engrave.layout.systems.joins import JoinPlacer
from engrave.layout.systems.lyrics import LyricPlacer
from engrave.layout.systems.mark_lanes import MarkLanes
from engrave.layout.systems.note_signs import NoteSignPlacer, left_edge
from engrave.layout.systems.placed import PlacedVoice, VoiceAt
from engrave.layout.systems.silence import place_silences
from engrave.layout.systems.slurs import SlurPlacer
from engrave.layout.systems.span_signs import SpanPlacer
from engrave.layout.systems.staff_notes import StaffNotePlacer
from engrave.layout.systems.structure_marks import place_structure
from engrave.layout.systems.tab_notes import TabNotePlacer
from engrave.layout.systems.tuplet_marks import add_tuplets
from engrave.layout.systems.words_around import place_chord_names, place_count, place_necks, place_texts
from engrave.marks.mark import NO_SOURCE, Glyph, Mark, Text
from engrave.marks.role import Role
from engrave.score.braces import braced_runs
from engrave.score.joins import Joins, NoteAt
from engrave.score.sign_list import SignName
from engrave.score.slurs import resolve_slurs
from engrave.score.structure import Measure, Part, Score
from engrave.style.sections import BreakingStyle, Style
from engrave.style.words import OtherMark
from engrave.theory.instrument import letter_name


class StackedMarks(NamedTuple):
    """Marks whose y = 0 lies `y` below the top of the system (y is negative or 0).

    `x` moves them to the right; `scale` is their size, as a share of the usual.
    """

    y: float
    marks: tuple[Mark, ...]
    x: float = 0.0
    scale: float = 1.0


class System(NamedTuple):
    """A finished system; `height` from its highest to its lowest ink, in staff spaces.

    `gap` is the white over it where it is not the style's for systems of music, and `gap_least` how far it may shrink.
    `keeps_next`: no page should end after it; `grows`: the white may become wider so that the page is filled.
    `measures`: the left and right edge of each measure.
    """

    layers: tuple[StackedMarks, ...]
    height: float
    gap: float | None = None
    gap_least: float | None = None
    keeps_next: bool = False
    grows: bool = True
    measures: tuple[tuple[float, float], ...] = ()

    def gaps(self, style: BreakingStyle) -> tuple[float, float]:
        """The least and the ideal white over it, in staff spaces."""
        if self.gap is None:
            return style.system_gap_least, style.system_gap
        return self.gap if self.gap_least is None else min(self.gap_least, self.gap), self.gap

    def shrunk(self, share: float) -> System:
        """The system at `share` of its size, its left edge where it was."""
        layers = (
            StackedMarks(layer.y * share, layer.marks, layer.x * share, layer.scale * share)
            for layer in self.layers
        )
        measures = tuple((left * share, right * share) for left, right in self.measures)
        return self._replace(layers=tuple(layers), height=self.height * share, measures=measures)


class SystemBuilder:
    """Builds the systems of one score from top to bottom; ties and words that go on are remembered."""

    def __init__(
        self,
        score: Score,
        plans: Sequence[StaffPlan],
        joins: Sequence[Joins],
        style: Style,
        face: MusicFace,
    ) -> None:
        """Use the staves `plans` and the `joins` of each part."""
        self._score = score
        self._plans = plans
        self._style = style
        self._face = face
        self._staff_notes = StaffNotePlacer(style, face)
        self._tab_notes = TabNotePlacer(style, face)
        self._signs = NoteSignPlacer(style, face)
        centre = face.glyph("noteheadBlack").box.right / 2
        self._joins = [JoinPlacer(style, face, plan.is_tab, joins[plan.part]) for plan in plans]
        self._bends = [BendPlacer(style, face) for _ in plans]
        slurs = [resolve_slurs(part.measures) for part in score.parts]
        self._slurs = [
            SlurPlacer(style, face, slurs[plan.part])
            if slurs[plan.part] and plan.shows(style.signs[SignName.SLUR])
            else None
            for plan in plans
        ]
        self._has_lyrics = [
            any(
                event.lyrics
                for measure in part.measures
                for voice in measure.voices
                for event in voice.events
            )
            for part in score.parts
        ]
        self._spans = [SpanPlacer(score, part, style, face) for part in score.parts]
        self._lyrics = [LyricPlacer(style, centre, part, index) for index, part in enumerate(score.parts)]

    def build(self, frame: LineFrame, before: Measure | None, after: Measure | None) -> System:
        """The system of one line."""
        canvases = [self._build_staff(plan, frame, before is None) for plan in self._plans]
        place_structure(canvases[0], frame, before, after, self._style, self._face)
        offsets = self._stack(canvases)
        sides = self._frame_marks(canvases, offsets, frame, before is None)
        tips = [self._face.glyph(mark.name).box for mark in sides if isinstance(mark, Glyph)]
        ends = [mark.y for mark in sides if isinstance(mark, Glyph)]
        top = max([canvases[0].upper.outermost(), *(y + tip.top for y, tip in zip(ends, tips, strict=True))])
        layers = [
            StackedMarks(offset - top, tuple(canvas.marks))
            for canvas, offset in zip(canvases, offsets, strict=True)
        ]
        layers.append(StackedMarks(-top, tuple(sides)))
        foot = offsets[-1] + canvases[-1].lower.outermost()
        bottom = min([foot, *(y + tip.bottom for y, tip in zip(ends, tips, strict=True))])
        measures = tuple((measure.left, measure.right) for measure in frame.measures)
        return System(tuple(layers), top - bottom, measures=measures)

    def _build_staff(self, plan: StaffPlan, frame: LineFrame, is_first: bool) -> StaffCanvas:
        canvas = StaffCanvas(plan, frame.width)
        part = self._score.parts[plan.part]
        joins = self._joins[plan.index]
        bends = self._bends[plan.index]
        joins.start_line(frame.joins_x)
        bends.start_line(frame.joins_x)
        place_signs(canvas, frame, self._face, self._style.staff.clef_change_size)
        place_repeat_dots(canvas, frame)
        self._place_notes(canvas, frame, joins, bends)
        following = frame.measures[-1].measure.index + 1
        joins.end_line(
            canvas,
            frame.measures[-1].right,
            part.measures[following] if following < len(part.measures) else None,
        )
        place_staff_lines(canvas, frame, self._style.staff)
        if plan.is_tab and is_first and part.instrument.names_its_strings:
            self._place_string_names(canvas, frame)
        self._add_around(canvas, frame, part).place(canvas)
        return canvas

    def _add_around(self, canvas: StaffCanvas, frame: LineFrame, part: Part) -> MarkLanes:
        """What belongs to the line rather than to a note, in the order of the style's table."""
        plan, signs = canvas.plan, self._style.signs
        lanes = MarkLanes(self._style.stacking.sign_gap)
        above = self._has_lyrics[plan.part] or signs[OtherMark.DYNAMIC].side == "above"
        loudness = Direction.UP if above else Direction.DOWN
        self._spans[plan.part].add(canvas, frame, loudness, lanes)
        if part.is_fretted and plan.shows(signs[OtherMark.COUNT]):
            count = partial(place_count, canvas, frame, plan.part, part.id, self._style)
            lanes.add(signs[OtherMark.COUNT].order, count)
        if plan.is_first:
            lanes.add(signs[OtherMark.LYRIC].order, partial(self._lyrics[plan.part].place, canvas, frame))
            names = partial(
                place_chord_names,
                canvas,
                frame,
                plan.part,
                part.id,
                self._score.left_handed,
                style=self._style,
            )
            lanes.add(signs[OtherMark.CHORD_NAME].order, names)
            necks = partial(place_necks, canvas, frame, plan.part, part.id, self._style)
            lanes.add(signs[OtherMark.NECK].order, necks)
            texts = partial(place_texts, canvas, frame, plan.part, part.id, self._style)
            lanes.add(signs[OtherMark.TEXT].order, texts)
        return lanes

    def _place_notes(
        self, canvas: StaffCanvas, frame: LineFrame, joins: JoinPlacer, bends: BendPlacer
    ) -> None:
        plan = canvas.plan
        lanes = MarkLanes(self._style.stacking.sign_gap)
        slurs = self._slurs[plan.index]
        if slurs is not None:
            slurs.start_line()
        voices: list[VoiceAt] = []
        around: list[list[float]] = []
        for measure in frame.measures:
            ink = measure.ink.staves[plan.index]
            placed: list[PlacedVoice] = []
            for voice in ink.voices:
                if plan.is_tab:
                    placed.append(self._tab_notes.place(canvas, measure, voice))
                else:
                    placed.append(self._staff_notes.place(canvas, measure, voice))
            index = measure.measure.index
            content = self._score.parts[plan.part].measures[index]
            joins.start_measure(measure.left, measure.right)
            lefts = [left_edge(event) for done in placed for event in done.events]
            for number, (done, voice) in enumerate(zip(placed, ink.voices, strict=True)):
                joins.place(canvas, done, content.voices[number], NoteAt(index, number, 0, 0))
                if slurs is not None:
                    slurs.note(index, number, done, content.voices[number])
                if plan.has_rhythm:
                    add_tuplets(canvas, done, voice.rhythm, self._style, lanes)
                voices.append(VoiceAt(number, done, measure.right))
                around.append(lefts)
        bend_row = bends.place(canvas, voices, frame.measures[-1].right)
        self._signs.add(canvas, list(zip(voices, around, strict=True)), bend_row, lanes)
        if slurs is not None and slurs.is_needed(frame):
            lanes.add(self._style.signs[SignName.SLUR].order, partial(slurs.place, canvas, frame))
        lanes.place(canvas)
        place_silences(canvas, frame, self._face, self._style)

    def _place_string_names(self, canvas: StaffCanvas, frame: LineFrame) -> None:
        """The letters of an unusual tuning, at the left of the tab's lines."""
        words = self._style.words.string_name
        face = text_face(words.face)
        drop = face.ink("E", words.size).top / 2
        plan = canvas.plan
        for index, pitch in enumerate(self._score.parts[plan.part].instrument.tuning):
            name = letter_name(pitch, self._style.words.says_h)
            x = frame.indent - self._style.staff.part_name_gap / 2 - face.width(name, words.size)
            y = (plan.lines - 1 - index) * plan.pitch - drop
            canvas.text(Role.STRING_NAME, x, y, name, face=words.face, size=words.size, source=NO_SOURCE)

    def _stack(self, canvases: Sequence[StaffCanvas]) -> list[float]:
        """The y of each staff's bottom line, the first at 0. Staves of one part keep the style's distance at least."""
        staff = self._style.staff
        offsets = [0.0]
        for upper, lower in itertools.pairwise(canvases):
            usual = staff.staff_to_tab if not lower.plan.is_first else staff.staff_to_staff
            touching = measure_distance(upper.lower, lower.upper)
            distance = max(usual + lower.plan.height, touching + staff.skyline_gap)
            offsets.append(offsets[-1] - distance)
        return offsets

    def _frame_marks(
        self, canvases: Sequence[StaffCanvas], offsets: Sequence[float], frame: LineFrame, is_first: bool
    ) -> list[Mark]:
        """Barlines part by part, the line, brackets and braces at the left, and the parts' names."""
        staff, parts = self._style.staff, self._score.parts
        marks: list[Mark] = []
        extents = [(o, o + c.plan.height) for c, o in zip(canvases, offsets, strict=True)]
        brackets, braces = [], []
        half = staff.line / 2
        for run in braced_runs(parts):
            staves = [
                [e for e, c in zip(extents, canvases, strict=True) if c.plan.part == index] for index in run
            ]
            whole = _around([extent for mine in staves for extent in mine])
            spans = [whole]
            if any(self._has_lyrics[index] for index in run):
                spans = [extent for mine in staves for extent in mine]
            for bottom, top in spans:
                marks.extend(place_barlines(frame, bottom - half, top + half, staff))
            if len(parts) > 1:
                brackets += [_around(mine) for mine in staves if len(mine) > 1]
            braces += [whole] if len(run) > 1 else []
            if is_first and len(parts) > 1:
                own = parts[run[0]]
                name = own.brace if len(run) > 1 else self._style.wordbook.part_name(own)
                marks.append(self._part_name(name, frame, sum(whole) / 2))
        marks.extend(place_system_start(frame, extents, brackets, braces, staff))
        return marks

    def _part_name(self, name: str, frame: LineFrame, middle: float) -> Mark:
        words, staff = self._style.words.part_name, self._style.staff
        width = text_face(words.face).width(name, words.size)
        room = max(staff.bracket_gap + staff.bracket_bar, left_room(self._plans, staff))
        x = frame.indent - room - staff.part_name_gap - width
        drop = text_face(words.face).x_height * words.size / 2
        return Text(Role.PART_NAME, x, middle - drop, name, words.face, words.size)


def _around(extents: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """From the lowest bottom to the highest top."""
    return min(bottom for bottom, _ in extents), max(top for _, top in extents)
