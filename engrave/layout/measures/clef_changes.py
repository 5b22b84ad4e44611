"""Changes of clef: small clefs before the notes that they hold for, or before the barline, and the room they need."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from engrave.fonts.symbols import MusicFace
from engrave.layout.measures.ink import ClefInk, Extent, StaffInk
from engrave.layout.staves import StaffPlan
from engrave.marks.mark import NO_SOURCE, Source
from engrave.score.structure import Measure, Part
from engrave.style.sections import Style
from engrave.theory.clef import Clef

AT_END = -1
"""Stands for a column where a clef stands before the barline that ends its measure (fact: no column has it)."""


class ClefChanger:
    """Places the changes of clef of one score in its measures."""

    def __init__(
        self, parts: Sequence[Part], plans: Sequence[StaffPlan], style: Style, face: MusicFace
    ) -> None:
        """Use the clefs of `plans`."""
        self._parts = parts
        self._plans = plans
        self._style = style
        self._face = face
        self._changing = [plan for plan in plans if not plan.is_tab and plan.clefs.starts]

    def settle(
        self, measure: Measure, staves: Sequence[StaffInk], columns: Mapping[Fraction, int]
    ) -> tuple[ClefInk, ...]:
        """The small clefs in `measure`; the extents of its staves are widened for them.

        A clef that holds from the start of the next measure stands before the barline, so that a reader knows it in
        time (Gould, from memory).
        """
        found = []
        spacing = self._style.spacing
        for plan in self._changing:
            extents, near = staves[plan.index].extents, staves[plan.index].near_lefts
            for change in plan.clefs.inside.get(measure.index, ()):
                column = columns[change.onset]
                extent = extents.get(column, Extent(0.0, 0.0))
                width = self._width(change.clef)
                left = extent.left + spacing.clef_change_to_note + width
                extents[column] = Extent(left, extent.right)
                near[column] = max(near.get(column, 0.0), left)
                source = Source(
                    change.location.line, change.location.column, self._parts[plan.part].id, measure.index + 1
                )
                found.append(self._ink(plan, column, -left, change.clef, source))
            after = plan.clefs.change_before(measure.index + 1)
            if after is not None:
                dx = -spacing.clef_change_to_barline - self._width(after)
                found.append(self._ink(plan, AT_END, dx, after, NO_SOURCE))
        return tuple(found)

    def _ink(self, plan: StaffPlan, column: int, dx: float, clef: Clef, source: Source) -> ClefInk:
        return ClefInk(plan.index, column, dx, clef.reference_position / 2, clef.glyph, source)

    def _width(self, clef: Clef) -> float:
        return self._face.glyph(clef.glyph).box.right * self._style.staff.clef_change_size


def room_at_end(clefs: Sequence[ClefInk], staff: int, least: float) -> float:
    """From the last ink of a staff to the barline where a clef stands between them; 0 without one.

    `least` is the white before the clef.
    """
    return max(
        (least - clef.dx for clef in clefs if clef.staff == staff and clef.column == AT_END), default=0.0
    )
