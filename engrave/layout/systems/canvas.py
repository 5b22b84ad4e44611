"""The marks of one staff in one system, with the outline of their ink."""

from __future__ import annotations

from engrave.layout.direction import Direction
from engrave.layout.skyline import Skyline, add_to_both
from engrave.layout.staves import StaffPlan
from engrave.marks.mark import Glyph, Line, Mark, Source, Text
from engrave.marks.role import Role


class StaffCanvas:
    """Collects marks in the staff's own coordinates: staff spaces, y = 0 on its bottom line."""

    __slots__ = ("_kept", "line_gaps", "lower", "marks", "plan", "upper")

    def __init__(self, plan: StaffPlan, width: float) -> None:
        """An empty canvas for the staff `plan`, `width` staff spaces long."""
        self.plan = plan
        self.marks: list[Mark] = []
        self.line_gaps: list[list[tuple[float, float]]] = [[] for _ in range(plan.lines)]
        """Where each line is broken, (left, right), the top line's first."""
        self._kept: list[tuple[Direction, float, float, float]] = []
        self.upper = Skyline(True, plan.height, width)
        self.lower = Skyline(False, 0.0, width)

    def ink(self, left: float, right: float, bottom: float, top: float) -> None:
        """Note that ink stands in this rectangle."""
        add_to_both(self.upper, self.lower, left, right, bottom=bottom, top=top)

    def keep(self, side: Direction, left: float, right: float, y: float) -> None:
        """Keep the room up to `y` between `left` and `right` for the figures of a tuplet: signs of notes stand outside it."""
        self._kept.append((side, left, right, y))

    def outline(self, side: Direction, left: float, right: float) -> float:
        """The outermost y of ink and of kept room on `side`, between `left` and `right`."""
        ink = (self.upper if side is Direction.UP else self.lower).height(left, right)
        kept = (
            side * y for own, start, stop, y in self._kept if own is side and start < right and left < stop
        )
        return side * max([side * ink, *kept]) if self._kept else ink

    def break_lines(self, left: float, right: float, bottom: float, top: float) -> None:
        """Break the lines of the staff behind this rectangle."""
        for number, gaps in enumerate(self.line_gaps):
            if bottom < (self.plan.lines - 1 - number) * self.plan.pitch < top:
                gaps.append((left, right))

    def is_between_digits(self, left: float, right: float, *strings: int) -> bool:
        """True when no digit breaks the lines of `strings` (1 is the top line; there may be none such) from `left` to `right`."""
        rows = (self.line_gaps[string - 1] for string in strings if 0 < string <= self.plan.lines)
        return all(stop <= left or right <= start for row in rows for start, stop in row)

    def glyph(self, role: Role, x: float, y: float, name: str, source: Source) -> None:
        """Add a symbol of the music face at its usual size."""
        self.marks.append(Glyph(role, x, y, name, source))

    def line(
        self, role: Role, x1: float, y1: float, x2: float, y2: float, width: float, source: Source
    ) -> None:
        """Add a solid stroke."""
        self.marks.append(Line(role=role, x1=x1, y1=y1, x2=x2, y2=y2, width=width, source=source))

    def dashed_line(
        self,
        role: Role,
        x1: float,
        x2: float,
        y: float,
        width: float,
        dash: float,
        gap: float,
        source: Source,
    ) -> None:
        """Add a level dashed stroke whose last dash is whole: dashes and gaps give way alike; one dash alone fills it."""
        count = max(1, round((x2 - x1 + gap) / (dash + gap)))
        share = (x2 - x1) / (count * (dash + gap) - gap)
        pattern = (dash * share, gap * share) if count > 1 else None
        self.marks.append(Line(role=role, x1=x1, y1=y, x2=x2, y2=y, width=width, source=source, dash=pattern))

    def text(self, role: Role, x: float, y: float, text: str, face: str, size: float, source: Source) -> None:
        """Add a string, its baseline starting at (x, y)."""
        self.marks.append(Text(role=role, x=x, y=y, text=text, face=face, size=size, source=source))
