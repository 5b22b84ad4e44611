"""The lines of a piece: broken as loosely as there is room for, and built as systems from top to bottom."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.lines.breaks import LineBreaker, frame_lines
from engrave.layout.lines.frames import LineFrame, LineFramer
from engrave.layout.lines.signs import SignPlanner
from engrave.layout.measures.measure_ink import MeasureInkBuilder
from engrave.layout.staves import StaffPlan, left_room
from engrave.layout.systems.system import System, SystemBuilder
from engrave.problems import Location, ProblemLog
from engrave.score.braces import braced_runs
from engrave.score.joins import resolve_joins
from engrave.score.structure import Score
from engrave.style.sections import POINTS_PER_MM, Style


class Sheet(NamedTuple):
    """The music's area in points, and its width in staff spaces."""

    width: float
    height: float
    bracket_room: float
    line: float
    space: float


def measure_sheet(plans: Sequence[StaffPlan], style: Style, width: float | None = None) -> Sheet:
    """The area of a page of `style`; `width` in points where the music has less than the page."""
    paper, space = style.paper, style.staff_space
    room = left_room(plans, style.staff)
    if width is None:
        width = (paper.width - paper.margin_inner - paper.margin_outer) * POINTS_PER_MM
    height = (paper.height - paper.margin_top - paper.margin_bottom) * POINTS_PER_MM
    return Sheet(width, height, room, width / space - room, space)


class MusicTooWide(Exception):
    """Measures are wider than the page even as small as the style allows: the file, and what is wrong where."""

    def __init__(self, file: str, found: Sequence[tuple[Location, str]]) -> None:
        super().__init__(found[0][1])
        self.file = file
        self.found = tuple(found)

    def tell(self, log: ProblemLog) -> None:
        """Report every such measure to `log`."""
        hint = "write it as several measures, or choose a wider sheet or a smaller staff"
        for location, what in self.found:
            log.error(location, what, hint=hint)


class MusicSetter:
    """Breaks the music of one score into lines and builds them; the measures are measured once."""

    def __init__(
        self, score: Score, plans: Sequence[StaffPlan], style: Style, face: MusicFace, sheet: Sheet
    ) -> None:
        """Measure `score` on the staves `plans` for the width of `sheet`."""
        self._score, self._plans, self._style, self._face = score, plans, style, face
        self._line = sheet.line
        self._indent = _first_indent(score, plans, style)
        self._joins = [resolve_joins(part.measures) for part in score.parts]
        self._inks = MeasureInkBuilder(score, plans, self._joins, style, face).build_all()
        signs = SignPlanner(plans, style.spacing, face)
        self._framer = LineFramer(self._inks, signs, face.glyph("repeatDot").box.right, style)
        self._breaker = LineBreaker(self._inks, self._framer, self._line, self._indent, style.breaking)

    def break_lines(self, is_roomy: bool = False) -> list[LineFrame]:
        """The lines; they may be looser than usual where `is_roomy`."""
        if not self._inks:
            return []
        breaking = self._style.breaking
        least = breaking.density_roomy if is_roomy else breaking.density_least
        lines = self._breaker.decide_lines(least, breaking.density_most)
        return frame_lines(lines, self._breaker, self._framer, self._line, self._indent)

    def break_lines_into(self, count: int) -> list[LineFrame]:
        """As many lines as `count`, looser than usual if need be; none where they cannot be."""
        lines = self._breaker.decide_line_count(count, self._style.breaking.density_roomy)
        return frame_lines(lines, self._breaker, self._framer, self._line, self._indent)

    def guess_lines(self) -> float:
        """About how many lines the music fills when they are as loose as they may be."""
        return self._breaker.total_width / (self._line * self._style.breaking.density_roomy)

    def guess_height(self) -> float:
        """How high a system is at least with the white over it, in staff spaces, before anything is placed."""
        staff = self._style.staff
        apart = sum(staff.staff_to_tab if plan.is_tab else staff.staff_to_staff for plan in self._plans[1:])
        verses = max(
            (
                sung.verse + 1
                for ink in self._inks[:_LOOKED_AT]
                for words in ink.words
                for sung in words.lyrics
            ),
            default=0,
        )
        lyrics = verses * self._style.words.lyric.size * self._style.words.line_pitch
        return sum(plan.height for plan in self._plans) + apart + lyrics + self._style.breaking.system_gap

    def build(self, frames: Sequence[LineFrame]) -> tuple[list[System], list[int]]:
        """The systems from top to bottom, and the index of each one's first measure.

        One that is wider than its line is made smaller as a whole. Raises MusicTooWide where it would become too small.
        """
        self._refuse_too_wide(frames)
        builder = SystemBuilder(self._score, self._plans, self._joins, self._style, self._face)
        measures = self._score.measures
        systems: list[System] = []
        starts: list[int] = []
        first = 0
        for frame in frames:
            stop = first + len(frame.measures)
            before = measures[first - 1] if first else None
            system = builder.build(frame, before, measures[stop] if stop < len(measures) else None)
            systems.append(system.shrunk(share) if (share := self._share(frame)) < 1 else system)
            starts.append(first)
            first = stop
        return systems, starts

    def fits(self, frames: Sequence[LineFrame]) -> bool:
        """True when no line is wider than it may be."""
        return all(self._share(frame) == 1 for frame in frames)

    def _share(self, frame: LineFrame) -> float:
        """The size at which a line fits its width, as a share of the usual."""
        return 1.0 if frame.width <= self._line + _SLACK else self._line / frame.width

    def _refuse_too_wide(self, frames: Sequence[LineFrame]) -> None:
        found = []
        for frame in frames:
            share = self._share(frame)
            if share < self._style.breaking.line_shrink:
                measure = frame.measures[0].measure
                what = f"measure {measure.number} is {1 / share:.1f} times as wide as its line"
                found.append((measure.location, what))
        if found:
            raise MusicTooWide(self._score.file, found)


_SLACK = 1e-6
"""Widths that are shared out fill a line to the last digit (algorithm)."""
_LOOKED_AT = 8
"""Measures in which verses are counted (algorithm)."""


def _first_indent(score: Score, plans: Sequence[StaffPlan], style: Style) -> float:
    """Room at the left of the first system for part names or the letters of an unusual tuning."""
    indent = 0.0
    if len(score.parts) > 1:
        words = style.words.part_name
        names = [
            score.parts[run[0]].brace if len(run) > 1 else style.wordbook.part_name(score.parts[run[0]])
            for run in braced_runs(score.parts)
        ]
        widest = max(text_face(words.face).width(name, words.size) for name in names)
        indent = widest + style.spacing.bracket_indent
    unusual = any(plan.is_tab and score.parts[plan.part].instrument.names_its_strings for plan in plans)
    return indent + (style.staff.tuning_room if unusual else 0.0)
