"""Signs that belong to one note: articulations, fermata, fingers, vibrato, the bar."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_amounts import set_amount
from engrave.layout.measures.bend_room import BarInk
from engrave.layout.measures.ink import ChordInk, FretInk
from engrave.layout.systems.bend_marks import place_amount
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.mark_lanes import MarkLanes, RowSign
from engrave.layout.systems.placed import PlacedEvent, PlacedVoice, VoiceAt
from engrave.layout.systems.side_marks import SideMarkPlacer
from engrave.layout.systems.stacked_signs import (
    Around,
    StackedSign,
    StackPlacer,
    decide_sign_side,
    reach_of,
)
from engrave.layout.systems.tremolo_marks import TremoloPlacer
from engrave.layout.systems.vibrato_marks import VibratoPlacer
from engrave.marks.mark import Box, Source
from engrave.marks.role import Role
from engrave.score.sign_list import OVER_RESTS, SignName
from engrave.score.techniques import Pluck, TrillAccidental, signs_of
from engrave.style.sections import Style
from engrave.style.words import OtherMark, SignStyle
from engrave.theory.accidentals import Accidental
from engrave.theory.bends import BarMoveKind


class NoteSignPlacer:
    """Places the signs of single notes for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._stack = StackPlacer(style, face)
        self._side = SideMarkPlacer(style)
        self._tremolo = TremoloPlacer(style, face)
        self._vibrato = VibratoPlacer(style, face)

    def add(
        self,
        canvas: StaffCanvas,
        voices: Sequence[tuple[VoiceAt, Sequence[float]]],
        bend_row: float,
        lanes: MarkLanes,
    ) -> None:
        """Let the signs of one line wait in `lanes`: voice by voice, each with the left edges of all voices' events in its measure.

        `bend_row` is how high the tips of the line's bends stand. What stands beside a note is drawn at once, for room was measured for it.
        """
        self._vibrato.start_line(canvas, [at for at, _ in voices], bend_row, lanes)
        for at, lefts in voices:
            self._add_voice(canvas, at.voice, at.end_x, lefts, lanes)

    def _add_voice(
        self, canvas: StaffCanvas, voice: PlacedVoice, end_x: float, lefts: Sequence[float], lanes: MarkLanes
    ) -> None:
        events = voice.events
        for number, event in enumerate(events):
            item = event.item
            if not isinstance(item, ChordInk | FretInk):
                over_rest = [
                    StackedSign(sign) for sign in OVER_RESTS if sign in signs_of(item.event.techniques)
                ]
                next_x = left_edge(events[number + 1]) if number + 1 < len(events) else end_x
                around = Around(event.left, _next(lefts, event, next_x), end_x)
                self._stack.add(canvas, event, over_rest, voice.side, around, lanes)
                continue
            wanted = self._wanted(item)
            self._side.place(canvas, event)
            if wanted:
                next_x = left_edge(events[number + 1]) if number + 1 < len(events) else end_x
                self._tremolo.add(canvas, event, {sign.name for sign in wanted}, lanes)
                around = Around(_graces_left(events, number), _next(lefts, event, next_x), end_x)
                self._stack.add(canvas, event, wanted, voice.side, around, lanes)
                self._vibrato.add(canvas, event, {sign.name for sign in wanted}, next_x, lanes)
                self._add_bar_moves(canvas, event, lanes)
            self._add_fingers(canvas, event, voice.side, lanes)

    def _add_fingers(
        self, canvas: StaffCanvas, event: PlacedEvent, side: Direction | None, lanes: MarkLanes
    ) -> None:
        """Left-hand fingers in the order of the notes, those of a chord in one stack; those beside a chord are placed with it."""
        item, sign = event.item, self._style.signs[SignName.FINGER]
        if not isinstance(item, ChordInk | FretInk) or not canvas.plan.shows(sign):
            return
        if item.side is not None and item.side.fingers is not None:
            return
        if not any(note.finger for note in item.event.notes):
            return
        fingers = [
            note.finger for note in sorted(item.event.notes, key=lambda n: n.pitch.midi) if note.finger
        ]
        words, stacking = self._style.words.finger, self._style.stacking
        face, middle = text_face(words.face), (event.left + event.right) / 2
        widths = [face.width(finger, words.size) for finger in fingers]
        height = (len(fingers) - 1) * stacking.finger_pitch + face.ink(fingers[-1], words.size).top
        left, right = middle - max(widths) / 2, middle + max(widths) / 2
        stem = event.direction if event.has_stem else None
        direction = decide_sign_side(sign.side, side, stem, canvas.plan.is_tab)
        under = height if direction is Direction.DOWN else 0.0
        white = (
            stacking.sign_gap - stacking.articulation_gap
        )  # a dot or a stroke next to a digit would be read as part of it

        def draw(foot: float) -> None:
            for number, (finger, width) in enumerate(zip(fingers, widths, strict=True)):
                x, y = middle - width / 2, foot - under + number * stacking.finger_pitch
                canvas.text(Role.FINGER, x, y, finger, face=words.face, size=words.size, source=item.source)
            canvas.ink(left, right, foot - under - white, foot - under + height + white)

        reach = reach_of(event, left, right, stacking.side_gap)
        if sign.lane == "row" or canvas.plan.is_tab:
            row = RowSign(
                order=sign.order,
                direction=direction,
                left=left,
                right=right,
                reach_left=reach[0],
                reach_right=reach[1],
                edge=stacking.sign_gap + self._style.staff.fret_height / 2,
                draw=draw,
            )
            lanes.add_to_row(row)
            return

        def place() -> None:
            draw(canvas.outline(direction, *reach) + direction * stacking.sign_gap)

        lanes.add(sign.order, place)

    def _add_bar_moves(self, canvas: StaffCanvas, event: PlacedEvent, lanes: MarkLanes) -> None:
        """What the vibrato bar does: its letters, the symbol of the move (a falling line for a dive), the amount."""
        sign, item = self._style.signs[SignName.VIBRATO_BAR], event.item
        bar = item.bar if isinstance(item, ChordInk | FretInk) else None
        if bar is None or not canvas.plan.shows(sign):
            return
        left = (event.left + event.right - bar.width) / 2
        right, gap = left + bar.width, self._style.stacking.vibrato_gap

        def draw(foot: float) -> None:
            self._draw_bar_move(canvas, bar, left, foot, item.source)

        lanes.add_to_row(
            RowSign(
                order=sign.order,
                direction=_side_of(sign),
                left=left,
                right=right,
                reach_left=left,
                reach_right=right,
                edge=gap,
                draw=draw,
            )
        )

    def _draw_bar_move(self, canvas: StaffCanvas, bar: BarInk, left: float, y: float, source: Source) -> None:
        """Symbol and amount stand on the middle of a strip as high as a dive is deep, the letters over it."""
        stacking, words = self._style.stacking, self._style.words.technique
        sign, face = self._style.signs[SignName.VIBRATO_BAR], text_face(words.face)
        strip = stacking.bar_dive
        box = self._face.glyph(bar.glyph).box if bar.glyph else Box(0.0, 0.0, strip, strip)
        x, middle = left + (bar.width - bar.inner) / 2, y + strip / 2
        if bar.glyph:
            low = middle - (box.top + box.bottom) / 2
            canvas.glyph(Role.VIBRATO_BAR, x - box.left, low, bar.glyph, source)
        else:
            from_y, to_y = (y, y + strip) if bar.move.kind is BarMoveKind.SCOOP else (y + strip, y)
            canvas.line(
                Role.VIBRATO_BAR, x, from_y, x + strip, y2=to_y, width=stacking.bend_line, source=source
            )
        ink = face.ink("w/", words.size)
        if bar.label:
            at, low = (
                x + box.right - box.left + stacking.sign_gap / 2,
                middle - face.ink("1", words.size).top / 2,
            )
            amount = set_amount(bar.label, words, self._style)
            place_amount(canvas, Role.VIBRATO_BAR, at, low, amount, face=words.face, source=source)
        top = y + strip
        if sign.letters:
            base = top + stacking.sign_gap / 2 - ink.bottom
            at = left + (bar.width - face.width(sign.letters, words.size)) / 2
            canvas.text(
                Role.VIBRATO_BAR, at, base, sign.letters, face=words.face, size=words.size, source=source
            )
            top = base + ink.top
        canvas.ink(left, left + bar.width, y, top)

    def _wanted(self, item: ChordInk | FretInk) -> list[StackedSign]:
        """The signs of an event and its notes, told apart where each note has its own; the highest note's first."""
        if not item.event.has_techniques:
            return []
        own = [
            technique for technique in item.event.techniques if technique.sign is not SignName.STRING_NUMBER
        ]
        shared = [technique for technique in item.event.techniques if technique not in own]
        wanted = [StackedSign(technique.sign) for technique in own]
        for note in sorted(item.event.notes, key=lambda note: -note.pitch.midi):
            for technique in (*note.techniques, *shared):
                if technique.sign is SignName.STRING_NUMBER:
                    wanted.append(StackedSign(technique.sign, string=note.string))
                    continue
                if note.sounding is not None and self._style.notes.harmonics == "sounding":
                    wanted.append(StackedSign(OtherMark.HARMONIC_RING))
                if isinstance(technique, Pluck):
                    wanted.append(StackedSign(technique.sign, letters=technique.finger.value))
                elif isinstance(technique, TrillAccidental):
                    wanted.append(StackedSign(technique.sign, accidental=Accidental(technique.alter)))
                else:
                    wanted.append(StackedSign(technique.sign))
        return wanted


def _side_of(sign: SignStyle) -> Direction:
    """The side of a sign that keeps to one, in two voices too: its row goes along the line."""
    return Direction.DOWN if sign.side == "below" else Direction.UP


def left_edge(event: PlacedEvent) -> float:
    """Where the ink of an event starts, its accidentals included."""
    item = event.item
    if isinstance(item, ChordInk) and item.bent.chains:
        return event.x - item.bent.left
    if isinstance(item, ChordInk) and item.accidentals:
        return event.x + min(accidental.dx for accidental in item.accidentals)
    return event.left


def _next(lefts: Sequence[float], event: PlacedEvent, end: float) -> float:
    """The left edge of what follows `event` in any voice, `end` at the latest."""
    return min((left for left in lefts if event.right < left < end), default=end)


def _graces_left(events: Sequence[PlacedEvent], number: int) -> float:
    """The left edge of event `number` with the grace notes before it."""
    left = events[number].left
    while number > 0 and events[number - 1].item.number < 0:
        number -= 1
        left = events[number].left
    return left
