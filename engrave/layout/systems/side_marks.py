"""What stands beside a chord: slides from and to nowhere, left-hand fingers, rolls and their brackets."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.fonts.text_face import text_face
from engrave.layout.measures.ink import ChordInk, FretInk
from engrave.layout.measures.side_signs import ROLLS, SLIDES_AWAY, SLIDES_FROM, FingerPlace
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.placed import PlacedEvent, note_places
from engrave.marks.mark import Curve, Polygon, Source
from engrave.marks.role import Role
from engrave.score.sign_list import SignName
from engrave.style.sections import Style
from engrave.style.stacking import StackingStyle


class SideMarkPlacer:
    """Places what stands beside chords, for one style."""

    def __init__(self, style: Style) -> None:
        """Use the distances of `style`."""
        self._style = style

    def place(self, canvas: StaffCanvas, event: PlacedEvent) -> None:
        """Draw the signs beside one event, at the places that were measured with it."""
        item = event.item
        if not isinstance(item, ChordInk | FretInk) or item.side is None:
            return
        side = item.side
        if side.slide_from is not None:
            self._place_slides(canvas, event, event.x + side.slide_from, SLIDES_FROM)
        if side.slide_away is not None:
            self._place_slides(canvas, event, event.x + side.slide_away, SLIDES_AWAY)
        if side.fingers is not None and isinstance(item, ChordInk):
            self._place_fingers(canvas, item, event.x, side.fingers)
        if side.roll is not None:
            self._place_roll(canvas, event, event.x + side.roll)

    def _place_slides(
        self, canvas: StaffCanvas, event: PlacedEvent, x: float, names: tuple[str, str]
    ) -> None:
        """Short slanted lines that end (or start) at `x`, one a note."""
        stacking = self._style.stacking
        far = x + (stacking.slide_length if names is SLIDES_AWAY else -stacking.slide_length)
        for note, y, _, source in note_places(canvas.plan, event):
            found = next((technique.sign for technique in note.techniques if technique.sign in names), None)
            if found is None:
                continue
            rise = stacking.slide_rise * (
                1 if found in (SignName.SLIDE_FROM_ABOVE, SignName.SLIDE_AWAY_UP) else -1
            )
            near_y, far_y = y - rise / 2, y + rise / 2
            canvas.line(Role.SLIDE, x, near_y, far, y2=far_y, width=stacking.slide_line, source=source)
            canvas.ink(min(x, far), max(x, far), min(near_y, far_y), max(near_y, far_y))

    def _place_fingers(
        self, canvas: StaffCanvas, chord: ChordInk, column: float, places: Sequence[FingerPlace]
    ) -> None:
        """Fingers in a column left of their heads; the staff's lines are broken behind them."""
        words, clear = self._style.words.finger, self._style.stacking.finger_clearance
        face = text_face(words.face)
        half = face.ink("1", words.size).top / 2
        fingered = [
            (note, source) for note, source in zip(chord.notes, chord.sources, strict=True) if note.finger
        ]
        for (note, source), (dx, y) in zip(fingered, places, strict=True):
            width, x = face.width(note.finger, words.size), column + dx
            canvas.text(
                Role.FINGER, x, y - half, note.finger, face=words.face, size=words.size, source=source
            )
            canvas.ink(x, x + width, y - half, y + half)
            canvas.break_lines(x - clear, x + width + clear, y - half - clear, y + half + clear)

    def _place_roll(self, canvas: StaffCanvas, event: PlacedEvent, x: float) -> None:
        """A vertical wave along the chord, with an arrow head where the direction is given; or a bracket."""
        item = event.item
        assert isinstance(item, ChordInk | FretInk)
        name = next(sign for sign in ROLLS if sign in item.event.signs)
        stacking = self._style.stacking
        over, wave = stacking.arpeggio_overhang, stacking.wave_height
        bottom, top, reach = event.y_low - over, event.y_high + over, stacking.wave_swing
        if name is SignName.NON_ARPEGGIATE:
            hook, line = stacking.bracket_hook, stacking.span_line
            canvas.line(Role.ARPEGGIO, x, bottom, x, y2=top, width=line, source=item.source)
            for y in (bottom, top):
                canvas.line(Role.ARPEGGIO, x - line / 2, y, x + hook, y2=y, width=line, source=item.source)
        else:
            count = max(2, round((top - bottom) / wave))
            for number in range(count):
                canvas.marks.append(
                    _half_wave(x, bottom + number * wave, number % 2 == 0, stacking, item.source)
                )
            top = bottom + count * wave
            if name is not SignName.ARPEGGIATE:
                tip = (
                    top + stacking.roll_arrow
                    if name is SignName.ARPEGGIATE_UP
                    else bottom - stacking.roll_arrow
                )
                foot = top if name is SignName.ARPEGGIATE_UP else bottom
                half = stacking.roll_arrow * stacking.roll_arrow_width / 2
                corners = ((x - half, foot), (x + half, foot), (x, tip))
                canvas.marks.append(Polygon(Role.ARPEGGIO, corners, item.source))
                bottom, top, reach = min(bottom, tip), max(top, tip), max(reach, half)
        canvas.ink(x - reach, x + reach, bottom, top)


def _half_wave(x: float, y: float, to_left: bool, stacking: StackingStyle, source: Source) -> Curve:
    """One turn of the wave, from (x, y) upwards."""
    swing = -stacking.wave_swing if to_left else stacking.wave_swing
    half, wave = stacking.wave_line / 2, stacking.wave_height

    def side(dx: float) -> tuple[tuple[float, float], ...]:
        return (
            (x + dx, y),
            (x + swing + dx, y + wave / 3),
            (x + swing + dx, y + wave * 2 / 3),
            (x + dx, y + wave),
        )

    outer, inner = side(half), side(-half)
    return Curve(
        Role.ARPEGGIO,
        (outer[0], outer[1], outer[2], outer[3]),
        (inner[0], inner[1], inner[2], inner[3]),
        source,
    )
