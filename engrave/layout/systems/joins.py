"""Ties, and slurs and lines that join a note to the next one on its string, over measures and lines."""

from __future__ import annotations

from fractions import Fraction

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.curves import (
    arch_extents,
    arch_points,
    decide_slur_past_arrow,
    decide_staff_slur_side,
    decide_tab_slur_side,
    slur_height,
)
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_room import NOT_BENT
from engrave.layout.measures.bent_pitches import moves_at_start
from engrave.layout.measures.ink import ChordInk, FretInk
from engrave.layout.systems.bent_notes import place_half_bend, place_held_bend
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.join_ends import JoinEnd, arriving, leaving, located
from engrave.layout.systems.placed import HeadPlace, PlacedEvent, PlacedVoice, signs_left
from engrave.layout.systems.tie_marks import TiedEnd, TieMarks
from engrave.marks.mark import Curve
from engrave.marks.role import Role
from engrave.score.joins import SLIDING, SLURRED, Joins, NoteAt, events_in_order, note_at
from engrave.score.structure import PartMeasure, Voice
from engrave.style.sections import Style

_NUDGE = 0.2
"""A letter moves along its slur in such steps to clear digits (algorithm: step of a search)."""


class JoinPlacer:
    """Draws what joins notes on one staff. It remembers open ends from measure to measure and from line to line."""

    def __init__(self, style: Style, face: MusicFace, is_tab: bool, joins: Joins) -> None:
        """A placer at the start of the piece, for a part with these `joins`."""
        self._face = face
        self._joins = joins
        self._style = style
        self._is_tab = is_tab
        digit = text_face(style.staff.fret_face).ink("0", 1.0)
        self._half_digit = style.staff.fret_height / digit.top * (digit.right - digit.left) / 2
        self._ties = TieMarks(style, is_tab)
        self._open: dict[NoteAt, JoinEnd] = {}
        """The notes of the last event of each voice from which a join may lead on."""
        self._line_start = 0.0
        self._letters: list[tuple[float, float, float]] = []
        """Left, right and y of the letters of this line."""
        self._lettered: set[str] = set()
        """Letters that the event at hand has: strings played alike share one."""
        self._wall = (0.0, 0.0)
        """From the end of the last measure to the start of this one: the barline, and signs after it."""
        self._end = 0.0

    def start_line(self, x: float) -> None:
        """A new line: open ends go on from `x`, the end of its signs."""
        self._line_start = self._end = x
        self._letters.clear()
        for at, end in self._open.items():
            self._open[at] = end._replace(left=x, right=x, tie_from=x, signs_left=None, is_continued=True)

    def end_line(self, canvas: StaffCanvas, x: float, following: PartMeasure | None) -> None:
        """Draw the first halves of what goes on to the next line; `x` is the last barline.

        `following` is the part's measure that starts the next line.
        """
        for at, start in self._open.items():
            for join in self._joins.leading.get(at, ()):
                note = note_at(following, join.stop) if following is not None else None
                if note is None or note.tie_from or not note.string:
                    continue
                half = self._style.stacking.slide_half_rise
                rise = 0.0 if self._is_tab else (1 if note.fret > start.note.fret else -1) * half
                slides = any(technique.sign in SLIDING for technique in note.techniques)
                end = start._replace(
                    left=x, right=x, y=start.y + (rise if slides else 0.0), note=note, signs_left=None
                )
                self._draw_join(canvas, start, end, letters=False)
        for at, end in self._open.items():
            if end.note.tie_to and not end.bent and not self._bends_on(canvas, at, end, x, following):
                edge = x - self._style.notes.half_tie_gap
                self._ties.place(
                    canvas,
                    self._tied(end),
                    TiedEnd(edge, edge, is_open=True),
                    y=end.y,
                    side=end.direction,
                    source=end.source,
                )

    def _bends_on(
        self, canvas: StaffCanvas, at: NoteAt, end: JoinEnd, x: float, following: PartMeasure | None
    ) -> bool:
        """Draw the first half of an angular slur up to `x` where the bend of a note moves with the next line."""
        held = self._joins.held_to.get(at)
        if self._is_tab or self._style.notes.bends != "sounding" or held is None or following is None:
            return False
        if not moves_at_start(note_at(following, held), self._joins.bent.get(held, Fraction(0))):
            return False
        head = HeadPlace(end.left, end.right, end.y)
        place_half_bend(canvas, head, x, end.direction, self._style.notes, source=end.source)
        return True

    def start_measure(self, left: float, right: float) -> None:
        """The next measure of the line lies between `left` and `right`."""
        self._wall, self._end = (self._end, left), right

    def place(self, canvas: StaffCanvas, voice: PlacedVoice, written: Voice, at: NoteAt) -> None:
        """Draw the joins of a voice in one measure; `written` are its events, `at` is where the first of them stands."""
        if not self._open and (at.measure, at.voice) not in self._joins.joining_voices:
            return
        orders = iter(enumerate(events_in_order(written)))
        for event in voice.events:
            number = next(order for order, own in orders if own is event.item.event)
            ends: list[JoinEnd] = []
            if (at.measure, at.voice, number) in self._joins.joined:
                here = at._replace(event=number)
                ends = [located(end, event, here) for end in self._ends(canvas, event, voice.side)]
                if ends and ends[0].slur is Direction.DOWN:  # the outermost slur has the letter
                    ends.reverse()
                self._lettered.clear()
                ends = [self._finish(canvas, end) for end in ends]
            if self._open:
                self._open = {spot: end for spot, end in self._open.items() if spot.voice != at.voice}
            self._open.update((end.at, leaving(end)) for end in ends if end.at is not None)

    def _ends(self, canvas: StaffCanvas, event: PlacedEvent, side: Direction | None) -> list[JoinEnd]:
        item = event.item
        if isinstance(item, ChordInk):
            right = event.right
            stem = item.direction if event.has_stem else None
            if item.dot_positions:
                right = event.x + item.dot_dx + self._dots_width(item.event.value.dots)
            ends = [
                JoinEnd(
                    event.left,
                    right,
                    p / 2,
                    tie.side,
                    note,
                    source,
                    tie_from=max(right, event.x + tie.clear),
                    has_flag=tie.clear > 0,
                    stem=stem,
                    signs_left=signs_left(event, item, p, self._face, self._style),
                )
                for p, tie, note, source in zip(
                    item.positions, item.ties, item.notes, item.sources, strict=True
                )
            ]
            return [arriving(end, event) for end in ends] if event.bent else ends
        if isinstance(item, FretInk) and not item.digits:  # ties of slashes stand over their middles
            note, middle = item.event.notes[0], event.stem_x
            return [JoinEnd(middle, middle, event.y_high, Direction.UP, note, item.source, tie_from=middle)]
        if isinstance(item, FretInk):
            plan = canvas.plan
            slur = decide_tab_slur_side(event.direction if plan.has_rhythm else None, side)
            strings = item.bends.strings or (NOT_BENT,) * len(item.digits)
            ends = [
                JoinEnd(
                    event.stem_x - digit.centre,
                    event.stem_x + digit.right,
                    (plan.lines - digit.string) * plan.pitch,
                    Direction.UP,
                    digit.note,
                    digit.source,
                    tie_from=event.stem_x + digit.right,
                    string=digit.string,
                    bent=bend.ends_bent,
                    has_arrow=bool(bend.steps),
                    slur=slur,
                    covered=not canvas.is_between_digits(event.stem_x, event.stem_x, digit.string - slur),
                )
                for digit, bend in zip(item.digits, strings, strict=True)
            ]
            return [arriving(end, event) for end in ends] if event.bent else ends
        return []

    def _dots_width(self, dots: int) -> float:
        """From the left edge of the first dot to a little after the last one."""
        return dots * self._style.notes.dot_pitch

    def _finish(self, canvas: StaffCanvas, end: JoinEnd) -> JoinEnd:
        """Draw what ends at a note: its tie, or the technique by which it is reached. `end`, told which side that stands."""
        if end.note.tie_from:
            held = self._joins.held_from.get(end.at) if end.at is not None else None
            start = self._open.get(held) if held is not None else None
            if start is not None and not start.bent:
                if start.y != end.y:
                    self._draw_bend(canvas, start, end)
                    return end
                stop = TiedEnd(end.left, (end.left + end.right) / 2)
                self._ties.place(
                    canvas, self._tied(start), stop, y=end.y, side=start.direction, source=end.source
                )
            return end
        join = self._joins.reached.get(end.at) if end.at is not None and end.note.string else None
        start = self._open.get(join.start) if join is not None and join.start is not None else None
        if join is None or start is None:
            return end
        self._draw_join(canvas, start, end, letters=True)
        slurred = not SLURRED.isdisjoint(join.signs)
        return end._replace(arrived=self._slur_side(start, end)) if slurred else end

    def _slur_side(self, start: JoinEnd, end: JoinEnd) -> Direction:
        if self._is_tab:
            return decide_slur_past_arrow(end.slur, start.has_arrow)
        return decide_staff_slur_side(start.direction, start.arrived)

    def _draw_join(self, canvas: StaffCanvas, start: JoinEnd, end: JoinEnd, letters: bool) -> None:
        """The slur or line by which the note of `end` is reached, with its letter or without."""
        for technique in end.note.techniques:
            sign = self._style.signs.get(technique.sign)
            if sign is None or not canvas.plan.shows(sign):
                continue
            if technique.sign in SLURRED:
                self._draw_slur(canvas, start, end, sign.letters if letters else "")
            if technique.sign in SLIDING:
                self._draw_slide(canvas, start, end)

    def _tied(self, start: JoinEnd) -> TiedEnd:
        """A note as the start of a tie."""
        middle = (start.left + start.right) / 2
        return TiedEnd(start.tie_from, middle, start.is_continued, is_blocked=start.has_flag)

    def _draw_bend(self, canvas: StaffCanvas, start: JoinEnd, end: JoinEnd) -> None:
        """The angular slur to a note that a tie holds while its bend moves."""
        side, is_half = end.direction, start.right == self._line_start
        place_held_bend(
            canvas,
            self._slur_end(canvas, start, side, 1),
            self._slur_end(canvas, end, side, -1),
            side,
            is_half,
            notes=self._style.notes,
            source=end.source,
        )

    def _draw_slur(self, canvas: StaffCanvas, start: JoinEnd, end: JoinEnd, letter: str) -> None:
        notes, stacking = self._style.notes, self._style.stacking
        direction = self._slur_side(start, end)
        x1, y1 = self._slur_end(canvas, start, direction, 1)
        x2, y2 = self._slur_end(canvas, end, direction, -1)
        height = stacking.technique_arc_height if self._is_tab else slur_height(x2 - x1, notes)
        outer, inner = arch_points(
            x1,
            y1,
            x2,
            y2,
            height=direction * height,
            inset=notes.tie_inset,
            end=notes.tie_end,
            middle=notes.tie_middle,
        )
        canvas.marks.append(Curve(Role.SLUR, outer, inner, end.source))
        for extent in arch_extents(outer):
            canvas.ink(*extent)
        if self._is_tab and letter and letter not in self._lettered:
            self._lettered.add(letter)
            self._draw_letter(canvas, start, end, direction, letter)

    def _slur_end(
        self, canvas: StaffCanvas, end: JoinEnd, direction: Direction, way: int
    ) -> tuple[float, float]:
        """Where a slur starts (`way` 1) or ends (-1): at the middle of head or digit, at its side where something is in the way."""
        gap = self._style.notes.tie_head_gap
        middle = (end.left + end.right) / 2
        side = end.right + gap if way > 0 else end.left - gap
        if not self._is_tab:
            stemmed = end.stem is direction and (direction is Direction.UP) == (way > 0)
            return side if stemmed else middle, end.y + direction * self._style.notes.slur_over_head
        if end.covered:
            return side, end.y + direction * self._style.stacking.slur_beside_digit
        return middle, end.y + direction * (
            self._style.staff.fret_height / 2 + self._style.stacking.slur_digit_gap
        )

    def _draw_letter(
        self, canvas: StaffCanvas, start: JoinEnd, end: JoinEnd, direction: Direction, letter: str
    ) -> None:
        """The technique's letter next to the slur: in the space beyond the next string's line, outside the tab if that is taken."""
        words, stacking, plan = self._style.words.technique, self._style.stacking, canvas.plan
        face = text_face(words.face)
        ink = face.ink(letter, words.size)
        width, top = ink.right - ink.left, ink.top
        middle = (start.left + start.right + end.left + end.right) / 4 - width / 2
        if middle + width > self._wall[0] - stacking.side_gap and middle < self._wall[1] + stacking.side_gap:
            middle = self._wall[1] + stacking.side_gap
        y = end.y + direction * 1.5 * plan.pitch - top / 2
        reach = max(_NUDGE, (end.left + end.right - start.left - start.right) / 4)
        steps = [step * _NUDGE for step in range(int(reach / _NUDGE + 1e-6) + 1)]
        tries = (middle + dx for step in steps for dx in (-step, step))
        left = next(
            (x for x in tries if self._has_room(canvas, end.string, direction, x, x + width, y)), None
        )
        if left is None:
            left = middle
            if direction is Direction.UP:
                y = max(canvas.upper.height(left, left + width), plan.height) + stacking.sign_gap
            else:
                y = min(canvas.lower.height(left, left + width), 0.0) - stacking.sign_gap - top
        self._letters.append((left, left + width, y))
        canvas.text(
            Role.TECHNIQUE_LETTER,
            left - ink.left,
            y,
            letter,
            face=words.face,
            size=words.size,
            source=end.source,
        )
        canvas.ink(left, left + width, y, y + top)

    def _has_room(
        self, canvas: StaffCanvas, string: int, direction: Direction, left: float, right: float, y: float
    ) -> bool:
        """True when a letter beyond the line next to `string` keeps half a digit's width from digits, and clear of letters."""
        white = self._half_digit - self._style.staff.fret_clearance
        beyond = string - direction, string - 2 * direction
        return canvas.is_between_digits(left - white, right + white, *beyond) and all(
            stop + self._style.stacking.sign_gap <= left
            or right + self._style.stacking.sign_gap <= start
            or height != y
            for start, stop, height in self._letters
        )

    def _draw_slide(self, canvas: StaffCanvas, start: JoinEnd, end: JoinEnd) -> None:
        """A slanted line; on a tab, and between two heads of one height, it rises when the fret rises."""
        gap = self._style.staff.fret_clearance
        x1, x2 = start.right + gap, (end.left if end.signs_left is None else end.signs_left) - gap
        if x2 - x1 < self._style.stacking.slide_crowded:
            half = self._style.stacking.slide_least / 2
            x1, x2 = (x1 + x2) / 2 - half, (x1 + x2) / 2 + half
        y1, y2 = start.y, end.y
        if self._is_tab or y1 == y2:
            up = 1 if end.note.fret >= start.note.fret else -1
            rise = canvas.plan.pitch * self._style.stacking.slide_tilt * up
            y1, y2 = y1 - rise, y2 + rise
        canvas.line(Role.SLIDE, x1, y1, x2, y2=y2, width=self._style.stacking.slide_line, source=end.source)
