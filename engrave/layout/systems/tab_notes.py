"""Digits of one measure on a tab, the lines broken behind them, and the rhythm's stems where the tab carries it."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.fonts.symbols import MusicFace
from engrave.layout.beams import Beam, SlopeReason
from engrave.layout.direction import Direction
from engrave.layout.lines.frames import MeasureFrame
from engrave.layout.measures.bend_room import amounts_top, decide_low_tips, decide_upright_tip
from engrave.layout.measures.chords import flag_glyph
from engrave.layout.measures.heads import decide_slash
from engrave.layout.measures.ink import FretInk, RestInk, VoiceInk
from engrave.layout.systems.beam_marks import Stem, place_beams
from engrave.layout.systems.bend_landings import place_landings
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.digit_marks import place_digits
from engrave.layout.systems.grace_notes import GracePlacer, grace_xs
from engrave.layout.systems.placed import PlacedEvent, PlacedVoice, event_end_x
from engrave.layout.systems.staff_notes import place_rest
from engrave.marks.mark import Box, Line
from engrave.marks.role import Role
from engrave.style.sections import Style


class TabNotePlacer:
    """Places the voices of a tab for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._graces = GracePlacer(style, face)
        self._centre = face.glyph("noteheadBlack").box.right / 2

    def place(self, canvas: StaffCanvas, frame: MeasureFrame, voice: VoiceInk) -> PlacedVoice:
        """Draw one voice."""
        side = voice.tab_stems
        tips = self._place_stems(canvas, frame, voice, side) if canvas.plan.has_rhythm else {}
        events = []
        for item in voice.items:
            if isinstance(item, FretInk):
                if item.before is not None:
                    xs = grace_xs(frame, canvas.plan.part, item.column, False, self._style)
                    events.extend(self._graces.place_on_tab(canvas, item.before, xs, side))
                events.append(self._place_digits(canvas, item, frame, side, tips))
                if item.after is not None:
                    xs = grace_xs(frame, canvas.plan.part, item.column, True, self._style)
                    events.extend(self._graces.place_on_tab(canvas, item.after, xs, side))
            elif isinstance(item, RestInk):
                events.append(
                    place_rest(canvas, item, frame.xs[item.column], voice.direction, self._face, self._style)
                )
        return PlacedVoice(tuple(events), voice.direction)

    def _place_digits(
        self,
        canvas: StaffCanvas,
        fret: FretInk,
        frame: MeasureFrame,
        side: Direction,
        tips: dict[int, float],
    ) -> PlacedEvent:
        x = frame.xs[fret.column]
        middle = x + self._centre
        if fret.digits:
            box = place_digits(canvas, fret.digits, middle)
        else:
            box = self._place_slash(canvas, fret, middle)
        end_x = event_end_x(frame, fret.event, self._style) if fret.bends.strings else 0.0
        tip = tips.get(fret.number)
        bottom, top = box.bottom, box.top
        if tip is not None:
            bottom, top = min(bottom, tip), max(top, tip)
        return PlacedEvent(
            item=fret,
            x=x,
            left=box.left,
            right=box.right,
            bottom=bottom,
            top=top,
            y_low=box.bottom,
            y_high=box.top,
            direction=side,
            has_stem=tip is not None,
            stem_x=middle,
            tip=tip or 0.0,
            bent=place_landings(canvas.plan, fret, x, middle, end_x),
            end_x=end_x,
        )

    def _place_slash(self, canvas: StaffCanvas, fret: FretInk, middle: float) -> Box:
        """A rhythm slash in the middle of the tab; its box."""
        glyph = decide_slash(fret.event.value.denominator)
        ink = self._face.glyph(glyph).box
        y, half = canvas.plan.height / 2, ink.right / 2
        box = Box(middle - half, y + ink.bottom, middle + half, y + ink.top)
        canvas.glyph(Role.NOTEHEAD, box.left, y, glyph, fret.source)
        canvas.ink(box.left, box.right, box.bottom, box.top)
        return box

    def _place_stems(
        self, canvas: StaffCanvas, frame: MeasureFrame, voice: VoiceInk, side: Direction
    ) -> dict[int, float]:
        """Draw stems, flags, beams and dots outside the tab; the y of each stem's free end by event index."""
        frets = {item.number: item for item in voice.items if isinstance(item, FretInk)}
        groups = [(group, [frets[i] for i in group.members if i in frets]) for group in voice.rhythm.beams]
        groups = [(group, members) for group, members in groups if len(members) > 1]
        edges = {
            fret.number: self._beam_edge(canvas, members, side) for _, members in groups for fret in members
        }
        tips: dict[int, float] = {}
        for fret in frets.values():
            x = frame.xs[fret.column] + self._centre
            tip = self._place_stem(canvas, fret, x, side, edges.get(fret.number))
            if tip is not None:
                tips[fret.number] = tip
        half_beam = self._style.beams.thickness / 2
        for group, members in groups:
            stems = [
                Stem(
                    event=fret.number,
                    x=frame.xs[fret.column] + self._centre,
                    near=self._root(canvas, side),
                    beams=fret.event.value.flags,
                    onset=fret.event.onset,
                    length=fret.event.length,
                    source=fret.source,
                )
                for fret in members
            ]
            y = edges[members[0].number] - side * half_beam
            place_beams(canvas, group, stems, Beam(y, y, SlopeReason.TAB), side, self._style)
        return tips

    def _root(self, canvas: StaffCanvas, side: Direction) -> float:
        """Where stems start: just outside the outer line."""
        gap = self._style.stacking.rhythm_stem_gap
        return canvas.plan.height + gap if side is Direction.UP else -gap

    def _stem_root(self, canvas: StaffCanvas, fret: FretInk, side: Direction) -> float:
        """Where one stem starts: it gives way to the arrow of a string bent before it is played."""
        root = self._root(canvas, side)
        if side is Direction.DOWN or not fret.bends.is_upright_over_digit:
            return root
        row = decide_low_tips(canvas.plan.height, self._style)
        highest = max(_heights(canvas, fret))
        return max(root, decide_upright_tip(highest, row, self._style) + self._style.stacking.sign_gap)

    def _beam_y(self, canvas: StaffCanvas, side: Direction) -> float:
        return self._root(canvas, side) + side * self._style.stacking.rhythm_stem

    def _beam_edge(self, canvas: StaffCanvas, frets: Sequence[FretInk], side: Direction) -> float:
        """The outer edge of the beams of a group: further out where they would touch the amounts of its bends."""
        usual, beams = self._beam_y(canvas, side), self._style.beams
        bent = [fret for fret in frets if fret.bends.between_stems]
        if side is Direction.DOWN or not bent:
            return usual
        top = max(
            amounts_top(fret.bends, _heights(canvas, fret), canvas.plan.height, self._style) for fret in bent
        )
        count = max(fret.event.value.flags for fret in frets)
        thick = count * beams.thickness + (count - 1) * beams.gap
        return max(usual, top + self._style.stacking.rhythm_bend_to_beam + thick)

    def _free_end(self, canvas: StaffCanvas, fret: FretInk, root: float, side: Direction) -> float:
        """Where a stem without a beam ends that starts at `root`: a half's is shorter, but never a mere dot."""
        stacking, value = self._style.stacking, fret.event.value
        if value.denominator == 2:
            usual = self._root(canvas, side) + side * stacking.rhythm_half_stem
            return max(usual, root + stacking.rhythm_stem_least) if side is Direction.UP else usual
        flags = max(0, value.flags - 2) if fret.beam < 0 else 0
        return self._root(canvas, side) + side * (stacking.rhythm_stem + flags * self._style.notes.flag_pitch)

    def _place_stem(
        self, canvas: StaffCanvas, fret: FretInk, x: float, side: Direction, edge: float | None
    ) -> float | None:
        """Draw one stem with its flags and dots, up to the outer `edge` of its beams; the y of its free end, None for a whole note."""
        notes = self._style.notes
        value = fret.event.value
        root = self._stem_root(canvas, fret, side)
        for number in range(value.dots):
            dot_x = x + notes.dot_gap + number * notes.dot_pitch
            canvas.glyph(Role.DOT, dot_x, root + side * notes.dot_gap, "augmentationDot", fret.source)
        if value.denominator == 1:
            return None
        tip = edge if edge is not None else self._free_end(canvas, fret, root, side)
        half = notes.stem / 2
        canvas.marks.append(
            Line(role=Role.STEM, x1=x, y1=root, x2=x, y2=tip, width=notes.stem, source=fret.source)
        )
        canvas.ink(x - half, x + half, min(root, tip), max(root, tip))
        if value.flags and fret.beam < 0:
            glyph = flag_glyph(value.flags, side)
            canvas.glyph(Role.FLAG, x - half, tip, glyph, fret.source)
            box = self._face.glyph(glyph).box
            canvas.ink(x, x + box.right, tip + box.bottom, tip + box.top)
        return tip


def _heights(canvas: StaffCanvas, fret: FretInk) -> list[float]:
    """The heights of the digits of an event."""
    return [(canvas.plan.lines - digit.string) * canvas.plan.pitch for digit in fret.digits]
