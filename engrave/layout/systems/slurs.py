"""Slurs over the notes of a staff, line by line: each clears all ink between its ends, and the slurs that lie in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.curves import curve_points
from engrave.layout.direction import Direction
from engrave.layout.lines.frames import LineFrame
from engrave.layout.measures.ink import ChordInk, FretInk
from engrave.layout.slur_shape import Obstacle, decide_slur, decide_slur_side
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.placed import PlacedEvent, PlacedVoice
from engrave.marks.bounds import measure_box
from engrave.marks.mark import NO_SOURCE, Curve, Line, Mark, Polygon
from engrave.marks.role import Role
from engrave.score.joins import events_in_order
from engrave.score.slurs import EventAt, Slur, outermost_last
from engrave.score.structure import Voice
from engrave.style.sections import Style

_PIECE = 0.5
"""Slanted ink is taken in pieces so long (algorithm)."""
_HALF_END = 0.25
"""What stands so near the middle of a slur's end lies under it, in staff spaces (algorithm: less than half a head)."""


class _End(NamedTuple):
    """One end of a slur on a line; `event` is None where it comes from another line or goes on to one."""

    x: float
    event: PlacedEvent | None


class SlurPlacer:
    """Places the slurs of one staff through all its lines; it remembers on which side each stands."""

    def __init__(self, style: Style, face: MusicFace, slurs: Sequence[Slur]) -> None:
        """For a part with these `slurs`."""
        self._style = style
        self._faces = InstalledFaces(face)
        self._slurs = outermost_last(slurs)
        self._sides: dict[Slur, Direction] = {}
        self._events: dict[EventAt, PlacedEvent] = {}
        self._voices: dict[tuple[int, int], Direction | None] = {}

    def start_line(self) -> None:
        """Nothing is placed yet on the line at hand."""
        self._events.clear()
        self._voices.clear()

    def note(self, measure: int, number: int, voice: PlacedVoice, written: Voice) -> None:
        """Remember where the events of a voice of a measure stand; `written` are its events in the score."""
        self._voices[measure, number] = voice.side
        orders = iter(enumerate(events_in_order(written)))
        for event in voice.events:
            order = next(order for order, own in orders if own is event.item.event)
            self._events[EventAt(measure, number, order)] = event

    def is_needed(self, frame: LineFrame) -> bool:
        """True when a slur starts, ends or goes on in the line."""
        return next(self._on_line(frame), None) is not None

    def place(self, canvas: StaffCanvas, frame: LineFrame) -> None:
        """Draw the slurs of a line, inner ones first."""
        on_line = list(self._on_line(frame))
        for slur in on_line:
            self._sides.setdefault(slur, self._side(slur, canvas))
        for slur in on_line:
            self._place(canvas, frame, slur, on_line)

    def _on_line(self, frame: LineFrame) -> Iterator[Slur]:
        first, last = frame.measures[0].measure.index, frame.measures[-1].measure.index
        return (slur for slur in self._slurs if slur.start.measure <= last and slur.stop.measure >= first)

    def _side(self, slur: Slur, canvas: StaffCanvas) -> Direction:
        under = [(at, event) for at, event in self._events.items() if _lies_under(at, slur)]
        voices = [self._voices[at.measure, at.voice] for at, _ in under]
        if canvas.plan.is_tab:
            return decide_slur_side(voices, ())
        return decide_slur_side(
            voices, [event.direction for _, event in under if isinstance(event.item, ChordInk)]
        )

    def _place(self, canvas: StaffCanvas, frame: LineFrame, slur: Slur, others: Sequence[Slur]) -> None:
        side, notes = self._sides[slur], self._style.notes
        start, stop = self._ends(frame, slur, others)
        if start is None or stop is None:
            return
        obstacles = list(self._obstacles(canvas, start.x - _HALF_END, stop.x + _HALF_END, side))
        first, last = (self._height(canvas, end, side, obstacles) for end in (start, stop))
        reach = notes.slur_half
        if start.event is None:
            first = self._open_height(last, obstacles, start.x, start.x + reach, side)
        if stop.event is None:
            last = self._open_height(first, obstacles, stop.x - reach, stop.x, side)
        outer, inner = decide_slur((start.x, first), (stop.x, last), side, obstacles, notes)
        shown = start.event or stop.event
        source = shown.item.source if shown is not None else NO_SOURCE
        canvas.marks.append(Curve(Role.SLUR, outer, inner, source))
        for (x1, y1), (x2, y2) in pairwise(curve_points(outer, _PIECE)):
            canvas.ink(x1, x2, min(y1, y2), max(y1, y2))

    def _ends(self, frame: LineFrame, slur: Slur, others: Sequence[Slur]) -> tuple[_End | None, _End | None]:
        """Where it starts and ends on the line; None where the note has no place on this staff."""
        notes = self._style.notes
        side = self._sides[slur]
        first, last = frame.measures[0], frame.measures[-1]
        begins = slur.start.measure >= first.measure.index
        ends = slur.stop.measure <= last.measure.index
        start, stop = self._events.get(slur.start), self._events.get(slur.stop)
        if (begins and start is None) or (ends and stop is None):
            return None, None
        opening = frame.joins_x
        closing = last.right - notes.half_tie_gap
        x1 = _end_x(start, side) if start is not None else opening
        x2 = _end_x(stop, side) if stop is not None else closing
        if any(o.stop == slur.start and self._sides[o] is side for o in others):
            x1 += notes.slur_apart
        if any(o.start == slur.stop and self._sides[o] is side for o in others):
            x2 -= notes.slur_apart
        if start is None:
            x1 = min(x1, x2 - notes.slur_half)
        if stop is None:
            x2 = max(x2, x1 + notes.slur_half)
        return _End(x1, start), _End(x2, stop)

    def _height(
        self, canvas: StaffCanvas, end: _End, side: Direction, obstacles: Sequence[Obstacle]
    ) -> float:
        """The y of an end over its note, and over all that stands there; 0 for an end on another line."""
        if end.event is None:
            return 0.0
        edges = [o.edge for o in obstacles if o.left <= end.x + _HALF_END and o.right >= end.x - _HALF_END]
        if canvas.plan.is_tab:
            edges.append(canvas.plan.height if side is Direction.UP else 0.0)
        else:
            edges.append(end.event.y_high if side is Direction.UP else end.event.y_low)
        edge = max(edges) if side is Direction.UP else min(edges)
        return edge + side * self._style.notes.slur_end_gap

    def _open_height(
        self, other: float, obstacles: Sequence[Obstacle], left: float, right: float, side: Direction
    ) -> float:
        """The y where a slur leaves or enters the line: over its `other` end there, and over all that is near."""
        notes = self._style.notes
        near = [side * o.edge + notes.slur_end_gap for o in obstacles if o.right >= left and o.left <= right]
        return side * max(side * other, *near, side * other) + side * notes.slur_half_rise

    def _obstacles(
        self, canvas: StaffCanvas, left: float, right: float, side: Direction
    ) -> Iterator[Obstacle]:
        """The outer edges of all ink between `left` and `right`."""
        notes = self._style.notes
        for mark in canvas.marks:
            box = measure_box(mark, self._faces)
            if box.right < left or box.left > right:
                continue
            pieces = _slanted(mark, side)
            if pieces is None:
                yield Obstacle(box.left, box.right, box.top if side is Direction.UP else box.bottom)
                continue
            more = notes.slur_over_slur - notes.slur_clearance if mark.role is Role.SLUR else 0.0
            for (x1, y1), (x2, y2) in pairwise(pieces):
                if x2 >= left and x1 <= right:
                    yield Obstacle(x1, x2, side * (max(side * y1, side * y2) + more))


