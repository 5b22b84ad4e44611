"""Glyph outlines as lines and quadratic curves, and the rectangle that their ink covers: the glyf table of a TrueType file."""

from __future__ import annotations

from collections.abc import Iterable
from struct import unpack_from
from typing import NamedTuple

from engrave.fonts.font_file import FontFile


class InkBox(NamedTuple):
    """Left, bottom, right, top of the ink, y upwards. The same four numbers, in the same order, as a mark's box.

    Faces and marks stand on the same floor and do not know each other, so each has its own name for it.
    """

    left: float
    bottom: float
    right: float
    top: float

    def scaled(self, factor: float) -> InkBox:
        """The box with every side multiplied by `factor`."""
        return InkBox(self.left * factor, self.bottom * factor, self.right * factor, self.top * factor)


NO_INK = InkBox(0.0, 0.0, 0.0, 0.0)


def enclosing_box(boxes: Iterable[InkBox]) -> InkBox:
    """The smallest box around all `boxes`; `NO_INK` when there are none."""
    sides = list(zip(*boxes, strict=True))
    if not sides:
        return NO_INK
    lefts, bottoms, rights, tops = sides
    return InkBox(min(lefts), min(bottoms), max(rights), max(tops))


_ON_CURVE = 0x01
_X_SHORT, _Y_SHORT = 0x02, 0x04
_REPEAT = 0x08
_X_SAME, _Y_SAME = 0x10, 0x20

_ARGUMENTS_ARE_WORDS = 0x0001
_ARGUMENTS_ARE_OFFSETS = 0x0002
_HAS_SCALE = 0x0008
_MORE_COMPONENTS = 0x0020
_HAS_TWO_SCALES = 0x0040
_HAS_MATRIX = 0x0080

_FIXED_ONE = 16384  # scales are numbers with 14 binary places


class OutlinePoint(NamedTuple):
    """One point of a contour in font units; off the curve it is a control point."""

    x: float
    y: float
    on_curve: bool


class Segment(NamedTuple):
    """A piece of a contour that ends at (x, y): a line, or a quadratic curve when `control` is given."""

    x: float
    y: float
    control: tuple[float, float] | None = None


class Contour(NamedTuple):
    """A closed contour: where it starts and its segments in order."""

    start: tuple[float, float]
    segments: tuple[Segment, ...]


def read_outline(font: FontFile, glyph: int) -> tuple[Contour, ...]:
    """The contours of the glyph in font units, y upwards; empty when it has no ink. Fill by non-zero winding."""
    return tuple(_build_contour(points) for points in _read_points(font, glyph) if len(points) > 1)


def _read_points(font: FontFile, glyph: int) -> list[list[OutlinePoint]]:
    start, end = font.glyph_span(glyph)
    if start == end:
        return []
    contour_count: int = unpack_from(">h", font.data, start)[0]
    if contour_count < 0:
        return _read_components(font, start + 10)
    return _read_simple(font.data, start + 10, contour_count)


def _read_simple(data: bytes, offset: int, contour_count: int) -> list[list[OutlinePoint]]:
    if contour_count == 0:
        return []
    ends = unpack_from(f">{contour_count}H", data, offset)
    offset += 2 * contour_count
    instruction_length: int = unpack_from(">H", data, offset)[0]
    flags, offset = _read_flags(data, offset + 2 + instruction_length, ends[-1] + 1)
    xs, offset = _read_coordinates(data, offset, flags, _X_SHORT, _X_SAME)
    ys, offset = _read_coordinates(data, offset, flags, _Y_SHORT, _Y_SAME)
    points = [OutlinePoint(x, y, bool(flag & _ON_CURVE)) for x, y, flag in zip(xs, ys, flags, strict=True)]
    starts = (0, *(end + 1 for end in ends[:-1]))
    return [points[first : last + 1] for first, last in zip(starts, ends, strict=True)]


def _read_flags(data: bytes, offset: int, count: int) -> tuple[list[int], int]:
    flags: list[int] = []
    while len(flags) < count:
        flag = data[offset]
        offset += 1
        flags.append(flag)
        if flag & _REPEAT:
            flags.extend([flag] * data[offset])
            offset += 1
    return flags, offset


def _read_coordinates(
    data: bytes, offset: int, flags: list[int], short: int, same: int
) -> tuple[list[int], int]:
    """Coordinates are stored as steps: one byte with its sign in the flag, two bytes, or none for "no step"."""
    coordinates = []
    value = 0
    for flag in flags:
        if flag & short:
            value += data[offset] if flag & same else -data[offset]
            offset += 1
        elif not flag & same:
            value += unpack_from(">h", data, offset)[0]
            offset += 2
        coordinates.append(value)
    return coordinates, offset


def _read_components(font: FontFile, offset: int) -> list[list[OutlinePoint]]:
    """A glyph made of others, each moved and perhaps scaled."""
    contours = []
    flags = _MORE_COMPONENTS
    while flags & _MORE_COMPONENTS:
        flags, glyph = unpack_from(">2H", font.data, offset)
        offset += 4
        words = bool(flags & _ARGUMENTS_ARE_WORDS)
        dx, dy = unpack_from(">2h" if words else ">2b", font.data, offset)
        if not flags & _ARGUMENTS_ARE_OFFSETS:
            dx = dy = 0  # points to be joined by number: no face of ours uses it
        offset += 4 if words else 2
        (xx, xy, yx, yy), offset = _read_matrix(font.data, offset, flags)
        for points in _read_points(font, glyph):
            contours.append(
                [OutlinePoint(xx * x + yx * y + dx, xy * x + yy * y + dy, on) for x, y, on in points]
            )
    return contours


def _read_matrix(data: bytes, offset: int, flags: int) -> tuple[tuple[float, float, float, float], int]:
    if flags & _HAS_SCALE:
        scale = unpack_from(">h", data, offset)[0] / _FIXED_ONE
        return (scale, 0.0, 0.0, scale), offset + 2
    if flags & _HAS_TWO_SCALES:
        x_scale, y_scale = (number / _FIXED_ONE for number in unpack_from(">2h", data, offset))
        return (x_scale, 0.0, 0.0, y_scale), offset + 4
    if flags & _HAS_MATRIX:
        xx, xy, yx, yy = (number / _FIXED_ONE for number in unpack_from(">4h", data, offset))
        return (xx, xy, yx, yy), offset + 8
    return (1.0, 0.0, 0.0, 1.0), offset


def _build_contour(points: list[OutlinePoint]) -> Contour:
    """Fill in the points that the format leaves out: two controls in a row have one on the curve midway."""
    full: list[OutlinePoint] = []
    for index, point in enumerate(points):
        previous = points[index - 1]
        if not point.on_curve and not previous.on_curve:
            full.append(OutlinePoint((previous.x + point.x) / 2, (previous.y + point.y) / 2, True))
        full.append(point)
    first = next(index for index, point in enumerate(full) if point.on_curve)
    full = full[first:] + full[: first + 1]
    segments = []
    control: tuple[float, float] | None = None
    for point in full[1:]:
        if point.on_curve:
            segments.append(Segment(point.x, point.y, control))
            control = None
        else:
            control = (point.x, point.y)
    return Contour((full[0].x, full[0].y), tuple(segments))
