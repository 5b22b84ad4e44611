"""Strokes of a tremolo: through the stem, or over a note without one."""

from __future__ import annotations

from collections.abc import Collection

from engrave.fonts.symbols import MusicFace
from engrave.layout.measures.ink import ChordInk
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.mark_lanes import MarkLanes
from engrave.layout.systems.placed import PlacedEvent
from engrave.marks.mark import Box, Glyph
from engrave.marks.role import Role
from engrave.score.sign_list import TREMOLO_STROKES, SignName
from engrave.style.sections import Style

_STROKES = {SignName.TREMOLO: 3, **TREMOLO_STROKES}
"""How many strokes a sign has (fact: one for each flag of the notes it stands for)."""


class TremoloPlacer:
    """Places tremolo strokes for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face

    def add(self, canvas: StaffCanvas, event: PlacedEvent, wanted: Collection[str], lanes: MarkLanes) -> None:
        """Draw the strokes of an event of whose signs, `wanted`, one asks for them; without a stem they wait in `lanes`."""
        signs = self._style.signs
        name = next((sign for sign in _STROKES if sign in wanted), None)
        if name is None or not signs[name].glyph or not canvas.plan.shows(signs[name]):
            return
        size = signs[name].size
        strokes = max(1, _STROKES[name] - event.item.event.value.flags)
        glyph = f"{signs[name].glyph[:-1]}{strokes}"
        box = Box(*(edge * size for edge in self._face.glyph(glyph).box))
        half = (box.top - box.bottom) / 2

        def draw(x: float, y: float) -> None:
            canvas.marks.append(Glyph(Role.TREMOLO, x, y, glyph, event.item.source, size))
            canvas.ink(x + box.left, x + box.right, y - half, y + half)

        if event.has_stem and (not canvas.plan.is_tab or canvas.plan.has_rhythm):
            draw(event.stem_x, self._stem_height(canvas, event, half))
            return
        x = (event.left + event.right) / 2

        def place() -> None:
            above = max(canvas.upper.height(x + box.left, x + box.right), event.y_high)
            draw(x, above + self._style.stacking.articulation_gap + half)

        lanes.add(signs[name].order, place)

    def _stem_height(self, canvas: StaffCanvas, event: PlacedEvent, half: float) -> float:
        """The middle of the strokes: the middle of the free stem, clear of the head or tab first, then of beam or flag."""
        clearance = self._style.stacking.tremolo_clearance
        value = event.item.event.value
        beams = value.flags * (self._style.beams.thickness + self._style.beams.gap)
        way = 1 if event.tip > (event.y_low + event.y_high) / 2 else -1
        near = event.y_high if way > 0 else event.y_low
        if isinstance(event.item, ChordInk) and way < 0:
            for accidental in event.item.accidentals:
                near = min(near, accidental.position / 2 + self._face.glyph(accidental.glyph).box.bottom)
        if canvas.plan.is_tab:
            reach = self._style.staff.fret_height / 2
            near = canvas.plan.height + reach if way > 0 else -reach
        far = event.tip - way * beams
        middle = (near + far) / 2
        least = near + way * (half + clearance / 2)
        return max(middle, least) if way > 0 else min(middle, least)
