"""Which measures share a line: the cheapest way of breaking the whole piece."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

from engrave.breaking import break_optimally
from engrave.layout.lines.frames import LineFrame, LineFramer
from engrave.layout.measures.ink import MeasureInk
from engrave.score.structure import Barline, Measure, NewLine
from engrave.style.sections import BreakingStyle

_FORCES = tuple(0.5 * 1.12**step for step in range(26))
"""Forces from 0.5 to 8.5, each 12 % above the one before: the width is straight between them, nearly (algorithm)."""


class ForceTable:
    """Widths of runs of measures by force. The force between two entries is found on the straight line."""

    def __init__(self, inks: Sequence[MeasureInk]) -> None:
        """Add up `inks` (each slice is max(rod, force x natural) wide)."""
        self._sums = [
            list(accumulate((_width(ink, force) for ink in inks), initial=0.0)) for force in _FORCES
        ]
        self._inks = inks
        self._ideal = list(accumulate((ink.rest for ink in inks), initial=0.0))

    @property
    def ideal_width(self) -> float:
        """Width of all measures at force 1."""
        return self._ideal[-1]

    def width(self, first: int, stop: int, step: int) -> float:
        """Width of the slices of measures `first` to `stop` - 1 at the force of number `step`."""
        row = self._sums[step]
        return row[stop] - row[first]

    def width_at(self, first: int, stop: int, force: float) -> float:
        """Width of the slices of measures `first` to `stop` - 1 at `force` of at least 1, to the point."""
        return sum(_even_width(ink, force) for ink in self._inks[first:stop])

    def looseness(self, first: int, stop: int, target: float) -> float:
        """`target` as a multiple of the width of measures `first` to `stop` - 1 at force 1."""
        return target / (self._ideal[stop] - self._ideal[first])

    def force(self, first: int, stop: int, target: float) -> float:
        """The force at which the slices of measures `first` to `stop` - 1 fill `target`; 0 when they cannot shrink so far."""
        low, high = 0, len(_FORCES) - 1
        if self.width(first, stop, low) > target:
            return 0.0
        if self.width(first, stop, high) <= target:
            return _FORCES[high]
        while high - low > 1:
            middle = (low + high) // 2
            if self.width(first, stop, middle) <= target:
                low = middle
            else:
                high = middle
        narrow, wide = self.width(first, stop, low), self.width(first, stop, high)
        share = (target - narrow) / (wide - narrow) if wide > narrow else 0.0
        return _FORCES[low] + share * (_FORCES[high] - _FORCES[low])


def _width(ink: MeasureInk, force: float) -> float:
    return sum([rod if rod > n * force else n * force for n, rod in zip(ink.natural, ink.rods, strict=True)])


def _even_width(ink: MeasureInk, force: float) -> float:
    """The width where the line has room."""
    return sum([max(rod, n * force) for n, rod in zip(ink.natural, ink.even_rods, strict=True)])


def _greys(inks: Sequence[MeasureInk], share: float) -> Iterator[float]:
    """What each measure adds to the grey: its width at rest counts for `share`, that of its values alone, on the same scale, for the others."""
    values = [sum(ink.natural) for ink in inks]
    scale = sum(ink.rest for ink in inks) / (sum(values) or 1.0)
    return (share * ink.rest + (1 - share) * scale * own for ink, own in zip(inks, values, strict=True))


_MOST_MEASURES = 24
"""No line holds more measures: it keeps the search linear (safety limit)."""
_FEW_LINES = 12
"""A piece that fills no more lines is searched for several densities (algorithm)."""
_DENSITY_STEP = 0.06
"""How far they lie apart: a line more or less among six makes three times as much (algorithm)."""
_HOPELESS = 1e7
"""Cost of a single measure that is too wide for its line, or of a break in a group under one sign: a last resort (algorithm)."""


class _Line(NamedTuple):
    """What a line costs but for its density, and that density."""

    cost: float
    density: float


class LineBreaker:
    """Breaks the measures of one score into lines."""

    def __init__(
        self,
        inks: Sequence[MeasureInk],
        framer: LineFramer,
        width: float,
        indent: float,
        style: BreakingStyle,
    ) -> None:
        """`width` of a line and `indent` of the first in staff spaces."""
        self._inks = inks
        self._width = width
        self._indent = indent
        self._style = style
        self._table = ForceTable(inks)
        self._together = {
            index for index, ink in enumerate(inks) if any(content.repeat_index for content in ink.parts)
        }
        self._density = 1.0
        self._known: dict[tuple[int, int], _Line | float | None] = {}
        self._grey = list(accumulate(_greys(inks, style.ink_share), initial=0.0))
        count = len(inks)
        self._starting = [framer.starting_width(i) for i in range(count)]
        self._ending = [framer.ending_width(i) for i in range(count)]
        self._inner = list(accumulate((framer.inner_width(i) for i in range(1, count)), initial=0.0))

    @property
    def total_width(self) -> float:
        """The width at rest of all measures together, without barlines and signs."""
        return self._table.ideal_width

    def decide_lines(self, least: float, most: float) -> list[tuple[int, int]]:
        """The most even lines as (first measure, stop), in order, of a density between `least` and `most` on the whole.

        One search finds the most even lines of the number that suits its density best (see `cost`). A piece of few lines
        is therefore searched for several densities, and the results are compared by how far their lines are from their
        own mean: whether four lines or five are more even hangs on the piece.
        """
        middle = (least + most) / 2
        if self.total_width > _FEW_LINES * self._width:
            return self.break_lines(middle)
        steps = max(2, round((most - least) / _DENSITY_STEP) + 1)
        tried = [least + (most - least) * step / (steps - 1) for step in range(steps)]
        ways = [self.break_lines(density) for density in tried]
        return min(ways, key=lambda lines: self._unevenness(lines, least, most))

    def decide_line_count(self, count: int, least: float) -> list[tuple[int, int]]:
        """The most even lines, as many as `count`, of a density of `least` on the whole or more; none where there is no such way.

        Long pieces are left alone.
        """
        if self.total_width > _FEW_LINES * self._width:
            return []
        density = (self._grey[-1] - self._grey[0]) / (count * self._width)
        for tried in (density + _DENSITY_STEP, density + _DENSITY_STEP / 2, density):
            lines = self.break_lines(tried) if tried >= least else []
            if len(lines) == count:
                return lines
        return []

    def _unevenness(self, lines: Sequence[tuple[int, int]], least: float, most: float) -> float:
        """The cost of `lines`, each measured by their own mean density, and of how far that is from where it may lie."""
        densities = [self.density(*line) for line in lines]
        mean = sum(densities) / len(densities)
        beyond = max(0.0, least - mean, mean - most)
        self._density = mean
        return sum(
            [self.cost(*line) or 0.0 for line in lines]
        ) + self._style.beyond_weight * beyond * beyond * len(lines)

    def break_lines(self, density: float) -> list[tuple[int, int]]:
        """The lines as (first measure, stop), in order, of least cost in all; each is as full as `density` says, if that can be."""
        self._density = density
        forced = frozenset(i for i, ink in enumerate(self._inks) if i and ink.measure.new is not NewLine.NONE)
        breaks, _ = break_optimally(len(self._inks), self.cost, forced, _MOST_MEASURES)
        return list(zip([0, *breaks[:-1]], breaks, strict=True))

    def force(self, first: int, stop: int) -> float:
        """The force that would justify measures `first` to `stop` - 1; 0 when they do not fit."""
        return self._table.force(first, stop, self._room(first, stop))

    def looseness(self, first: int, stop: int) -> float:
        """How many times as wide as at rest measures `first` to `stop` - 1 stand when justified.

        The force says the same where the notes alone decide. Where most slices are held open by syllables or chord
        names, little room takes a great force, and only the widths tell how loose the line looks.
        """
        return self._table.looseness(first, stop, self._room(first, stop))

    def density(self, first: int, stop: int) -> float:
        """How grey a line of measures `first` to `stop` - 1 is: what its notes ask for over what they get.

        They ask for room by their values and by the ink and the words that hold them open; the eye sees both.
        """
        return (self._grey[stop] - self._grey[first]) / self._room(first, stop)

    def _room(self, first: int, stop: int) -> float:
        """What the signs at both ends and at inner barlines leave of the line."""
        fixed = self._starting[first] + self._ending[stop - 1] + self._inner[stop - 1] - self._inner[first]
        return self._width - fixed - (self._indent if first == 0 else 0.0)

    def is_ragged(self, first: int, stop: int) -> bool:
        """True when measures `first` to `stop` - 1, being the last line, are better left at their natural width."""
        return stop == len(self._inks) and self.looseness(first, stop) > 1 / self._style.last_line_fill

    def ragged_force(self, first: int, stop: int, before: float) -> float | None:
        """The force of a ragged last line after a line of force `before`; None where it had better be justified.

        Equal notes look equal in both lines, but no line is tighter than at rest, and none ends just short of the others.
        """
        force = max(1.0, before)
        share = self._table.width_at(first, stop, force) / self._room(first, stop)
        return None if share > self._style.full_line else force

    def cost(self, first: int, stop: int) -> float | None:
        """The cost of a line of measures `first` to `stop` - 1; None when they are too wide."""
        key = (first, stop)
        if key not in self._known:
            self._known[key] = self._weigh(first, stop)
        line = self._known[key]
        if not isinstance(line, _Line):
            return line
        uneven = line.density - self._density
        return max(0.0, line.cost + self._style.uneven_weight * uneven * uneven) + 1.0

    def _weigh(self, first: int, stop: int) -> _Line | float | None:
        """What a line of measures `first` to `stop` - 1 costs whatever density is wanted; a bare cost where no density is asked for."""
        style = self._style
        force = self.force(first, stop)
        alone = stop - first == 1
        if force < style.least_force:
            return _HOPELESS if alone else None
        if stop in self._together:
            return _HOPELESS
        is_last = stop == len(self._inks)
        cost = 0.0
        crowding = 1 / self.looseness(first, stop) - 1
        if crowding > 0:
            cost += style.crowding_weight * style.uneven_weight * crowding**2
        if is_last and alone and first > 0:
            cost += style.lone_measure_penalty
        if not is_last and _is_seam(self._inks[stop - 1].measure, self._inks[stop].measure):
            cost -= style.phrase_bonus
        if not is_last and self._inks[stop - 1].measure.pickup:
            cost += style.parted_pickup_penalty
        return _Line(cost, self.density(first, stop))


def frame_lines(
    lines: Sequence[tuple[int, int]], breaker: LineBreaker, framer: LineFramer, width: float, indent: float
) -> list[LineFrame]:
    """The frames of `lines`, `width` staff spaces wide, the first one from `indent` on; a ragged last one as loose as the one before."""
    frames: list[LineFrame] = []
    for first, stop in lines:
        force = None
        if breaker.is_ragged(first, stop):
            force = breaker.ragged_force(first, stop, frames[-1].force if frames else 1.0)
        frames.append(framer.frame(first, stop, width, 0.0 if first else indent, force))
    return frames


def _is_seam(last: Measure, following: Measure) -> bool:
    """True where a section ends: a repeat, a double barline, or a label after it."""
    return bool(
        following.label
        or following.repeat.start
        or last.repeat.end_times is not None
        or last.barline in (Barline.DOUBLE, Barline.FINAL)
    )
