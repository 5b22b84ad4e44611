"""A chord grid drawn: strings from top to bottom, frets across, dots where fingers stop, rings and crosses over the nut.

The thickest string stands at the left (at the right for left-handed players, everything mirrored). A grid that does not
start at the nut says so beside its first row, in the words of its language. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, reduce
from typing import NamedTuple

from engrave.fonts.symbols import music_face
from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.round_shapes import round_bar
from engrave.marks.bounds import measure_box
from engrave.marks.mark import NO_SOURCE, Box, Glyph, Line, Mark, Polygon, Source, Text
from engrave.marks.role import Role
from engrave.style.wordbook import fill
from engrave.style.words import GridStyle
from engrave.theory.chord_shape import Barre, ChordShape

_DOT = "fretboardFilledCircle"
_RING = "fretboardO"
_CROSS = "fretboardX"


class GridExtent(NamedTuple):
    """The room that the ink of a grid takes, in staff spaces.

    `left` and `above` say how far it reaches to the left of and above the point that `place_grid` is given.
    """

    width: float
    height: float
    left: float
    above: float


@lru_cache(maxsize=1024)
def measure_grid(
    shape: ChordShape, numbers: GridStyle, left_handed: bool = False, rows: int = 0
) -> GridExtent:
    """The room that `place_grid` would take for the same shape."""
    faces = InstalledFaces()
    marks = place_grid(shape, numbers, 0, 0, NO_SOURCE, left_handed, rows=rows)
    boxes = (measure_box(mark, faces) for mark in marks)
    box = reduce(Box.union, boxes)
    return GridExtent(box.right - box.left, box.top - box.bottom, -box.left, box.top)


def place_grid(
    shape: ChordShape,
    numbers: GridStyle,
    x: float,
    y: float,
    source: Source,
    left_handed: bool = False,
    rows: int = 0,
) -> list[Mark]:
    """The marks of a grid in painting order, with at least so many `rows` of frets.

    (`x`, `y`) is where the middles of its leftmost string and its top line cross: grids at the same `y` have their nuts
    in line, however many rows, marks and digits they have.
    """
    grid = _Grid(shape, numbers, x, y, source, left_handed=left_handed, rows=max(rows, shape.rows))
    return [
        *grid.lines(),
        *grid.top(),
        *grid.barres(),
        *grid.dots(),
        *grid.marks_above(),
        *grid.fingers(),
    ]


class _Grid:
    """One grid at its place. Strings are counted as in the shape, rows from 0 at the top."""

    __slots__ = ("_left", "_left_handed", "_numbers", "_right", "_rows", "_shape", "_source", "_top")

    def __init__(
        self,
        shape: ChordShape,
        numbers: GridStyle,
        x: float,
        y: float,
        source: Source,
        left_handed: bool,
        rows: int,
    ) -> None:
        self._shape = shape
        self._rows = rows
        self._numbers = numbers
        self._left = x
        self._right = x + (shape.strings - 1) * numbers.string_pitch
        self._top = y
        self._source = source
        self._left_handed = left_handed

    def _string_x(self, index: int) -> float:
        column = self._shape.strings - 1 - index if self._left_handed else index
        return self._left + column * self._numbers.string_pitch

    def _row_y(self, fret: int) -> float:
        """The middle of the row of `fret`."""
        return self._top - (fret - self._shape.base_fret + 0.5) * self._numbers.fret_pitch

    @property
    def _bottom(self) -> float:
        return self._top - self._rows * self._numbers.fret_pitch

    @property
    def _starts_at_nut(self) -> bool:
        return self._shape.base_fret == 1

    @property
    def _top_edge(self) -> float:
        """The upper edge of the nut or of the top line."""
        numbers = self._numbers
        return self._top - numbers.line / 2 + (numbers.nut if self._starts_at_nut else numbers.line)

    def lines(self) -> Iterator[Mark]:
        """Strings and frets, with closed corners; the top line is drawn by `top`."""
        numbers, half = self._numbers, self._numbers.line / 2
        for index in range(self._shape.strings):
            at = self._string_x(index)
            yield self._line(Role.GRID_LINE, at, self._top + half, at, self._bottom - half, numbers.line)
        for row in range(1, self._rows + 1):
            yield self._across(Role.GRID_LINE, self._top - row * numbers.fret_pitch, numbers.line)

    def top(self) -> Iterator[Mark]:
        """The nut, its lower edge where a thin line's would be; or a thin line and the first row's fret number."""
        numbers = self._numbers
        if self._starts_at_nut:
            yield self._across(Role.GRID_NUT, self._top_edge - numbers.nut / 2, numbers.nut)
            return
        yield self._across(Role.GRID_LINE, self._top, numbers.line)
        yield self._fret_number()

    def _fret_number(self) -> Text:
        """Clear of a dot on the outer string; its digits are centred on the height of the first row."""
        numbers, base = self._numbers, self._shape.base_fret
        face, size = numbers.fret_number_face, numbers.fret_number_size
        text = fill(numbers.fret_number, str(base))
        ink, digits = text_face(face).ink(text, size), text_face(face).ink(str(base), size)
        away = numbers.string_pitch * max(numbers.dot, numbers.barre) / 2 + numbers.fret_number_gap
        at = self._left - away - ink.right if self._left_handed else self._right + away - ink.left
        baseline = self._row_y(base) - (digits.bottom + digits.top) / 2
        return Text(
            role=Role.GRID_FRET_NUMBER, x=at, y=baseline, text=text, face=face, size=size, source=self._source
        )

    def barres(self) -> Iterator[Mark]:
        """A bar with round ends, centred on the outer strings of each barre."""
        radius = self._numbers.barre * self._numbers.string_pitch / 2
        for barre in self._shape.barres:
            first, last = sorted((self._string_x(barre.lowest), self._string_x(barre.highest)))
            points = round_bar(first, last, self._row_y(barre.fret), radius)
            yield Polygon(Role.GRID_BARRE, points, self._source)

    def dots(self) -> Iterator[Mark]:
        """A dot for each stopped string that no barre shows already."""
        radius = self._numbers.dot * self._numbers.string_pitch / 2
        size = radius / music_face().glyph(_DOT).box.right
        barres = self._shape.barres
        for index, fret in enumerate(self._shape.frets):
            if fret and not any(_shows(barre, index, fret) for barre in barres):
                yield Glyph(Role.GRID_DOT, self._string_x(index), self._row_y(fret), _DOT, self._source, size)

    def marks_above(self) -> Iterator[Mark]:
        """A ring over each open string, a cross over each that is not played."""
        numbers = self._numbers
        for index, fret in enumerate(self._shape.frets):
            if fret:
                continue
            name = _CROSS if fret is None else _RING
            box = music_face().glyph(name).box
            size = numbers.mark_height / (box.top - box.bottom)
            at = self._string_x(index) - size * (box.left + box.right) / 2
            floor = self._top_edge + numbers.mark_gap - size * box.bottom
            yield Glyph(Role.GRID_MARK, at, floor, name, self._source, size)

    def fingers(self) -> Iterator[Mark]:
        """Each finger under its string, all on one baseline."""
        numbers, shape = self._numbers, self._shape
        face, size = text_face(numbers.finger_face), numbers.finger_size
        inks = {finger: face.ink(finger, size) for finger in shape.fingers if finger}
        highest = max((ink.top for ink in inks.values()), default=0.0)
        baseline = self._bottom - numbers.line / 2 - numbers.finger_gap - highest
        for index, finger in enumerate(shape.fingers):
            if finger:
                ink = inks[finger]
                at = self._string_x(index) - (ink.left + ink.right) / 2
                yield Text(
                    role=Role.GRID_FINGER,
                    x=at,
                    y=baseline,
                    text=finger,
                    face=numbers.finger_face,
                    size=size,
                    source=self._source,
                )

    def _across(self, role: Role, y: float, width: float) -> Line:
        """A line over all strings, flush with the outer ones."""
        half = self._numbers.line / 2
        return self._line(role, self._left - half, y, self._right + half, y, width)

    def _line(self, role: Role, x1: float, y1: float, x2: float, y2: float, width: float) -> Line:
        return Line(role=role, x1=x1, y1=y1, x2=x2, y2=y2, width=width, source=self._source)


def _shows(barre: Barre, index: int, fret: int) -> bool:
    return barre.fret == fret and barre.lowest <= index <= barre.highest
