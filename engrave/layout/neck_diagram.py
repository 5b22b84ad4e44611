"""A neck diagram drawn: strings and frets, dots in the wood, the dots of the notes with their letters, a path.

Upright, the nut is at the top and the thickest string at the left, as in a chord grid; lying, the nut is at the left and the
thinnest string at the top, as in a tab. For left-handed players both are mirrored from left to right. Roots are black squares,
other notes discs, rings where letters stand in them, so that one tells them apart without colour. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, reduce
from math import ceil, hypot
from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.round_shapes import half_discs, ring, round_bar
from engrave.marks.bounds import measure_box
from engrave.marks.mark import NO_SOURCE, Box, Line, Mark, Polygon, Source, Text
from engrave.marks.role import Role
from engrave.style.necks import NeckStyle
from engrave.theory.neck_diagram import Direction, Labels, NeckDiagram, NeckDot
from engrave.theory.pitch import step_letter

_WHITE = 1.0
"""The grey of paper (fact)."""
_DIGIT = "0"
"""Stands for the height of digits and capitals (algorithm)."""
_BESIDE = 0.25
"""Two arrows between the same dots keep so much of a dot's diameter from the middle (algorithm)."""


class NeckLook(NamedTuple):
    """How one diagram is drawn. `says_h`: a B that is not flat is called H. `fret_pitch` is in staff spaces."""

    numbers: NeckStyle
    fret_pitch: float
    is_lying: bool
    left_handed: bool = False
    says_h: bool = False


class NeckExtent(NamedTuple):
    """The room that the ink takes, in staff spaces; `left` and `above` are its reach from the point given to `place_neck`."""

    width: float
    height: float
    left: float
    above: float


def decide_lying(diagram: NeckDiagram, numbers: NeckStyle) -> bool:
    """True where the neck lies: as its author says, else where it has more frets than stand well upright."""
    if diagram.direction is not None:
        return diagram.direction is Direction.LYING
    return diagram.rows > numbers.upright_most


def decide_fret_pitch(rows: int, length: float, room: float, numbers: NeckStyle) -> float:
    """From fret to fret: as usual, or nearer where `length`, that of a neck of `rows` frets, is more than `room`.

    Never nearer than the style allows: raises ValueError, which says how much room it needs then. House rule.
    """
    over = max(0.0, length - room)
    pitch = numbers.fret_pitch - over / rows
    if pitch < numbers.fret_pitch_least:
        raise ValueError(f"{length - rows * (numbers.fret_pitch - numbers.fret_pitch_least):g}")
    return pitch


@lru_cache(maxsize=256)
def measure_neck(diagram: NeckDiagram, look: NeckLook) -> NeckExtent:
    """The room that `place_neck` would take for the same diagram."""
    faces = InstalledFaces()
    boxes = (measure_box(mark, faces) for mark in place_neck(diagram, look, 0.0, 0.0))
    box = reduce(Box.union, boxes)
    return NeckExtent(box.right - box.left, box.top - box.bottom, -box.left, box.top)


def place_neck(
    diagram: NeckDiagram, look: NeckLook, x: float, y: float, source: Source = NO_SOURCE
) -> list[Mark]:
    """The marks of a diagram in painting order. (`x`, `y`) is the top left corner of its strings and frets."""
    neck = _Neck(diagram, look, x, y, source)
    return [
        *neck.inlays(),
        *neck.wires(),
        *neck.strings(),
        *neck.arrows(),
        *neck.dots(),
        *neck.fret_numbers(),
    ]


