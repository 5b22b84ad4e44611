"""Ties, and bows and lines that join a note to the next one on its string, over measures and lines."""

from __future__ import annotations

from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.curves.arch import arch_extents, arch_points, slur_height
from engrave.layout.curves.ties import decide_tie_directions, place_tie
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_room import bend_steps
from engrave.layout.measures.ink import ChordInk, FretInk
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.placed import PlacedEvent, PlacedVoice
from engrave.marks.mark import Curve, Source
from engrave.marks.role import Role
from engrave.score.structure import Note, PartMeasure, Voice
from engrave.style.sections import Style

_BOWS = ("hammer-on", "pull-off", "legato-slide")
_SLIDES = ("slide", "legato-slide")
_HALF_SLIDE_RISE = 0.5
"""How far the first half of a slide rises or falls on a staff, where its goal stands on the next line (house rule)."""
_OVER_HEAD = 0.65
"""From the middle of a head to the end of a bow over it, in staff spaces (common practice, no source)."""
_BOW_GAP = 0.15
"""White between a digit and the bow over it (house rule)."""
_BESIDE_DIGIT = 0.3
"""Height of a bow's end at the side of a digit (house rule)."""
_CLEAR_OF_STEM = 0.35
"""How far a bow on a tab with rhythm keeps from the stems over its digits (house rule)."""
_CROWDED = 9
"""Stands for the flags of grace notes, beside whose stems no letter has room."""
_HALF_TIE_END = 0.3
"""A half tie ends this far before the last barline (staff spaces; common practice, no source)."""


class _End(NamedTuple):
    """One note as the end of a bow: edges of its head or digit, its height, and where it points."""

    left: float
    right: float
    y: float
    direction: Direction
    note: Note
    source: Source
    stem: Direction | None = None
    """Where the stem of a chord points; None for single notes, whose slur meets no stem."""
    bent: bool = False
    """True while a string stays bent: on a tab, a dashed line shows that it is held."""
    covered: bool = False
    """True for a digit with another one on the string above it: bows pass at its side."""
    flags: int = 0


