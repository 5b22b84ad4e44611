"""Signs that stand over or under one event, where the style's table of signs says: articulations, strokes, ornaments, fingers."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from functools import partial
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.mark_lanes import MarkLanes, RowSign
from engrave.layout.systems.placed import PlacedEvent
from engrave.marks.mark import Box, Glyph, Text
from engrave.marks.role import Role
from engrave.score.sign_list import SignName
from engrave.style.sections import Style
from engrave.style.words import SignStyle
from engrave.theory.accidentals import Accidental

DRAWN_APART = frozenset(
    [SignName.VIBRATO, SignName.WIDE_VIBRATO, SignName.VIBRATO_BAR, SignName.FINGER, SignName.SLUR]
)
"""Signs in the lanes that are neither a symbol nor letters alone."""
_TALL_LETTER = "T"
"""Letters of one row stand on one baseline: all are taken to be as tall as this one."""
_ARTICULATIONS = (
    SignName.STACCATO,
    SignName.STACCATISSIMO,
    SignName.TENUTO,
    SignName.ACCENT,
    SignName.SOFT_ACCENT,
    SignName.STRONG_ACCENT,
)


class StackedSign(NamedTuple):
    """A sign over or under an event by its name in the styles, and what it shows of its note.

    `letters` stand instead of the style's, `string` is the number in a ring, `accidental` that of an ornament.
    """

    name: str
    letters: str = ""
    string: int = 0
    accidental: Accidental | None = None


_HALF_SPACE = 0.45
"""Notes lie half a space apart: what is nearer is at the same height, but for rounding (fact)."""


class Around(NamedTuple):
    """What stands about an event: the left edge of its grace notes, that of what follows it, and the measure's right edge."""

    start: float
    end: float
    wall: float


class _Shape(NamedTuple):
    """A sign to be drawn with its foot at y = 0, its ink, and how far letters that stand below are let down."""

    mark: Glyph | Text
    box: Box
    tall: float = 0.0


class StackPlacer:
    """Places stacked signs for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the signs of `style` and the symbols of `face`."""
        self._style = style
        self._face = face

    def add(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        wanted: Iterable[StackedSign],
        side: Direction | None,
        around: Around,
        lanes: MarkLanes,
    ) -> None:
        """Let the signs of one event wait in `lanes`; `side` is its voice's side where the staff has two voices."""
        signs = self._style.signs
        found = dict.fromkeys(sign for sign in wanted if sign.name in signs)
        taken: set[float] = set()  # spaces of the staff, by the height of their middle
        stem = event.direction if event.has_stem else None
        sides = {
            sign: decide_sign_side(signs[sign.name].side, side, stem, canvas.plan.is_tab) for sign in found
        }
        for stacked in decide_stack_order(sides):
            name, sign = stacked.name, signs[stacked.name]
            if name in DRAWN_APART or not sign.stands_outside or not canvas.plan.shows(sign):
                continue
            if sign.of == "after" and sign.glyph:
                lanes.add(sign.order, partial(self._place_after, canvas, event, name, side, around.end))
                continue
            direction = sides[stacked]
            if sign.glyph:
                shape = self._symbol(event, stacked, sign, direction)
            else:
                shape = self._word(event, stacked, sign, around)
            self._add_shape(canvas, event, sign, shape, direction, taken=taken, lanes=lanes)

    def _place_after(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        name: str,
        side: Direction | None,
        end: float,
    ) -> None:
        """A breath outside the staff or a caesura through its outer line, before what follows; a caesura stands outside where a beam is."""
        sign, stacking = self._style.signs[name], self._style.stacking
        box = Box(*(edge * sign.size for edge in self._face.glyph(sign.glyph).box))
        x = max(event.right, end - stacking.sign_gap - box.right)
        way = Direction.DOWN if side is Direction.DOWN else Direction.UP
        skyline = canvas.lower if way is Direction.DOWN else canvas.upper
        line = 0.0 if way is Direction.DOWN else canvas.plan.height
        start = event.left if canvas.plan.is_tab else max(x + box.left, event.right + stacking.side_gap)
        taken = skyline.height(start, x + box.right)
        if name == SignName.CAESURA and (canvas.plan.is_tab or taken == line):
            y = line - (box.bottom + box.top) / 2
        else:
            y = taken + way * stacking.breath_lift - (box.top if way is Direction.DOWN else box.bottom)
        canvas.marks.append(Glyph(_role(name), x, y, sign.glyph, event.item.source, sign.size))
        canvas.ink(x + box.left, x + box.right, y + box.bottom, y + box.top)

    def _symbol(
        self, event: PlacedEvent, stacked: StackedSign, sign: SignStyle, direction: Direction
    ) -> _Shape:
        """A sign of the music face over the middle of its event, or right of it."""
        middle = (event.left + event.right) / 2
        if sign.of == "late":
            middle = event.right + self._style.stacking.delay
        glyph, size = self._glyph(sign.glyph, direction), sign.size
        if stacked.string:
            glyph = f"{sign.glyph[:-1]}{stacked.string}"
        if stacked.accidental is not None:
            glyph, size = stacked.accidental.glyph, size * self._style.notes.grace_size
        box = Box(*(edge * size for edge in self._face.glyph(glyph).box))
        x = middle - (box.left + box.right) / 2
        lift = -min(0.0, box.bottom) if direction is Direction.UP else -max(0.0, box.top)
        drawn = Glyph(_role(stacked.name), x, lift, glyph, event.item.source, size)
        return _Shape(drawn, box.shifted(x, lift))

    def _word(self, event: PlacedEvent, stacked: StackedSign, sign: SignStyle, around: Around) -> _Shape:
        """Letters over the middle of their event, those that tell what starts there from its left edge."""
        text = stacked.letters or sign.letters
        words = self._style.words.technique
        face, size = text_face(words.face), words.size * sign.size
        width, tall, ink = face.width(text, size), face.ink(_TALL_LETTER, size).top, face.ink(text, size)
        start = around.start if sign.of == "graces" else event.left
        left = start if sign.of == "start" else (start + event.right - width) / 2
        left = min(left, around.wall - self._style.stacking.articulation_gap - width)
        drawn = Text(
            role=_role(stacked.name),
            x=left,
            y=0.0,
            text=text,
            face=words.face,
            size=size,
            source=event.item.source,
        )
        return _Shape(drawn, Box(left, min(0.0, ink.bottom), left + width, max(tall, ink.top)), tall)

    def _add_shape(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        sign: SignStyle,
        shape: _Shape,
        direction: Direction,
        taken: set[float],
        lanes: MarkLanes,
    ) -> None:
        """Let a shape wait for its turn, or for its row. `taken` are the spaces at the event that small signs fill."""
        stacking, box = self._style.stacking, shape.box
        below = shape.tall if direction is Direction.DOWN else 0.0
        white = stacking.sign_gap if sign.of == "start" else 0.0  # beside dynamics

        def draw(foot: float) -> None:
            canvas.marks.append(shape.mark._replace(y=shape.mark.y + foot - below))
            canvas.ink(box.left - white, box.right + white, box.bottom + foot - below, box.top + foot - below)

        left, right = reach_of(event, box.left, box.right, stacking.side_gap)
        if sign.lane == "row" or canvas.plan.is_tab:
            row = RowSign(
                order=sign.order,
                direction=direction,
                left=box.left,
                right=box.right,
                reach_left=left,
                reach_right=right,
                edge=stacking.sign_gap + self._style.staff.fret_height / 2,
                draw=draw,
            )
            lanes.add_to_row(row)
            return

        def place() -> None:
            space = None
            stroked = SignName.BEND in event.item.event.signs  # a stroke ends at the head of a bent note
            if sign.yields == "into-space" and event.direction is not direction and not stroked:
                head = event.y_high if direction is Direction.UP else event.y_low
                space = decide_free_space(head, direction, canvas.plan.height, taken)
            if space is not None:
                taken.add(space)
                draw(space - direction * stacking.in_space_shift)
                return
            draw(canvas.outline(direction, left, right) + direction * stacking.articulation_gap)

        lanes.add(sign.order, place)

    def _glyph(self, name: str, direction: Direction) -> str:
        """The symbol's form for its side, where it has two."""
        sided = name + ("Above" if direction is Direction.UP else "Below")
        return sided if self._face.has(sided) else name


