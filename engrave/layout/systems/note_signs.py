"""Signs that belong to one note: articulations, fermata, fingers, vibrato, bends."""

from __future__ import annotations

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.measures.ink import ChordInk, FretInk
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.placed import PlacedEvent, PlacedVoice
from engrave.layout.systems.stacked_signs import StackPlacer, Views
from engrave.marks.mark import Curve, Polygon, Source
from engrave.marks.role import Role
from engrave.score.structure import Mark
from engrave.style.sections import Style

_OVER_RESTS = ("fermata", "breath-mark", "caesura")
_VIBRATO_PIECE = "guitarVibratoStroke"
_BEND_LABELS = {"quarter": "1/4", "half": "1/2", "three quarters": "3/4", "full": "full", "1": "full"}


class NoteSignPlacer:
    """Places the signs of single notes for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._stack = StackPlacer(style, face)

    def place(self, canvas: StaffCanvas, voice: PlacedVoice, end_x: float, views: Views) -> None:
        """Draw the signs of one voice. `end_x` is the measure's right edge.

        `views`: the staves that the part has; a tab, if any, shows bends and vibrato.
        """
        events = voice.events
        for number, event in enumerate(events):
            item = event.item
            if not isinstance(item, ChordInk | FretInk):
                over_rest = [mark for mark in item.event.marks if mark.name in _OVER_RESTS]
                self._stack.place(canvas, event, over_rest, voice.side, views)
                continue
            marks: list[Mark] = list(item.event.marks)
            for note in item.event.notes:
                marks.extend(note.marks)
            if marks:
                self._stack.place(canvas, event, marks, voice.side, views)
            if canvas.plan.is_tab or not views.tab:
                next_x = events[number + 1].left if number + 1 < len(events) else end_x
                self._place_string_signs(canvas, event, marks, next_x)
            if not canvas.plan.is_tab or not views.tab or canvas.plan.is_first:
                self._place_fingers(canvas, event)

    def _place_fingers(self, canvas: StaffCanvas, event: PlacedEvent) -> None:
        """Left-hand fingers above the staff, the highest note's on top."""
        item = event.item
        if not isinstance(item, ChordInk | FretInk):
            return
        words = self._style.words.finger
        face = text_face(words.face)
        for note in sorted(item.event.notes, key=lambda note: note.pitch.midi):
            if not note.finger:
                continue
            width, top = face.width(note.finger, words.size), face.ink(note.finger, words.size).top
            left = (event.left + event.right) / 2 - width / 2
            y = (
                max(canvas.upper.height(left, left + width), canvas.plan.height)
                + self._style.stacking.padding
            )
            canvas.text(Role.FINGER, left, y, note.finger, words.face, words.size, item.source)
            canvas.ink(left, left + width, y, y + top)

    def _place_string_signs(
        self, canvas: StaffCanvas, event: PlacedEvent, marks: list[Mark], next_x: float
    ) -> None:
        item = event.item
        for mark in marks:
            if mark.name == "bend":
                self._place_bend(canvas, event, mark)
        if any(mark.name == "vibrato" for mark in marks):
            self._place_vibrato(canvas, event, next_x, item.source)

    def _place_vibrato(self, canvas: StaffCanvas, event: PlacedEvent, next_x: float, source: Source) -> None:
        """A wavy line above, as long as the note lasts."""
        symbol = self._face.glyph(_VIBRATO_PIECE)
        left = event.left
        count = max(2, int((next_x - 0.5 - left) / symbol.advance))
        right = left + count * symbol.advance
        y = max(canvas.upper.height(left, right), canvas.plan.height) + self._style.stacking.vibrato_gap
        y -= symbol.box.bottom
        for number in range(count):
            canvas.glyph(Role.VIBRATO, left + number * symbol.advance, y, _VIBRATO_PIECE, source)
        canvas.ink(left, right, y + symbol.box.bottom, y + symbol.box.top)

    def _place_bend(self, canvas: StaffCanvas, event: PlacedEvent, mark: Mark) -> None:
        """An arrow from the digit up past the top line, the amount above it."""
        stacking = self._style.stacking
        item = event.item
        start_x = event.right + self._style.staff.fret_clearance / 2
        start_y = self._bent_y(canvas, event)
        x = start_x + stacking.bend_arrow * 1.4
        left, right = start_x, x + stacking.bend_arrow
        inside = canvas.plan.has_rhythm and event.has_stem and event.direction is Direction.UP
        if inside:
            top = canvas.plan.height + stacking.rhythm_bend_height
        else:
            top = max(canvas.upper.height(left, right), canvas.plan.height) + stacking.bend_height
        head = stacking.bend_arrow
        half = stacking.bend_line / 2
        low = top - head * 0.8
        outer = (
            (start_x, start_y + half),
            (x - half, start_y + half),
            (x - half, start_y + half),
            (x - half, low),
        )
        inner = (
            (start_x, start_y - half),
            (x + half, start_y - half),
            (x + half, start_y - half),
            (x + half, low),
        )
        canvas.marks.append(Curve(Role.BEND_ARROW, outer, inner, item.source))
        corners = ((x - head * 0.4, top - head), (x + head * 0.4, top - head), (x, top))
        canvas.marks.append(Polygon(Role.BEND_ARROW, corners, item.source))
        words = self._style.words.bend
        face = text_face(words.face)
        label = bend_label(mark.amount)
        width = face.width(label, words.size)
        ink = face.ink(label, words.size)
        at, y = x - width / 2, top + stacking.padding / 2
        if inside:
            at, y = x + head / 2 + stacking.padding / 4, top - ink.top
        canvas.text(Role.BEND_AMOUNT, at, y, label, words.face, words.size, item.source)
        canvas.ink(left, right, start_y, top)
        canvas.ink(at, at + width, y, y + ink.top)

    def _bent_y(self, canvas: StaffCanvas, event: PlacedEvent) -> float:
        item = event.item
        if isinstance(item, FretInk):
            for digit in item.digits:
                if any(mark.name == "bend" for mark in digit.note.marks):
                    return (canvas.plan.lines - digit.string) * canvas.plan.pitch
        return (event.y_low + event.y_high) / 2


def bend_label(amount: str) -> str:
    """What is printed over a bend of `amount` whole steps: "full", "1/2", "1 1/2"."""
    return _BEND_LABELS.get(amount, amount)
