"""Where everything stands along one line: signs, columns and barlines."""

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.layout.lines.barlines import BarlineSign, decide_barline
from engrave.layout.lines.signs import SignPlanner, Signs
from engrave.layout.measures.ink import MeasureInk
from engrave.layout.springs import decide_even_widths
from engrave.score.structure import Measure
from engrave.style.sections import Style


class MeasureFrame(NamedTuple):
    """One measure on its line; every x in staff spaces from the line's left edge.

    `left` is the right edge of the barline (or of the signs) before the measure, `right` the left edge of the
    barline after it. `xs` are the columns; `signs` start at `signs_x`.
    """

    ink: MeasureInk
    left: float
    right: float
    xs: tuple[float, ...]
    signs: Signs
    signs_x: float
    barline: BarlineSign

    @property
    def measure(self) -> Measure:
        """The score's measure."""
        return self.ink.measure

    def x_at(self, onset: Fraction) -> float:
        """The x of a moment (whole notes from the start of the measure), between columns if needed."""
        column = self.ink.columns.get(onset)
        if column is not None:
            return self.xs[column]
        if not self.xs:
            return self.left
        index = bisect_right(self.ink.onsets, onset) - 1
        if index < 0:
            return self.xs[0]
        start, x = self.ink.onsets[index], self.xs[index]
        is_last = index + 1 == len(self.xs)
        end = self.ink.measure.length if is_last else self.ink.onsets[index + 1]
        end_x = self.right if is_last else self.xs[index + 1]
        return x + (end_x - x) * float((onset - start) / (end - start)) if end > start else x


class LineFrame(NamedTuple):
    """One line (system): its measures and its width in staff spaces.

    Halves of what comes from the line before start at `joins_x`. `opening` is the repeat sign after the line's signs (without width where there is none), at `opening_x`;
    `courtesy` are the warning signs after the last barline, at `courtesy_x`. `room` is how wide the line may be: more than
    it is where it is ragged.
    """

    measures: tuple[MeasureFrame, ...]
    width: float
    indent: float
    start: Signs
    opening: BarlineSign
    opening_x: float
    courtesy: Signs
    courtesy_x: float
    force: float
    joins_x: float
    room: float


class LineFramer:
    """Works out line frames for one score."""

    def __init__(self, inks: Sequence[MeasureInk], signs: SignPlanner, dot: float, style: Style) -> None:
        """`dot` is the width of a repeat dot in staff spaces."""
        self._inks = inks
        self._signs = signs
        self._dot = dot
        self._style = style

    def lead(self, index: int, gap: float) -> float:
        """From the sign before measure `index` to its first column, where a plain note keeps the white `gap`."""
        spacing = self._style.spacing
        ink = self._inks[index]
        nearer = spacing.barline_to_note - spacing.barline_to_accidental
        return max(gap + ink.near_left, gap - nearer + ink.left)

    def starting_width(self, index: int) -> float:
        """From the line's left edge to the first column when measure `index` starts the line."""
        signs = self._signs.at_line_start(self._inks[index].measure)
        start = self._inks[index].start
        opening = self._barline(None, index)
        width, gap = signs.width, signs.gap
        if opening.width:
            width += self._style.spacing.to_time + opening.width
            gap = self._style.spacing.barline_to_note
        width += max(self.lead(index, gap), start.joined)
        return max(width, signs.outside + start.outside) if start.outside else width

    def inner_width(self, index: int) -> float:
        """What measure `index` adds besides its slices inside a line: the barline before it, signs, white."""
        signs = self._signs.at_change(self._inks[index].measure, self._inks[index - 1].measure)
        return self._barline(index - 1, index).width + signs.width + self.lead(index, signs.gap)

    def ending_width(self, index: int) -> float:
        """The barline after measure `index` and the warning signs when it ends the line."""
        return self._barline(index, None).width + self._courtesy(index).width

    def frame(self, first: int, stop: int, width: float, indent: float, force: float | None) -> LineFrame:
        """Measures `first` to `stop` - 1 over `width` staff spaces (from the indent on), justified unless a force is given."""
        fixed = self.starting_width(first) + self.ending_width(stop - 1)
        fixed += sum(self.inner_width(i) for i in range(first + 1, stop))
        natural = [n for i in range(first, stop) for n in self._inks[i].natural]
        even = [r for i in range(first, stop) for r in self._inks[i].even_rods]
        rods = [r for i in range(first, stop) for r in self._inks[i].rods]
        spare = width - indent - fixed - sum(rods)
        rods[-1] += max(0.0, min(self._inks[stop - 1].tie_room - rods[-1], spare))
        even[-1] = max(even[-1], rods[-1])
        if force is not None:
            widths = [max(r, n * force) for n, r in zip(natural, even, strict=True)]
            return self._place(first, stop, indent, widths, force, room=width)
        force, widths = decide_even_widths(
            natural, rods, even, target=width - indent - fixed, least_force=self._style.spacing.even_force
        )
        return self._place(first, stop, indent, widths, force, room=width)

    def _place(
        self, first: int, stop: int, indent: float, widths: Sequence[float], force: float, room: float
    ) -> LineFrame:
        start = self._signs.at_line_start(self._inks[first].measure)
        opening = self._barline(None, first)
        opening_x = indent + start.width + self._style.spacing.to_time
        x = indent + start.width
        frames: list[MeasureFrame] = []
        slices = iter(widths)
        nothing = Signs((), (), (), 0.0, 0.0)
        for index in range(first, stop):
            ink = self._inks[index]
            left, signs, signs_x = x, nothing, x
            if index == first:
                x = indent + self.starting_width(first)
                left = opening_x + opening.width if opening.width else left
            else:
                signs = self._signs.at_change(ink.measure, self._inks[index - 1].measure)
                left = x + signs.width
                x = left + self.lead(index, signs.gap)
            xs = []
            for _ in ink.onsets:
                xs.append(x)
                x += next(slices)
            if not ink.onsets:
                x += next(slices)
            barline = self._barline(index, index + 1 if index + 1 < stop else None)
            frames.append(
                MeasureFrame(
                    ink=ink, left=left, right=x, xs=tuple(xs), signs=signs, signs_x=signs_x, barline=barline
                )
            )
            x += barline.width
        courtesy = self._courtesy(stop - 1)
        return LineFrame(
            measures=tuple(frames),
            width=x + courtesy.width,
            indent=indent,
            start=start,
            opening=opening,
            opening_x=opening_x,
            courtesy=courtesy,
            courtesy_x=x,
            force=force,
            joins_x=self._joins_x(frames[0]),
            room=max(room, x + courtesy.width),
        )

    def _joins_x(self, first: MeasureFrame) -> float:
        if not first.xs:
            return first.left
        reach = first.ink.start.joined - self._style.notes.half_tie_gap
        return first.xs[0] - max(self._style.staff.continued_start, reach)

    def _barline(self, end: int | None, start: int | None) -> BarlineSign:
        return decide_barline(
            None if end is None else self._inks[end].measure,
            None if start is None else self._inks[start].measure,
            self._dot,
            self._style.staff,
        )

    def _courtesy(self, index: int) -> Signs:
        following = self._inks[index + 1].measure if index + 1 < len(self._inks) else None
        return self._signs.at_line_end(following, self._inks[index].measure)