class _Neck:
    """One diagram at its place. `along` counts from the first wire towards the bridge, `column` from the thickest string."""

    __slots__ = ("_diagram", "_look", "_numbers", "_source", "_x", "_y")

    def __init__(self, diagram: NeckDiagram, look: NeckLook, x: float, y: float, source: Source) -> None:
        self._diagram, self._look, self._numbers = diagram, look, look.numbers
        self._x, self._y, self._source = x, y, source

    def _at(self, column: float, along: float) -> tuple[float, float]:
        """A point of the neck on the page."""
        last = self._diagram.strings - 1
        across = self._numbers.string_pitch
        if self._look.is_lying:
            length = self._diagram.rows * self._look.fret_pitch
            forth = length - along if self._look.left_handed else along
            return self._x + forth, self._y - (last - column) * across
        sideways = last - column if self._look.left_handed else column
        return self._x + sideways * across, self._y - along

    def _column(self, string: int) -> int:
        return self._diagram.thickest - string

    def _middle(self, row: int) -> float:
        """The middle between the wires of a fret, along the neck."""
        return (row - self._diagram.first + 0.5) * self._look.fret_pitch

    def _wire(self, row: int) -> float:
        """The wire of a fret; that of the fret before the first one is where the diagram starts."""
        return (row - self._diagram.first + 1) * self._look.fret_pitch

    def _start(self, string: int) -> int:
        return self._diagram.starts[string - self._diagram.thinnest]

    def _stroke(self, role: Role, ends: tuple[float, float, float, float], width: float) -> Line:
        """A line from (column, along) to (column, along)."""
        (x1, y1), (x2, y2) = self._at(*ends[:2]), self._at(*ends[2:])
        return Line(role=role, x1=x1, y1=y1, x2=x2, y2=y2, width=width, source=self._source)

    def inlays(self) -> Iterator[Mark]:
        """Grey dots in the wood, where no note hides them: one in the middle, or two apart.

        A string that runs over one parts it.
        """
        numbers, width = self._numbers, self._diagram.strings - 1
        notes = [self._centre(dot) for dot in self._diagram.dots]
        clear = (numbers.dot + numbers.inlay) / 2
        inner = ceil(width / 4) - 0.5  # between two strings
        for row in range(self._diagram.first, self._diagram.last + 1):
            columns: list[float] = [width / 2] if row in numbers.inlays else []
            if row in numbers.double_inlays and width:
                columns = list(dict.fromkeys((inner, width - inner)))
            for column in columns:
                x, y = self._at(column, self._middle(row))
                if any(hypot(x - note[0], y - note[1]) < clear for note in notes):
                    continue
                gap = abs(column - round(column)) * numbers.string_pitch
                outlines = (
                    half_discs(x, y, numbers.inlay / 2, numbers.line, not self._look.is_lying)
                    if gap == 0
                    else (round_bar(x, x, y, numbers.inlay / 2),)
                )
                for outline in outlines:
                    yield Polygon(Role.NECK_INLAY, outline, self._source, numbers.inlay_grey)

    def wires(self) -> Iterator[Mark]:
        """Frets over the strings that reach them, with closed corners; the nut is thick, away from the first fret."""
        numbers, diagram = self._numbers, self._diagram
        half = numbers.line / 2 / numbers.string_pitch
        for row in range(diagram.first - 1, diagram.last + 1):
            reached = [
                self._column(string)
                for string in range(diagram.thinnest, diagram.thickest + 1)
                if self._start(string) <= row
            ]
            if not reached:
                continue
            low, high = min(reached) - half, max(reached) + half
            if row == 0:
                at = (numbers.line - numbers.nut) / 2
                yield self._stroke(Role.NECK_NUT, (low, at, high, at), numbers.nut)
            else:
                at = self._wire(row)
                yield self._stroke(Role.NECK_LINE, (low, at, high, at), numbers.line)

    def strings(self) -> Iterator[Mark]:
        """Each string from where it starts to the last wire, broken where a ring stands on it."""
        diagram, half = self._diagram, self._numbers.dot / 2
        for string in range(diagram.thinnest, diagram.thickest + 1):
            start = max(diagram.first - 1, self._start(string))
            if start >= diagram.last:
                continue
            column, pen = self._column(string), self._wire(start)
            for dot in sorted(self._rings(string), key=lambda dot: dot.row):
                beyond = self._beyond(dot) if self._look.is_lying else 0.0
                middle = self._middle(dot.row)
                yield self._stroke(
                    Role.NECK_LINE, (column, pen, column, middle - half - beyond), self._numbers.line
                )
                pen = middle + half + beyond
            yield self._stroke(
                Role.NECK_LINE, (column, pen, column, self._wire(diagram.last)), self._numbers.line
            )

    def _rings(self, string: int) -> list[NeckDot]:
        """The dots on a string that are drawn as rings over it."""
        if not self._has_letters:
            return []
        return [dot for dot in self._on(string) if dot.row and not dot.is_root]

    def _on(self, string: int) -> list[NeckDot]:
        return [dot for dot in self._diagram.dots if dot.string == string]

    @property
    def _has_letters(self) -> bool:
        return self._diagram.labels is not Labels.NONE or any(dot.numbers for dot in self._diagram.dots)

    def _beyond(self, dot: NeckDot) -> float:
        """How much wider than usual a dot is on each side, for its letters."""
        _, width = self._label(dot, 0.0, 0.0)
        return max(0.0, width + 2 * self._numbers.label_pad - self._numbers.dot) / 2

    def _centre(self, dot: NeckDot) -> tuple[float, float]:
        if dot.row:
            return self._at(self._column(dot.string), self._middle(dot.row))
        numbers = self._numbers
        start = self._wire(max(self._start(dot.string), self._diagram.first - 1))
        return self._at(self._column(dot.string), start - numbers.nut - numbers.open_gap - numbers.dot / 2)

    def _text(self, dot: NeckDot) -> str:
        """What stands in a dot."""
        if dot.numbers:
            return ",".join(map(str, dot.numbers))
        if self._diagram.labels is Labels.FINGERS:
            return dot.finger
        if self._diagram.labels is Labels.DEGREES:
            return dot.tone.degree
        if self._diagram.labels is Labels.NOTES:
            step, alter = dot.tone.step, dot.tone.alter
            return step_letter(step, alter, self._look.says_h) + dot.tone.letter[1:]
        return ""

    def dots(self) -> Iterator[Mark]:
        """The notes, each with its letters in it."""
        numbers = self._numbers
        for dot in self._diagram.dots:
            x, y = self._centre(dot)
            beyond = self._beyond(dot)
            left, right, radius = x - beyond, x + beyond, numbers.dot / 2
            if dot.is_root:
                yield Polygon(Role.NECK_ROOT, _square(x, y, numbers.root / 2, beyond), self._source)
            elif self._has_letters:
                outline = ring(left, right, y, radius, numbers.dot_line)
                yield Polygon(Role.NECK_DOT, outline, self._source)
            else:
                yield Polygon(Role.NECK_DOT, round_bar(left, right, y, radius), self._source)
            label, _ = self._label(dot, x, y)
            yield from label

    def _label(self, dot: NeckDot, x: float, y: float) -> tuple[list[Text], float]:
        """The letters of a dot in its middle, smaller where they are too wide for it, and their width."""
        numbers, text = self._numbers, self._text(dot)
        if not text:
            return [], 0.0
        face = text_face(numbers.label_face)
        room = numbers.dot - 2 * numbers.label_pad
        wide = face.ink(text, numbers.label_size)
        share = min(1.0, room / (wide.right - wide.left))
        size = max(numbers.label_least, numbers.label_size * share)
        ink = face.ink(text, size)
        letters = Text(
            role=Role.NECK_LABEL,
            x=x - (ink.left + ink.right) / 2,
            y=y - face.ink(_DIGIT, size).top / 2,
            text=text,
            face=numbers.label_face,
            size=size,
            source=self._source,
            grey=_WHITE if dot.is_root else 0.0,
        )
        return [letters], ink.right - ink.left

    def arrows(self) -> Iterator[Mark]:
        """The path from dot to dot; where it goes there and back, two arrows side by side."""
        numbers, dots = self._numbers, self._diagram.dots
        for start, stop in self._diagram.arrows:
            (x1, y1), (x2, y2) = self._centre(dots[start]), self._centre(dots[stop])
            length = hypot(x2 - x1, y2 - y1)
            dx, dy = (x2 - x1) / length, (y2 - y1) / length
            if (stop, start) in self._diagram.arrows:
                aside = _BESIDE * numbers.dot
                x1, y1, x2, y2 = x1 + dy * aside, y1 - dx * aside, x2 + dy * aside, y2 - dx * aside
            reach = numbers.dot / 2 + numbers.arrow_gap
            head = min(numbers.arrow_head, length - 2 * reach)
            tip = x2 - dx * reach, y2 - dy * reach
            foot = tip[0] - dx * head, tip[1] - dy * head
            half = head / 2
            yield Line(
                role=Role.NECK_ARROW,
                x1=x1 + dx * reach,
                y1=y1 + dy * reach,
                x2=foot[0],
                y2=foot[1],
                width=numbers.arrow_line,
                source=self._source,
            )
            corners = (
                tip,
                (foot[0] - dy * half, foot[1] + dx * half),
                (foot[0] + dy * half, foot[1] - dx * half),
            )
            yield Polygon(Role.NECK_ARROW, corners, self._source)

    def fret_numbers(self) -> Iterator[Mark]:
        """The numbers of the first fret, unless the nut tells it, and of those with dots in the wood: beside or under the neck."""
        numbers, diagram = self._numbers, self._diagram
        face, size = text_face(numbers.number_face), numbers.number_size
        outer = diagram.thickest if self._look.is_lying else diagram.thinnest
        beyond = 0.0 if self._look.is_lying else max(map(self._beyond, self._on(outer)), default=0.0)
        away = max(numbers.dot, numbers.root) / 2 + beyond + numbers.number_gap
        told = {*numbers.inlays, *numbers.double_inlays} | ({diagram.first} if diagram.first > 1 else set())
        for row in sorted(told & set(range(diagram.first, diagram.last + 1))):
            text = str(row)
            ink = face.ink(text, size)
            if self._look.is_lying:
                x, y = self._at(0, self._middle(row))
                x, y = x - (ink.left + ink.right) / 2, y - away - ink.top
            else:
                x, y = self._at(diagram.strings - 1, self._middle(row))
                x += -away - ink.right if self._look.left_handed else away - ink.left
                y -= ink.top / 2
            yield Text(
                role=Role.NECK_FRET_NUMBER,
                x=x,
                y=y,
                text=text,
                face=numbers.number_face,
                size=size,
                source=self._source,
            )


def _square(x: float, y: float, half: float, beyond: float) -> tuple[tuple[float, float], ...]:
    """The corners of a square around (x, y), wider by `beyond` on each side."""
    left, right = x - half - beyond, x + half + beyond
    return (left, y - half), (right, y - half), (right, y + half), (left, y + half)
