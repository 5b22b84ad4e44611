"""The kinds of mark that a page is made of.

Coordinates: x to the right, y upwards. Inside a `Group` the unit is the group's own (staff spaces for
music); the group's `scale` turns it into points. Every mark carries the role it plays on the page and
the source it came from, so that a page can be asked "all beams" or "what drew this".
"""

from typing import NamedTuple

from engrave.marks.role import Role
from engrave.marks.turn import UPRIGHT


class Box(NamedTuple):
    """A rectangle: left, bottom, right, top, with y upwards."""

    left: float
    bottom: float
    right: float
    top: float

    def union(self, other: "Box") -> "Box":
        """The smallest box that holds both."""
        return Box(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )

    def overlaps(self, other: "Box", tolerance: float = 0.0) -> bool:
        """True when the two share more than `tolerance` of both width and height."""
        return (
            min(self.right, other.right) - max(self.left, other.left) > tolerance
            and min(self.top, other.top) - max(self.bottom, other.bottom) > tolerance
        )

    def shifted(self, dx: float, dy: float) -> "Box":
        """The box moved by (dx, dy)."""
        return Box(self.left + dx, self.bottom + dy, self.right + dx, self.top + dy)


class Source(NamedTuple):
    """What a mark came from: a place in the text and a place in the music. 0 and "" mean none.

    `measure` is the index of the measure from 0 plus 1; `beat` counts the metre's lower number from 1
    and may be a fraction, written like "2" or "5/2".
    """

    line: int = 0
    column: int = 0
    part: str = ""
    measure: int = 0
    beat: str = ""


NO_SOURCE = Source()


class Glyph(NamedTuple):
    """A symbol of the music face, its origin at (x, y); one em is 4 units times `size`."""

    role: Role
    x: float
    y: float
    name: str
    source: Source = NO_SOURCE
    size: float = 1.0
    grey: float = 0.0


class Line(NamedTuple):
    """A straight stroke with flat ends. `dash` is (on, off) or None for a solid line."""

    role: Role
    x1: float
    y1: float
    x2: float
    y2: float
    width: float
    source: Source = NO_SOURCE
    dash: tuple[float, float] | None = None
    grey: float = 0.0


class Curve(NamedTuple):
    """A filled curve between two cubic Bezier curves that share their ends (tie, slur).

    `outer` and `inner` are each four points (start, control, control, end); both run left to right.
    """

    role: Role
    outer: tuple[tuple[float, float], tuple[float, float], tuple[float, float], tuple[float, float]]
    inner: tuple[tuple[float, float], tuple[float, float], tuple[float, float], tuple[float, float]]
    source: Source = NO_SOURCE


class Polygon(NamedTuple):
    """A filled polygon: beams, brackets' corners, thick bars, arrow heads."""

    role: Role
    points: tuple[tuple[float, float], ...]
    source: Source = NO_SOURCE
    grey: float = 0.0


class Text(NamedTuple):
    """A string in a text face, its baseline starting at (x, y); `size` is the font size in the group's unit."""

    role: Role
    x: float
    y: float
    text: str
    face: str
    size: float
    source: Source = NO_SOURCE
    grey: float = 0.0


class Link(NamedTuple):
    """A rectangle that leads somewhere: an address (`https:...`) or a destination name in the document."""

    role: Role
    box: Box
    target: str
    source: Source = NO_SOURCE


class Anchor(NamedTuple):
    """A place that links lead to, without ink."""

    role: Role
    x: float
    y: float
    name: str
    source: Source = NO_SOURCE


class Picture(NamedTuple):
    """A picture (`data` is a PNG or JPEG file) in a rectangle, turned as `turn` says, with the words that stand for it."""

    role: Role
    box: Box
    data: bytes
    alt: str
    source: Source = NO_SOURCE
    turn: int = UPRIGHT


Mark = Glyph | Line | Curve | Polygon | Text | Link | Picture | Anchor


class Group(NamedTuple):
    """Marks that share an origin and a unit: at (x, y) points on the page, `scale` points to the unit."""

    x: float
    y: float
    scale: float
    marks: tuple[Mark, ...]


class Page(NamedTuple):
    """One finished page: its size in points (origin bottom left) and its groups in painting order."""

    width: float
    height: float
    groups: tuple[Group, ...]
    number: int = 1


class PlacedDocument(NamedTuple):
    """All pages of a document and what the file says about itself."""

    pages: tuple[Page, ...]
    title: str = ""
    author: str = ""
    language: str = "en"
