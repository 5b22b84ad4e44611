"""Signs that belong to one note: articulations, fermata, fingers, vibrato, the bar."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_amounts import set_amount
from engrave.layout.measures.bend_room import FEWEST_WAVES, VIBRATOS, BarInk, amount_foot
from engrave.layout.measures.ink import ChordInk, FretInk
from engrave.layout.systems.bend_landings import vibrato_place
from engrave.layout.systems.bend_marks import place_amount
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.placed import PlacedEvent, PlacedVoice, VoiceAt
from engrave.layout.systems.side_marks import SideMarkPlacer
from engrave.layout.systems.sign_rows import RowSign, SignRows
from engrave.layout.systems.stacked_signs import HARMONIC_RING, INSIDE_SLURS, Around, StackedSign, StackPlacer
from engrave.layout.systems.tremolo_marks import TremoloPlacer
from engrave.marks.mark import Box, Source
from engrave.marks.role import Role
from engrave.score.sign_list import OVER_RESTS, SignName
from engrave.score.techniques import Pluck, TrillAccidental, signs_of
from engrave.style.sections import Style
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
        self._bend_row = 0.0

    def place(
        self,
        canvas: StaffCanvas,
        voices: Sequence[tuple[VoiceAt, Sequence[float]]],
        bend_row: float,
        outside_slurs: bool = False,
    ) -> None:
        """Draw the signs of one line: voice by voice, each with the left edges of all voices' events in its measure.

        `bend_row` is how high the tips of the line's bends stand. `outside_slurs`: those that slurs pass over are there
        already.
        """
        self._bend_row = bend_row
        rows = SignRows(self._style.stacking.sign_gap)
        told = INSIDE_SLURS if outside_slurs and not canvas.plan.is_tab else ()
        for at, lefts in voices:
            self._place_voice(canvas, at.voice, at.end_x, lefts, rows=rows, told=told)
        rows.place(canvas)

    def place_inside_slurs(
        self, canvas: StaffCanvas, voices: Sequence[tuple[VoiceAt, Sequence[float]]]
    ) -> None:
        """Draw the signs of one line on a staff that slurs pass over: those nearest the heads (common practice, no source)."""
        if canvas.plan.is_tab:
            return
        rows = SignRows(self._style.stacking.sign_gap)
        for at, lefts in voices:
            for event in at.voice.events:
                if isinstance(event.item, ChordInk):
                    wanted = [sign for sign in self._wanted(event.item) if sign.name in INSIDE_SLURS]
                    around = Around(event.left, _next(lefts, event, at.end_x), at.end_x)
                    self._stack.place(canvas, event, wanted, at.voice.side, around, rows)

    def _place_voice(
        self,
        canvas: StaffCanvas,
        voice: PlacedVoice,
        end_x: float,
        lefts: Sequence[float],
        rows: SignRows,
        told: Collection[str],
    ) -> None:
        events = voice.events
        for number, event in enumerate(events):
            item = event.item
            next_x = left_edge(events[number + 1]) if number + 1 < len(events) else end_x
            if not isinstance(item, ChordInk | FretInk):
                over_rest = [
                    StackedSign(sign) for sign in OVER_RESTS if sign in signs_of(item.event.techniques)
                ]
                around = Around(event.left, _next(lefts, event, next_x), end_x)
                self._stack.place(canvas, event, over_rest, voice.side, around, rows)
                continue
            wanted = [sign for sign in self._wanted(item) if sign.name not in told]
            self._side.place(canvas, event)
            if wanted:
                self._tremolo.place(canvas, event, {sign.name for sign in wanted})
                around = Around(_graces_left(events, number), _next(lefts, event, next_x), end_x)
                self._stack.place(canvas, event, wanted, voice.side, around, rows)
                self._place_vibrato(canvas, event, wanted, next_x, rows)
                self._place_bar_moves(canvas, event, rows)
            self._place_fingers(canvas, event, voice.side)

    def _place_fingers(self, canvas: StaffCanvas, event: PlacedEvent, side: Direction | None) -> None:
        """Left-hand fingers above the staff and the stem, under them for a lower voice, in the order of the notes.

        Those beside a chord are placed with it.
        """
        item = event.item
        if not isinstance(item, ChordInk | FretInk) or not canvas.plan.shows(
            self._style.signs[SignName.FINGER]
        ):
            return
        if item.side is not None and item.side.fingers is not None:
            return
        words, stacking = self._style.words.finger, self._style.stacking
        face = text_face(words.face)
        below = side is Direction.DOWN
        notes = sorted(item.event.notes, key=lambda note: note.pitch.midi, reverse=below)
        middle, y = (event.left + event.right) / 2, 0.0
        for number, note in enumerate(note for note in notes if note.finger):
            width, top = face.width(note.finger, words.size), face.ink(note.finger, words.size).top
            left, right = middle - width / 2, middle + width / 2
            reach = (min(left, event.left), max(right, event.right + stacking.side_gap))  # with the stem
            if number:
                y += -stacking.finger_pitch if below else stacking.finger_pitch
            elif below:
                y = min(canvas.lower.height(*reach), 0.0) - stacking.sign_gap - top
            else:
                y = max(canvas.upper.height(*reach), canvas.plan.height) + stacking.sign_gap
            canvas.text(
                Role.FINGER, left, y, note.finger, face=words.face, size=words.size, source=item.source
            )
            canvas.ink(left, right, y, y + top)

    def _place_vibrato(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        wanted: Sequence[StackedSign],
        next_x: float,
        rows: SignRows,
    ) -> None:
        """A wavy line above, as long as the note lasts."""
        signs = self._style.signs
        name = next((sign.name for sign in wanted if sign.name in VIBRATOS), "")
        if not name or not signs[name].glyph or not canvas.plan.shows(signs[name]):
            return
        symbol = self._face.glyph(signs[name].glyph)
        left, until = vibrato_place(event, self._style)
        until = next_x - 0.5 if until is None else until - self._style.stacking.sign_gap
        left = max(event.left, min(left, until - FEWEST_WAVES * symbol.advance))
        count = max(FEWEST_WAVES, int((until - left) / symbol.advance))
        right = left + count * symbol.advance

        def draw(foot: float) -> None:
            y = foot - symbol.box.bottom
            for number in range(count):
                x = left + number * symbol.advance
                canvas.glyph(Role.VIBRATO, x, y, signs[name].glyph, event.item.source)
            canvas.ink(left, right, foot, y + symbol.box.top)

        gap = self._style.stacking.vibrato_gap
        if left > event.left:
            gap = max(gap, amount_foot(self._bend_row, self._style) - canvas.plan.height)
        rows.add(
            RowSign(
                order=signs[name].order,
                direction=Direction.UP,
                left=left,
                right=right,
                reach_left=left,
                reach_right=right,
                edge=gap,
                draw=draw,
            )
        )

    def _place_bar_moves(self, canvas: StaffCanvas, event: PlacedEvent, rows: SignRows) -> None:
        """What the vibrato bar does: its letters, the symbol of the move (a falling line for a dive), the amount."""
        sign, item = self._style.signs[SignName.VIBRATO_BAR], event.item
        bar = item.bar if isinstance(item, ChordInk | FretInk) else None
        if bar is None or not canvas.plan.shows(sign):
            return
        left = (event.left + event.right - bar.width) / 2
        right, gap = left + bar.width, self._style.stacking.vibrato_gap

        def draw(foot: float) -> None:
            self._draw_bar_move(canvas, bar, left, foot, item.source)

        rows.add(
            RowSign(
                order=sign.order,
                direction=Direction.UP,
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
                    wanted.append(StackedSign(HARMONIC_RING))
                if isinstance(technique, Pluck):
                    wanted.append(StackedSign(technique.sign, letters=technique.finger.value))
                elif isinstance(technique, TrillAccidental):
                    wanted.append(StackedSign(technique.sign, accidental=Accidental(technique.alter)))
                else:
                    wanted.append(StackedSign(technique.sign))
        return wanted


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
