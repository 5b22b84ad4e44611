"""Strokes of a tremolo: through the stem, or over a note without one."""

from __future__ import annotations

from collections.abc import Collection

from engrave.fonts.symbols import MusicFace
from engrave.layout.direction import Direction
from engrave.layout.measures.ink import ChordInk
from engrave.layout.measures.tremolo import find_tremolo, measure_strokes, stem_leaves
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.mark_lanes import MarkLanes
from engrave.layout.systems.placed import PlacedEvent
from engrave.marks.mark import Glyph
from engrave.marks.role import Role
from engrave.style.sections import Style


class TremoloPlacer:
    """Places tremolo strokes for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face

    def add(self, canvas: StaffCanvas, event: PlacedEvent, wanted: Collection[str], lanes: MarkLanes) -> None:
        """Draw the strokes of an event of whose signs, `wanted`, one asks for them; without a stem they wait in `lanes`."""
        tremolo = find_tremolo(event.item.event, wanted)
        if tremolo is None or not canvas.plan.shows(self._style.signs[tremolo.sign]):
            return
        ink = measure_strokes(tremolo, self._style, self._face)
        if ink is None:
            return
        box, half = ink.box, ink.height / 2

        def draw(x: float, y: float) -> None:
            canvas.marks.append(Glyph(Role.TREMOLO, x, y, ink.glyph, event.item.source, ink.size))
            canvas.ink(x + box.left, x + box.right, y - half, y + half)

        if event.has_stem and (not canvas.plan.is_tab or canvas.plan.has_rhythm):
            draw(event.stem_x, self._stem_height(canvas, event, half))
            return
        x = (event.left + event.right) / 2

        def place() -> None:
            above = max(canvas.upper.height(x + box.left, x + box.right), event.y_high)
            draw(x, above + self._style.stacking.articulation_gap + half)

        lanes.add(self._style.signs[tremolo.sign].order, place)

    def _stem_height(self, canvas: StaffCanvas, event: PlacedEvent, half: float) -> float:
        """The middle of the strokes: the middle of the free stem, clear of the head or tab first, then of beam or flag."""
        clearance = self._style.stacking.tremolo_clearance
        value = event.item.event.value
        beams = value.flags * (self._style.beams.thickness + self._style.beams.gap)
        way = Direction.UP if event.tip > (event.y_low + event.y_high) / 2 else Direction.DOWN
        near = event.y_high if way is Direction.UP else event.y_low
        if isinstance(event.item, ChordInk):
            accidentals = ((a.position, a.glyph) for a in event.item.accidentals)
            near = stem_leaves(near, way, accidentals, self._face)
        if canvas.plan.is_tab:
            reach = self._style.staff.fret_height / 2
            near = canvas.plan.height + reach if way is Direction.UP else -reach
        far = event.tip - way * beams
        middle = (near + far) / 2
        least = near + way * (half + clearance / 2)
        return max(middle, least) if way is Direction.UP else min(middle, least)
