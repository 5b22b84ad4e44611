"""A score as boxes in a column: its systems one by one."""

from __future__ import annotations

from engrave.fonts.symbols import MusicFace
from engrave.layout.document import build_systems, measure_sheet
from engrave.layout.flow.boxes import FlowBox
from engrave.layout.staves import plan_staves
from engrave.layout.systems.system import System
from engrave.marks.mark import Group
from engrave.score.lead_sheet import seen_in
from engrave.score.structure import Score, View
from engrave.style.sections import Style


def set_music(score: Score, view: View | None, width: float, style: Style, face: MusicFace) -> list[FlowBox]:
    """The systems of `score` in a column of `width` points, each a box."""
    score = seen_in(score, view)
    plans = plan_staves(score, view, style.staff)
    sheet = measure_sheet(plans, style, width)
    systems, _ = build_systems(score, plans, style, face, sheet)
    shift = sheet.bracket_room * sheet.space
    return [set_system(system, sheet.space, shift, style) for system in systems]


def set_system(system: System, space: float, shift: float, style: Style) -> FlowBox:
    """One system as a box; `space` is a staff space in points."""
    groups = tuple(
        Group(shift + layer.x * space, layer.y * space, space * layer.scale, layer.marks)
        for layer in system.layers
    )
    least, gap = system.gaps(style.breaking)
    measures = tuple((shift + left * space, shift + right * space) for left, right in system.measures)
    return FlowBox(
        system.height * space, groups, gap * space, least * space, system.keeps_next, measures=measures
    )