def decide_stack_order(sides: Mapping[StackedSign, Direction]) -> list[StackedSign]:
    """In which order the signs of an event are placed, from the notes outwards; those of the highest note come first in `sides`.

    Where several notes have a sign of their own, the highest note's stands highest, over the notes and under them
    (common practice, no source).
    """
    above = [sign for sign, side in sides.items() if side is Direction.UP]
    below = [sign for sign, side in sides.items() if side is not Direction.UP]
    return sorted([*reversed(above), *below], key=lambda sign: sign.name)


def _role(name: str) -> Role:
    if name == SignName.FERMATA:
        return Role.FERMATA
    return Role.ARTICULATION if name in _ARTICULATIONS else Role.PLAYING_SIGN


def reach_of(event: PlacedEvent, left: float, right: float, white: float) -> tuple[float, float]:
    """From where to where a sign over an event must be clear of what stands there: itself, the heads, the stem and its `white`."""
    left, right = min(left, event.left), max(right, event.right)
    if event.has_stem:
        left, right = min(left, event.stem_x - white), max(right, event.stem_x + white)
    return left, right


def decide_free_space(
    edge: float, direction: Direction, height: float, taken: Collection[float] = ()
) -> float | None:
    """The middle of the next space beyond a head's `edge` that holds a small sign clear of it; None outside a staff of `height`.

    From the middle of a head on a line it is one and a half spaces away, from one in a space one space (common practice, no source).
    Spaces that are `taken` are passed over.
    """
    middles = [number + 0.5 for number in range(int(height))][::direction]
    free = (m for m in middles if direction * (m - edge) >= _HALF_SPACE and m not in taken)
    return next(free, None)


def decide_sign_side(wish: str, voice: Direction | None, stem: Direction | None, is_tab: bool) -> Direction:
    """The side of a sign at an event: that of the voice where there are two, else the style's `wish` (above, below, head).

    At the head it stands away from the `stem`; without one, and on a tab, above (common practice, no source).
    """
    if voice is not None:
        return voice
    if wish == "below":
        return Direction.DOWN
    if wish == "above" or is_tab or stem is None:
        return Direction.UP
    return stem.opposite
