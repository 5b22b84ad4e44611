"""Placed marks as text that a person can read and compare: one line a mark, from left to right, two decimals.

What does not show on the page (places in the source, the order of painting) is left out, so that a dump changes only
when the page does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engrave.marks.mark import (
    Anchor,
    Box,
    Curve,
    Glyph,
    Group,
    Line,
    Link,
    Mark,
    Page,
    Picture,
    PlacedDocument,
    Polygon,
    Text,
)
from engrave.marks.role import Role

_MILLIMETRE = 72 / 25.4
_MOST_CORNERS = 8
"""Polygons of more corners are told by their box alone: no one reads the corners of a round end."""
_Row = tuple[float, float, str, str]
"""x, y, role and the rest of one mark."""


def dump_document(document: PlacedDocument) -> str:
    """All pages of `document`, group by group."""
    lines = []
    for page in document.pages:
        lines.extend(dump_page(page))
    return "\n".join(lines) + "\n"


def dump_page(page: Page) -> Iterator[str]:
    """One page: its size, then each group that has marks, in painting order."""
    yield f"page {page.number}: {number(page.width / _MILLIMETRE)} x {number(page.height / _MILLIMETRE)} mm"
    for group in page.groups:
        if group.marks:
            at = f"at {number(group.x)}, {number(group.y)} pt"
            yield ""
            yield f"  {_kind(group)} {at}, 1 = {number(group.scale)} pt"
            for x, y, role, rest in sorted(_row(mark) for mark in group.marks):
                yield f"    {role:<17}{number(x):>8}{number(y):>8}  {rest}".rstrip()
    yield ""


def number(value: float) -> str:
    """A number with two decimals; noise of the last bits neither turns it nor makes it -0.00."""
    return f"{round(round(value, 6), 2) + 0.0:.2f}"


def _kind(group: Group) -> str:
    """What a group of marks is."""
    roles = {mark.role for mark in group.marks}
    if Role.TAB_LINE in roles:
        return "tab"
    if Role.STAFF_LINE in roles:
        return "staff"
    return "barlines" if Role.BARLINE in roles else "marks"


def _row(mark: Mark) -> _Row:
    """A mark as a row that sorts from left to right, and from the top down at one x."""
    x, y, rest = _describe(mark)
    return round(x, 6), round(y, 6), mark.role.value, rest


def _describe(mark: Mark) -> tuple[float, float, str]:
    """Where a mark starts, and what else there is to say of it."""
    if isinstance(mark, Glyph):
        return mark.x, mark.y, mark.name + (f", size {number(mark.size)}" if mark.size != 1.0 else "")
    if isinstance(mark, Text):
        return mark.x, mark.y, f'"{_readable(mark.text)}" {mark.face} {number(mark.size)}{_grey(mark.grey)}'
    if isinstance(mark, Line):
        dash = f", dash {number(mark.dash[0])} gap {number(mark.dash[1])}" if mark.dash else ""
        return (
            mark.x1,
            mark.y1,
            f"to {_point((mark.x2, mark.y2))}, width {number(mark.width)}{dash}{_grey(mark.grey)}",
        )
    if isinstance(mark, Curve):
        return _describe_curve(mark)
    if isinstance(mark, Polygon):
        return _describe_polygon(mark)
    if isinstance(mark, Anchor):
        return mark.x, mark.y, f"place {mark.name}"
    if isinstance(mark, Link):
        return mark.box.left, mark.box.bottom, f"to {_corner(mark.box)}, leads to {mark.target}"
    assert isinstance(mark, Picture)
    return mark.box.left, mark.box.bottom, f'to {_corner(mark.box)}, {len(mark.data)} bytes, "{mark.alt}"'


def _readable(text: str) -> str:
    """Text with the music face's own characters by their code points."""
    return "".join(f"<{ord(c):X}>" if 0xE000 <= ord(c) < 0xF900 else c for c in text)


def _describe_curve(curve: Curve) -> tuple[float, float, str]:
    """The ends between outer and inner curve, the height of both over the middle of the ends, where they bend, the thickness of the ends."""
    (x1, y1), (x2, y2) = (_middle(curve.outer[end], curve.inner[end]) for end in (0, 3))
    base = (y1 + y2) / 2
    outer, inner = (_apex(side) - base for side in (curve.outer, curve.inner))
    bends = " ".join(number(curve.outer[point][0]) for point in (1, 2))
    thick = abs(curve.outer[0][1] - curve.inner[0][1]) + abs(curve.outer[0][0] - curve.inner[0][0])
    return (
        x1,
        y1,
        f"to {_point((x2, y2))}, heights {number(outer)} {number(inner)}, bends {bends}, ends {number(thick)}",
    )


def _apex(side: Sequence[tuple[float, float]]) -> float:
    """The height of a cubic in its middle."""
    return (side[0][1] + 3 * side[1][1] + 3 * side[2][1] + side[3][1]) / 8


def _describe_polygon(polygon: Polygon) -> tuple[float, float, str]:
    points, grey = polygon.points, _grey(polygon.grey)
    if len(points) > _MOST_CORNERS:
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return min(xs), min(ys), f"to {_point((max(xs), max(ys)))}, {len(points)} corners{grey}"
    first, *others = points
    return first[0], first[1], "corners " + " | ".join(_point(point) for point in others) + grey


def _grey(grey: float) -> str:
    return f", grey {number(grey)}" if grey else ""


def _point(point: tuple[float, float]) -> str:
    return f"{number(point[0])} {number(point[1])}"


def _corner(box: Box) -> str:
    return _point((box.right, box.top))


def _middle(one: tuple[float, float], other: tuple[float, float]) -> tuple[float, float]:
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2
