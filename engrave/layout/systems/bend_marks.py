"""Bent strings: arrows up and down with their amounts, and the dashed line of a bend that is held."""

from __future__ import annotations

from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_room import bend_steps, step_width
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.placed import PlacedEvent, PlacedVoice, note_places
from engrave.marks.mark import Curve, Line, Polygon, Source
from engrave.marks.role import Role
from engrave.style.sections import Style
from engrave.theory.bends import BendKind, BendStep, amount_label


class _Bent(NamedTuple):
    """A bent note: its string (or 0), the height of its head or digit, its right edge, how it is bent."""

    string: int
    y: float
    right: float
    steps: tuple[BendStep, ...]
    source: Source
    goes_on: bool


class _Held(NamedTuple):
    """A string that stays bent under a tie: where its line goes on from."""

    x: float
    y: float
    source: Source


class _Pen(NamedTuple):
    """Where the arrow has come to."""

    x: float
    y: float
    at_fret: bool


class BendPlacer:
    """Places the bends of one staff. It remembers bends held under ties from measure to measure and line to line."""

    def __init__(self, style: Style) -> None:
        """Use the distances of `style`."""
        self._style = style
        self._held: dict[tuple[int, int], _Held] = {}

    def start_line(self, x: float) -> None:
        """A new line: held bends go on from `x`."""
        self._held = {key: held._replace(x=x) for key, held in self._held.items()}

    def end_line(self, canvas: StaffCanvas, x: float) -> None:
        """Bends that are held into the next line reach to the last barline, `x`."""
        for held in self._held.values():
            self._place_hold(canvas, held, x)

    def place(self, canvas: StaffCanvas, number: int, voice: PlacedVoice, end_x: float) -> None:
        """Draw the bends of voice `number` in one measure that ends at `end_x`."""
        if not canvas.plan.shows(self._style.signs["bend"]):
            return
        for index, event in enumerate(voice.events):
            next_x = voice.events[index + 1].left if index + 1 < len(voice.events) else end_x
            self._place_event(canvas, number, event, next_x)

    def _place_event(self, canvas: StaffCanvas, number: int, event: PlacedEvent, next_x: float) -> None:
        bent: list[_Bent] = []
        for place in note_places(canvas.plan, event):
            note = place.note
            held = self._held.pop((number, note.string), None) if note.tie_from else None
            steps = bend_steps(note)
            if held is not None:
                self._place_hold(canvas, held, event.stem_x if steps or note.tie_to else event.right)
                if steps:
                    self._finish(canvas, held._replace(x=event.stem_x), place.y, steps, next_x)
                elif note.tie_to:
                    self._held[number, note.string] = held._replace(x=event.stem_x)
            elif steps:
                bent.append(_Bent(note.string, place.y, place.right, steps, place.source, note.tie_to))
        for key in [
            key for key in self._held if key[0] == number and key not in _open_strings(number, event)
        ]:
            del self._held[key]
        self._place_bent(canvas, number, event, bent, next_x)

    def _place_bent(
        self, canvas: StaffCanvas, number: int, event: PlacedEvent, bent: list[_Bent], next_x: float
    ) -> None:
        """Strings bent alike share one arrow; others stand further to the right."""
        groups: dict[tuple[BendStep, ...], list[_Bent]] = {}
        for item in bent:
            groups.setdefault(item.steps, []).append(item)
        aside = 0.0
        for steps, members in groups.items():
            rhythm = canvas.plan.is_tab and canvas.plan.has_rhythm
            inside = rhythm and event.has_stem and event.direction is Direction.UP
            right = max(member.right for member in members) + self._style.staff.fret_clearance / 2 + aside
            width = step_width(self._style, inside)
            reach = right + width * len(steps)
            top = self._top(canvas, event.left, reach, inside)
            start = event.stem_x if _is_pre(steps) and not rhythm else right
            if _is_pre(steps) and rhythm:
                start += self._style.stacking.bend_arrow / 2
            pens = [_Pen(start, member.y, True) for member in members]
            first = min(members, key=lambda member: -member.y)
            end = _Pen(0.0, 0.0, True)
            for member, pen in zip(members, pens, strict=True):
                end = self._place_steps(
                    canvas, pen, member, top, inside, labels=member is first, next_x=next_x
                )
            if first.goes_on and not end.at_fret:
                for member in members:
                    self._held[number, member.string] = _Held(end.x, end.y, member.source)
            aside += width

    def _top(self, canvas: StaffCanvas, left: float, right: float, inside: bool) -> float:
        stacking = self._style.stacking
        if inside:
            return canvas.plan.height + stacking.rhythm_bend_height
        return max(canvas.upper.height(left, right), canvas.plan.height) + stacking.bend_height

    def _place_steps(
        self,
        canvas: StaffCanvas,
        pen: _Pen,
        bent: _Bent,
        top: float,
        inside: bool,
        labels: bool,
        next_x: float,
    ) -> _Pen:
        """Draw all steps of one string's bend; where the arrow ends."""
        stacking = self._style.stacking
        highest = 0.0
        for number, step in enumerate(bent.steps):
            following = bent.steps[number + 1].kind if number + 1 < len(bent.steps) else None
            if step.kind is BendKind.HOLD:
                self._place_hold(canvas, _Held(pen.x, pen.y, bent.source), next_x - stacking.padding)
                continue
            width = stacking.bend_arrow * 1.4 if pen.at_fret else step_width(self._style, inside)
            if step.kind is BendKind.PRE_BEND:
                goal = _Pen(pen.x, top, False)
                foot = bent.y if inside else bent.y + self._clear()
                self._place_stroke(canvas, pen.x, foot, pen.x, top, bent.source)
            elif step.kind is BendKind.BEND:
                raised = stacking.rhythm_bend_level if inside else stacking.bend_level
                goal = _Pen(pen.x + width, top if pen.at_fret else pen.y + raised, False)
                self._place_curve(canvas, pen, goal, bent.source)
            else:
                partly = step.semitones > 0
                low = canvas.plan.height + stacking.bend_partly if partly else bent.y
                goal = _Pen(pen.x + width, low, not partly)
                self._place_curve(canvas, pen, goal, bent.source)
            highest = max(highest, goal.y)
            if labels and step.semitones > 0:
                side = 1 if inside or step.kind is BendKind.RELEASE else 0
                if following is BendKind.BEND and not inside:
                    side = -1
                self._place_label(canvas, goal, amount_label(step.semitones), side, bent.source)
            pen = goal
        return pen

    def _clear(self) -> float:
        """From the middle of a digit to where a vertical arrow over it may start."""
        return self._style.staff.fret_height / 2 + self._style.staff.fret_clearance

    def _finish(
        self, canvas: StaffCanvas, held: _Held, y: float, steps: tuple[BendStep, ...], next_x: float
    ) -> None:
        """What happens to a string that was held bent: further steps from where its line has come to."""
        bent = _Bent(0, y, held.x, steps, held.source, False)
        self._place_steps(
            canvas, _Pen(held.x, held.y, False), bent, held.y, False, labels=True, next_x=next_x
        )

    def _place_curve(self, canvas: StaffCanvas, start: _Pen, end: _Pen, source: Source) -> None:
        """From `start` sideways, then up or down to `end`, with an arrow head there."""
        half = self._style.stacking.bend_line / 2
        head = self._style.stacking.bend_arrow
        way = 1 if end.y > start.y else -1
        low = end.y - way * head * 0.8
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
        canvas.ink(start.x, end.x + head * 0.4, min(start.y, end.y), max(start.y, end.y))

    def _place_stroke(
        self, canvas: StaffCanvas, x1: float, y1: float, x2: float, y2: float, source: Source
    ) -> None:
        """A straight arrow upwards."""
        stacking = self._style.stacking
        canvas.line(Role.BEND_ARROW, x1, y1, x2, y2 - stacking.bend_arrow * 0.8, stacking.bend_line, source)
        self._place_head(canvas, x2, y2, 1, source)
        half = stacking.bend_arrow * 0.4
        canvas.ink(x1 - half, x1 + half, y1, y2)

    def _place_head(self, canvas: StaffCanvas, x: float, y: float, way: int, source: Source) -> None:
        head = self._style.stacking.bend_arrow
        foot = y - way * head
        canvas.marks.append(
            Polygon(Role.BEND_ARROW, ((x - head * 0.4, foot), (x + head * 0.4, foot), (x, y)), source)
        )

    def _place_hold(self, canvas: StaffCanvas, held: _Held, x: float) -> None:
        """The dashed line of a bend that is kept, up to `x`."""
        stacking = self._style.stacking
        if x - held.x < stacking.bend_arrow:
            return
        dash = (stacking.span_dash / 2, stacking.span_dash_gap / 2)
        line = Line(Role.BEND_ARROW, held.x, held.y, x, held.y, stacking.bend_line, held.source, dash)
        canvas.marks.append(line)
        canvas.ink(held.x, x, held.y, held.y)

    def _place_label(self, canvas: StaffCanvas, tip: _Pen, label: str, side: int, source: Source) -> None:
        """The amount over the arrow's tip: in the middle (0) or to the left (-1); or at its right (1)."""
        words, stacking = self._style.words.bend, self._style.stacking
        face = text_face(words.face)
        width, ink = face.width(label, words.size), face.ink(label, words.size)
        left, y = tip.x - width / 2, tip.y + stacking.padding / 2
        if side < 0:
            left = tip.x + stacking.bend_arrow / 2 - width
        elif side > 0:
            left = tip.x + stacking.bend_arrow / 2 + stacking.padding / 4
            y = max(tip.y - ink.top - stacking.padding * 0.8, canvas.plan.height + stacking.padding / 2)
        canvas.text(Role.BEND_AMOUNT, left, y, label, words.face, words.size, source)
        canvas.ink(left, left + width, y, y + ink.top)


def _is_pre(steps: tuple[BendStep, ...]) -> bool:
    return steps[0].kind is BendKind.PRE_BEND


def _open_strings(number: int, event: PlacedEvent) -> set[tuple[int, int]]:
    """The strings of an event that are tied on, as keys of held bends."""
    return {(number, note.string) for note in event.item.event.notes if note.tie_to}
