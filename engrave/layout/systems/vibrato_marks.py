"""The wavy line of a vibrato: as long as its note, over ties and over the ends of lines."""

from __future__ import annotations

from collections.abc import Sequence, Set

from engrave.fonts.symbols import MusicFace
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_room import FEWEST_WAVES, VIBRATOS, amount_foot
from engrave.layout.systems.bend_landings import vibrato_place
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.held_signs import HeldNotes
from engrave.layout.systems.mark_lanes import MarkLanes, RowSign
from engrave.layout.systems.placed import PlacedEvent, VoiceAt
from engrave.marks.role import Role
from engrave.score.sign_list import SignName
from engrave.style.sections import Style


class VibratoPlacer:
    """Places the vibratos of all staves, line by line; it remembers those that ties hold into the next line."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._bend_row = 0.0
        self._held = HeldNotes()
        self._of_staff: dict[int, HeldNotes] = {}

    def start_line(
        self, canvas: StaffCanvas, voices: Sequence[VoiceAt], bend_row: float, lanes: MarkLanes
    ) -> None:
        """A new line of a staff, with these `voices`: its waves stand over `bend_row`, and those of the line before go on."""
        before = self._of_staff.get(canvas.plan.index)
        self._bend_row = bend_row
        self._held = self._of_staff[canvas.plan.index] = HeldNotes(voices)
        for held in self._held.go_on(before) if before is not None else ():
            self._add(canvas, held.event, held.sign, held.event.left, held.end, lanes=lanes)

    def add(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        signs: Set[str],
        next_x: float,
        lanes: MarkLanes,
    ) -> None:
        """A wavy line where the `signs` of an event ask for one, as long as the note lasts, ties included."""
        name = next((sign for sign in VIBRATOS if sign in signs), None)
        if name is None or not self._is_shown(canvas, name):
            return
        left, until = vibrato_place(event, self._style)
        until = self._held.find_end(event, name, next_x) if until is None else until
        self._add(canvas, event, name, left, until, lanes=lanes)

    def _is_shown(self, canvas: StaffCanvas, name: SignName) -> bool:
        sign = self._style.signs[name]
        return bool(sign.glyph) and canvas.plan.shows(sign)

    def _add(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        name: SignName,
        left: float,
        until: float,
        lanes: MarkLanes,
    ) -> None:
        """A wave from `left` to just before `until`."""
        sign = self._style.signs[name]
        symbol, stacking = self._face.glyph(sign.glyph), self._style.stacking
        overhang = symbol.box.right - symbol.advance
        nearer = stacking.sign_gap - stacking.side_gap  # few waves may stand nearer to what follows than more
        left = max(event.left, min(left, until - stacking.sign_gap - FEWEST_WAVES * symbol.advance))
        room = until - stacking.side_gap - left - overhang
        count = int((room - nearer) / symbol.advance)
        count = max(1, count, min(FEWEST_WAVES, int(room / symbol.advance)))
        right = left + (count - 1) * symbol.advance + symbol.box.right

        def draw(foot: float) -> None:
            y = foot - symbol.box.bottom
            for number in range(count):
                x = left + number * symbol.advance
                canvas.glyph(Role.VIBRATO, x, y, sign.glyph, event.item.source)
            canvas.ink(left, right + stacking.side_gap, foot, y + symbol.box.top)

        edge = stacking.vibrato_gap
        if left > event.left:
            edge = max(edge, amount_foot(self._bend_row, self._style) - canvas.plan.height)
        lanes.add_to_row(
            RowSign(
                order=sign.order,
                direction=Direction.DOWN if sign.side == "below" else Direction.UP,
                left=left,
                right=right - nearer,
                reach_left=left,
                reach_right=right,
                edge=edge,
                draw=draw,
            )
        )
