"""Bent strings: arrows up and down with their amounts, and the dashed line of a bend that is held."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.measures.bend_amounts import SetAmount, set_amount
from engrave.layout.measures.bend_room import (
    NO_BENDS,
    Arrow,
    BendInk,
    StringBend,
    TipsPlace,
    amount_foot,
    decide_low_tips,
    decide_tip_heights,
    over_digit,
)
from engrave.layout.measures.ink import ChordInk, FretInk
from engrave.layout.systems.bend_landings import arrow_xs
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.placed import NotePlace, PlacedEvent, VoiceAt, note_places
from engrave.marks.mark import Curve, Polygon, Source
from engrave.marks.role import Role
from engrave.score.sign_list import SignName
from engrave.style.sections import Style
from engrave.theory.bends import BendKind


class _Held(NamedTuple):
    """A string that stays bent under a tie: where its line goes on from, how high over the row of tips."""

    x: float
    rise: float
    source: Source


class _Pen(NamedTuple):
    """Where the arrow has come to."""

    x: float
    y: float


class _BentEvent(NamedTuple):
    """What holds for all bends of one event: their ink, the x it counts from, the row of tips, and what follows."""

    event: PlacedEvent
    ink: BendInk
    origin: float
    row: float
    next_x: float


class BendPlacer:
    """Places the bends of one staff. It remembers where the lines of bends held under ties go on, from line to line.

    That a note comes bent from a tie has been decided with its ink; here only the pen is kept, string by string.

    The tips of a line's arrows stand in one row: over all that is under them; on a tab whose stems stand above, low
    between the stems.
    """

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._held: dict[tuple[int, int], _Held] = {}

    def start_line(self, x: float) -> None:
        """A new line: held bends go on from `x`."""
        self._held = {key: held._replace(x=x) for key, held in self._held.items()}

    def place(self, canvas: StaffCanvas, voices: Sequence[VoiceAt], end_x: float) -> float:
        """Draw the bends of one line; those held into the next one reach to `end_x`, the last barline. The row of their tips."""
        if not canvas.plan.shows(self._style.signs[SignName.BEND]):
            return canvas.plan.height
        row = self._row(canvas, voices)
        for number, voice, measure_end in voices:
            for index, event in enumerate(voice.events):
                next_x = voice.events[index + 1].left if index + 1 < len(voice.events) else measure_end
                ink, origin = _bends_of(event)
                bend_event = _BentEvent(event, ink, origin, row, next_x)
                self._place_event(canvas, number, bend_event)
        for held in self._held.values():
            self._place_hold(canvas, held.x, end_x, row + held.rise, held.source)
        return row

    def _row(self, canvas: StaffCanvas, voices: Sequence[VoiceAt]) -> float:
        """The height of the arrows' tips."""
        row = canvas.plan.height
        for _, voice, _ in voices:
            for event in voice.events:
                ink, origin = _bends_of(event)
                if not ink.strings:
                    continue
                if ink.between_stems:
                    return decide_low_tips(canvas.plan.height, self._style)
                row = max(row, canvas.upper.height(event.left, max(event.right, origin + ink.right)))
        return row + self._style.stacking.bend_height

    def _place_event(self, canvas: StaffCanvas, number: int, bend_event: _BentEvent) -> None:
        goes_on: dict[tuple[int, int], _Held] = {}
        places = note_places(canvas.plan, bend_event.event)
        for place, bend in zip(places, bend_event.ink.strings, strict=False):
            key = number, place.note.string
            pen = _Pen(bend_event.origin + bend.start, place.y)
            if bend.held:
                held = self._held.get(key)
                if held is None:
                    continue
                if place.note.tie_to and not bend.steps and not bend_event.ink.between_stems:
                    goes_on[key] = held
                    continue
                pen = self._hold_up_to(canvas, bend_event, held, place, bend)
            pen = self._place_arrows(canvas, bend_event, pen, place, bend)
            if place.note.tie_to and bend.ends_bent:
                goes_on[key] = _Held(pen.x, pen.y - bend_event.row, place.source)
        self._held = {key: held for key, held in self._held.items() if key[0] != number} | goes_on

    def _hold_up_to(
        self, canvas: StaffCanvas, bend_event: _BentEvent, held: _Held, place: NotePlace, bend: StringBend
    ) -> _Pen:
        """A string that was held bent comes to a note: its line up to there, clear of the stem."""
        event, y = bend_event.event, bend_event.row + held.rise
        aside = self._style.stacking.sign_gap if bend_event.ink.between_stems else 0.0
        end = event.stem_x - aside
        if not (bend.steps or place.note.tie_to):
            end = max(event.right, bend_event.next_x - self._style.stacking.sign_gap)
        self._place_hold(canvas, held.x, end, y, held.source)
        return _Pen(bend_event.origin + bend.start, y)

    def _place_arrows(
        self,
        canvas: StaffCanvas,
        bend_event: _BentEvent,
        pen: _Pen,
        place: NotePlace,
        bend: StringBend,
    ) -> _Pen:
        """Draw all steps of one string's bend; where the arrow ends."""
        stacking, source = self._style.stacking, place.source
        ink, event = bend_event.ink, bend_event.event
        tips = TipsPlace(
            place.y, pen.y, bend_event.row, canvas.plan.height, ink.over_digit, ink.between_stems
        )
        xs = arrow_xs(bend, bend_event.origin, event.x, event.end_x)
        for number, (arrow, x, y) in enumerate(
            zip(bend.arrows, xs, decide_tip_heights(bend, tips, self._style), strict=True)
        ):
            kind = arrow.step.kind
            if kind is BendKind.HOLD:
                stop = bend_event.next_x - stacking.sign_gap
                if number + 1 < len(xs):
                    stop = max(pen.x, xs[number + 1] - stacking.bend_step / 2)
                self._place_hold(canvas, pen.x, stop, pen.y, source)
                pen = _Pen(stop, pen.y)
                continue
            if kind is BendKind.PRE_BEND:
                self._place_upright(canvas, bend_event, pen, _Pen(x, y), source)
            else:
                self._place_curve(canvas, pen, _Pen(x, y), source)
            if bend.has_labels and arrow.label:
                stays = number + 1 < len(xs) and bend.steps[number + 1].kind is BendKind.HOLD
                stays = stays or (number + 1 == len(xs) and place.note.tie_to)
                self._place_label(canvas, arrow, x - arrow.x, y, stays, source)
            pen = _Pen(x, y)
        return pen

    def _place_upright(
        self, canvas: StaffCanvas, bend_event: _BentEvent, pen: _Pen, tip: _Pen, source: Source
    ) -> None:
        """The arrow of a string bent before it is played: over its digit, or on a hook at the digit's side."""
        foot = over_digit(pen.y, self._style)
        if not bend_event.ink.over_digit:
            foot, line = pen.y, self._style.stacking.bend_line
            canvas.line(Role.BEND_ARROW, pen.x, foot, tip.x + line / 2, y2=foot, width=line, source=source)
        self._place_stroke(canvas, tip.x, foot, tip.y, source)

    def _place_curve(self, canvas: StaffCanvas, start: _Pen, end: _Pen, source: Source) -> None:
        """From `start` sideways, then up or down to `end`, with an arrow head there."""
        half = self._style.stacking.bend_line / 2
        head = self._style.stacking.bend_arrow
        way = 1 if end.y > start.y else -1
        low = end.y - way * head * self._style.stacking.bend_head_cover
        outer = (
            (start.x, start.y + half),
            (end.x - way * half, start.y + half),
            (end.x - way * half, start.y + half),
            (end.x - way * half, low),
        )
        inner = (
            (start.x, start.y - half),
            (end.x + way * half, start.y - half),
            (end.x + way * half, start.y - half),
            (end.x + way * half, low),
        )
        canvas.marks.append(Curve(Role.BEND_ARROW, outer, inner, source))
        self._place_head(canvas, end.x, end.y, way, source)
        canvas.ink(
            start.x,
            end.x + head * self._style.stacking.bend_head_width / 2,
            min(start.y, end.y),
            max(start.y, end.y),
        )

    def _place_stroke(self, canvas: StaffCanvas, x: float, foot: float, tip: float, source: Source) -> None:
        """A straight arrow upwards."""
        stacking = self._style.stacking
        canvas.line(
            Role.BEND_ARROW,
            x,
            foot,
            x,
            y2=tip - stacking.bend_arrow * stacking.bend_head_cover,
            width=stacking.bend_line,
            source=source,
        )
        self._place_head(canvas, x, tip, 1, source)
        half = stacking.bend_arrow * stacking.bend_head_width / 2
        canvas.ink(x - half, x + half, foot, tip)

    def _place_head(self, canvas: StaffCanvas, x: float, y: float, way: int, source: Source) -> None:
        head = self._style.stacking.bend_arrow
        foot, half = y - way * head, head * self._style.stacking.bend_head_width / 2
        canvas.marks.append(Polygon(Role.BEND_ARROW, ((x - half, foot), (x + half, foot), (x, y)), source))

    def _place_hold(self, canvas: StaffCanvas, x1: float, x2: float, y: float, source: Source) -> None:
        """The dashed line of a bend that is kept."""
        stacking = self._style.stacking
        if x2 - x1 < stacking.bend_arrow:
            return
        dash, gap = stacking.span_dash / 2, stacking.span_dash_gap / 2
        canvas.dashed_line(
            Role.BEND_ARROW, x1, x2, y, width=stacking.bend_line, dash=dash, gap=gap, source=source
        )
        canvas.ink(x1, x2, y, y)

    def _place_label(
        self, canvas: StaffCanvas, arrow: Arrow, origin: float, tip: float, stays: bool, source: Source
    ) -> None:
        """The amount over the arrow's tip, or at its right where the arrow falls; over the line of a string that `stays` there."""
        sign_gap = self._style.stacking.sign_gap
        amount = set_amount(arrow.label, self._style.words.bend, self._style)
        y = amount_foot(tip, self._style)
        if arrow.step.kind is BendKind.RELEASE and not stays:
            y = max(tip - amount.top - sign_gap, canvas.plan.height + sign_gap / 2 - amount.bottom)
        face = self._style.words.bend.face
        place_amount(canvas, Role.BEND_AMOUNT, origin + arrow.label_left, y, amount, face=face, source=source)


def place_amount(
    canvas: StaffCanvas, role: Role, left: float, y: float, amount: SetAmount, face: str, source: Source
) -> None:
    """Draw an amount from `left` on, its baseline at `y`."""
    for piece in amount.pieces:
        canvas.text(role, left + piece.x, y + piece.y, piece.text, face=face, size=piece.size, source=source)
    canvas.ink(left, left + amount.width, y + amount.bottom, y + amount.top)


def _bends_of(event: PlacedEvent) -> tuple[BendInk, float]:
    """The bends of an event, and the x from which they count: the middle of its digits, the column of its heads."""
    item = event.item
    if isinstance(item, FretInk):
        return item.bends, event.stem_x
    return (item.bends, event.x) if isinstance(item, ChordInk) else (NO_BENDS, event.x)