def _lies_under(at: EventAt, slur: Slur) -> bool:
    return at.voice == slur.voice and slur.start <= at <= slur.stop


def _end_x(event: PlacedEvent, side: Direction) -> float:
    """Over the middle of the heads, or at the stem where that points to the slur."""
    if event.has_stem and event.direction is side and not isinstance(event.item, FretInk):
        return event.stem_x
    return (event.left + event.right) / 2


def _slanted(mark: Mark, side: Direction) -> list[tuple[float, float]] | None:
    """Points along the outer edge of ink that may slant; None for what its box describes well enough."""
    if isinstance(mark, Curve):
        return curve_points(
            mark.outer if side * (mark.outer[1][1] - mark.inner[1][1]) > 0 else mark.inner, _PIECE
        )
    if isinstance(mark, Line):
        ends = sorted([(mark.x1, mark.y1), (mark.x2, mark.y2)])
        half = side * mark.width / 2
        if ends[1][0] - ends[0][0] > _PIECE and ends[0][1] != ends[1][1]:
            return _cut((ends[0][0], ends[0][1] + half), (ends[1][0], ends[1][1] + half))
    if isinstance(mark, Polygon) and mark.role is Role.BEAM:
        left, right = min(p[0] for p in mark.points), max(p[0] for p in mark.points)
        outer = [side * max(side * p[1] for p in mark.points if p[0] == x) for x in (left, right)]
        return _cut((left, outer[0]), (right, outer[1]))
    return None


def _cut(start: tuple[float, float], stop: tuple[float, float]) -> list[tuple[float, float]]:
    """Points of a straight line, not further apart than a piece."""
    (x1, y1), (x2, y2) = start, stop
    count = max(1, round((x2 - x1) / _PIECE))
    return [(x1 + (x2 - x1) * i / count, y1 + (y2 - y1) * i / count) for i in range(count + 1)]