class JoinPlacer:
    """Draws what joins notes on one staff. It remembers open ends from measure to measure and from line to line."""

    def __init__(self, style: Style, is_tab: bool) -> None:
        """A placer at the start of the piece."""
        self._style = style
        self._is_tab = is_tab
        self._ties: dict[tuple[int, int], _End] = {}
        self._strings: dict[tuple[int, int], _End] = {}
        self._line_start = 0.0
        self._lettered: set[str] = set()
        """Letters that the event at hand has: strings played alike share one."""

    def start_line(self, x: float) -> None:
        """A new line: open ends go on from `x`, the end of its signs."""
        self._line_start = x
        for ends in (self._ties, self._strings):
            for key, end in ends.items():
                ends[key] = end._replace(left=x, right=x)

    def end_line(self, canvas: StaffCanvas, x: float, following: PartMeasure | None) -> None:
        """Draw the first halves of what goes on to the next line; `x` is the last barline.

        `following` is the part's measure that starts the next line.
        """
        voices = following.voices if following is not None else ()
        for (number, string), start in self._strings.items():
            note = _first_note(voices[number], string) if number < len(voices) else None
            if note is not None and not note.tie_from:
                rise = 0.0 if self._is_tab else (1 if note.fret > start.note.fret else -1) * _HALF_SLIDE_RISE
                slides = any(mark.name in _SLIDES for mark in note.marks)
                end = start._replace(left=x, right=x, y=start.y + (rise if slides else 0.0), note=note)
                self._draw_join(canvas, start, end, letters=False)
        for end in self._ties.values():
            if not end.bent:
                self._draw_tie(canvas, end.right, x - _HALF_TIE_END, end)

    def place(self, canvas: StaffCanvas, number: int, voice: PlacedVoice) -> None:
        """Draw the joins of voice `number` in one measure."""
        for event in voice.events:
            ends = self._ends(canvas, event, voice.side)
            ends = [self._stay_bent(number, end) for end in ends]
            self._lettered.clear()
            for end in ends:
                self._finish(canvas, number, end)
            for key in [key for key in self._strings if key[0] == number]:
                del self._strings[key]
            for end in ends:
                key = (number, _identity(end.note))
                if end.note.tie_to:
                    self._ties[key] = end
                else:
                    self._ties.pop(key, None)
                if end.note.string:
                    self._strings[number, end.note.string] = end

    def _stay_bent(self, number: int, end: _End) -> _End:
        """`end`, told whether its string is bent when it ends."""
        if not self._is_tab:
            return end
        start = self._ties.get((number, _identity(end.note))) if end.note.tie_from else None
        steps = bend_steps(end.note)
        bent = steps[-1].semitones > 0 if steps else start is not None and start.bent
        return end._replace(bent=bent)

    def _ends(self, canvas: StaffCanvas, event: PlacedEvent, side: Direction | None) -> list[_End]:
        item = event.item
        if isinstance(item, ChordInk):
            directions = decide_tie_directions(item.positions, item.direction, side)
            right = event.right
            stemmed = event.has_stem and len(item.positions) > 1
            if item.dot_positions:
                right = event.x + item.dot_dx + self._dots_width(item.event.value.dots)
            return [
                _End(event.left, right, p / 2, d, note, source, item.direction if stemmed else None)
                for p, d, note, source in zip(
                    item.positions, directions, item.notes, item.sources, strict=True
                )
            ]
        if isinstance(item, FretInk):
            plan = canvas.plan
            strings = {digit.string for digit in item.digits if digit.text}
            return [
                _End(
                    event.stem_x - digit.centre,
                    event.stem_x + digit.width - digit.centre,
                    (plan.lines - digit.string) * plan.pitch,
                    Direction.UP,
                    digit.note,
                    digit.source,
                    covered=digit.string - 1 in strings,
                    flags=_CROWDED if item.number < 0 else item.event.value.flags,
                )
                for digit in item.digits
            ]
        return []

    def _dots_width(self, dots: int) -> float:
        """From the left edge of the first dot to a little after the last one."""
        return dots * self._style.notes.dot_pitch

    def _finish(self, canvas: StaffCanvas, number: int, end: _End) -> None:
        """Draw what ends at a note: its tie, or the technique by which it is reached."""
        if end.note.tie_from:
            start = self._ties.get((number, _identity(end.note)))
            if start is not None and not start.bent:
                self._draw_tie(canvas, start.right, end.left, end._replace(direction=start.direction))
            return
        start = self._strings.get((number, end.note.string)) if end.note.string else None
        if start is None:
            return
        self._draw_join(canvas, start, end, letters=True)

    def _draw_join(self, canvas: StaffCanvas, start: _End, end: _End, letters: bool) -> None:
        """The bow or line by which the note of `end` is reached, with its letter or without."""
        for mark in end.note.marks:
            sign = self._style.signs.get(mark.name)
            if sign is None or not canvas.plan.shows(sign):
                continue
            if mark.name in _BOWS:
                self._draw_slur(canvas, start, end, sign.letters if letters else "")
            if mark.name in _SLIDES:
                self._draw_slide(canvas, start, end)

    def _draw_tie(self, canvas: StaffCanvas, x1: float, x2: float, end: _End) -> None:
        notes = self._style.notes
        gap = notes.tie_head_gap
        left, right = x1 + gap, x2 - gap
        if right - left < notes.tie_shortest and x1 == self._line_start:
            left = right - notes.tie_shortest
        y = end.y + (0.15 if self._is_tab else 0.0)
        outer, inner = place_tie(left, right, y, end.direction, notes, lines=not self._is_tab)
        canvas.marks.append(Curve(Role.TIE, outer, inner, end.source))
        apex = outer[1][1] * 0.75 + outer[0][1] * 0.25
        canvas.ink(left, right, min(outer[0][1], apex), max(outer[0][1], apex))

    def _draw_slur(self, canvas: StaffCanvas, start: _End, end: _End, letter: str) -> None:
        notes, stacking = self._style.notes, self._style.stacking
        direction = Direction.UP if self._is_tab else start.direction
        x1, y1 = self._slur_end(canvas, start, direction, 1)
        x2, y2 = self._slur_end(canvas, end, direction, -1)
        height = stacking.technique_arc_height if self._is_tab else slur_height(x2 - x1, notes)
        outer, inner = arch_points(
            x1, y1, x2, y2, direction * height, notes.tie_inset, notes.tie_end, notes.tie_middle
        )
        canvas.marks.append(Curve(Role.SLUR, outer, inner, end.source))
        for extent in arch_extents(outer):
            canvas.ink(*extent)
        apex = (y1 + y2) / 2 + direction * (height + notes.tie_middle / 2)
        if self._is_tab and letter and letter not in self._lettered:
            self._lettered.add(letter)
            self._draw_letter(canvas, start, end, apex, letter)

    def _slur_end(
        self, canvas: StaffCanvas, end: _End, direction: Direction, way: int
    ) -> tuple[float, float]:
        """Where a bow starts (`way` 1) or ends (-1): over the middle of head or digit, at its side where something is in the way."""
        gap = self._style.notes.tie_head_gap
        middle = (end.left + end.right) / 2
        side = end.right + gap if way > 0 else end.left - gap
        if not self._is_tab:
            stemmed = end.stem is direction and (direction is Direction.UP) == (way > 0)
            return side if stemmed else middle, end.y + direction * _OVER_HEAD
        if end.covered:
            return side, end.y + _BESIDE_DIGIT
        lift = self._style.staff.fret_height / 2 + _BOW_GAP
        return middle + (way * _CLEAR_OF_STEM if canvas.plan.has_rhythm else 0.0), end.y + lift

    def _draw_letter(self, canvas: StaffCanvas, start: _End, end: _End, apex: float, letter: str) -> None:
        """The technique's letter over the tab, between the two digits; over all stems where those leave no room."""
        words = self._style.words.technique
        face = text_face(words.face)
        width, top = face.width(letter, words.size), face.ink(letter, words.size).top
        x1, x2 = (start.left + start.right) / 2, (end.left + end.right) / 2
        left = (x1 + x2 - width) / 2
        stacking = self._style.stacking
        y = max(canvas.plan.height + stacking.vibrato_gap, apex + stacking.vibrato_gap / 2)
        beam = (
            canvas.plan.height
            + stacking.rhythm_stem_gap
            + stacking.rhythm_stem
            - 2 * self._style.beams.thickness
        )
        has_room = x2 - x1 > width + 2 * stacking.vibrato_gap and y + top < beam
        has_room = has_room and apex < canvas.plan.height + stacking.vibrato_gap
        if not canvas.plan.has_rhythm or not has_room or max(start.flags, end.flags) > 1:
            reach = (x1, x2) if canvas.plan.has_rhythm else (left, left + width)
            y = max(canvas.upper.height(*reach), canvas.plan.height) + stacking.vibrato_gap
        canvas.text(Role.TECHNIQUE_LETTER, left, y, letter, words.face, words.size, end.source)
        canvas.ink(left, left + width, y, y + top)

    def _draw_slide(self, canvas: StaffCanvas, start: _End, end: _End) -> None:
        """A slanted line; on a tab it rises when the fret rises."""
        gap = self._style.staff.fret_clearance
        x1, x2 = start.right + gap, end.left - gap
        if x2 - x1 < 0.5:
            x1, x2 = (x1 + x2) / 2 - 0.4, (x1 + x2) / 2 + 0.4
        y1, y2 = start.y, end.y
        if self._is_tab:
            rise = (
                canvas.plan.pitch
                * self._style.stacking.slide_tilt
                * (1 if end.note.fret >= start.note.fret else -1)
            )
            y1, y2 = start.y - rise, end.y + rise
        canvas.line(Role.SLIDE, x1, y1, x2, y2, self._style.stacking.slide_line, end.source)


def _first_note(voice: Voice, string: int) -> Note | None:
    """The note on `string` in the first event of a voice, its grace notes coming first."""
    if not voice.events:
        return None
    first = voice.events[0]
    event = first.before.events[0] if first.before is not None else first
    return next((note for note in event.notes if note.string == string), None)


def _identity(note: Note) -> int:
    """What a tie goes by: the string where there is one, else the pitch."""
    return note.string if note.string else 1000 + note.pitch.midi
