"""Signs that stand over or under one event, the smaller `order` of the style nearest: articulations, strokes, ornaments."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.placed import PlacedEvent
from engrave.marks.mark import Box, Glyph
from engrave.marks.role import Role
from engrave.score.structure import Mark
from engrave.style.sections import Style
from engrave.style.words import SignStyle
from engrave.theory.accidentals import Accidental

_INSIDE = ("staccato", "tenuto")
"""Signs small enough for a space of the staff."""
PLACED_BY_RULE = frozenset(
    [
        "hammer-on",
        "pull-off",
        "slide",
        "legato-slide",
        "slide-in-below",
        "slide-in-above",
        "slide-out-up",
        "slide-out-down",
        "vibrato",
        "wide-vibrato",
        "arpeggiate",
        "arpeggiate-up",
        "arpeggiate-down",
        "non-arpeggiate",
        "bend",
        "vibrato-bar",
        "finger",
        "tremolo",
        "tremolo-sixteenths",
        "tremolo-eighths",
    ]
)
"""Signs that do not stand over or under the event."""
_DELAYED = ("delayed-turn", "delayed-inverted-turn")
_AFTER = ("breath-mark", "caesura")
_FROM_GRACES = ("rake",)
_BREATH = 0.3
"""How far a breath mark stands over the staff, in staff spaces (house rule)."""
_TALL_LETTER = "T"
"""Letters of one row stand on one baseline: all are taken to be as tall as this one."""
_OWN_LETTERS = ("pluck",)
_ARTICULATIONS = ("staccato", "staccatissimo", "tenuto", "accent", "soft-accent", "strong-accent")


class Around(NamedTuple):
    """What stands about an event: the left edge of its grace notes, that of what follows it, and the measure's right edge."""

    start: float
    end: float
    wall: float


class StackPlacer:
    """Places stacked signs for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the signs of `style` and the symbols of `face`."""
        self._style = style
        self._face = face

    def place(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        marks: Iterable[Mark],
        side: Direction | None,
        around: Around,
    ) -> None:
        """Draw the signs of one event; `side` is its voice's side where the staff has two voices."""
        signs = self._style.signs
        found = {(mark.name, mark.amount): mark for mark in marks if mark.name in signs}
        for name, amount in sorted(found, key=lambda key: (signs[key[0]].order, key[0])):
            if name not in PLACED_BY_RULE and canvas.plan.shows(signs[name]):
                mark = found[name, amount]
                if name in _AFTER and signs[name].glyph:
                    self._place_after(canvas, event, mark, signs[name], side, around.end)
                else:
                    left = around.start if name in _FROM_GRACES else event.left
                    middle = (left + event.right) / 2
                    self._place(canvas, event, mark, signs[name], side, middle, around.wall)

    def _place_after(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        mark: Mark,
        sign: SignStyle,
        side: Direction | None,
        end: float,
    ) -> None:
        """A breath outside the staff or a caesura through its outer line, before what follows."""
        box = Box(*(edge * sign.size for edge in self._face.glyph(sign.glyph).box))
        x = max(event.right, end - self._style.stacking.padding - box.right)
        below = side is Direction.DOWN
        line = 0.0 if below else canvas.plan.height
        if canvas.plan.is_tab and mark.name != "caesura":
            skyline = canvas.lower if below else canvas.upper
            line = skyline.height(event.left, x + box.right)
        y = line - _BREATH - box.top if below else line + _BREATH - box.bottom
        if mark.name == "caesura":
            y = line - (box.bottom + box.top) / 2
        canvas.marks.append(Glyph(_role(mark.name), x, y, sign.glyph, event.item.source, sign.size))
        canvas.ink(x + box.left, x + box.right, y + box.bottom, y + box.top)

    def _place(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        mark: Mark,
        sign: SignStyle,
        side: Direction | None,
        middle: float,
        wall: float,
    ) -> None:
        direction = _direction(canvas, event, sign, side)
        if mark.name in _DELAYED:
            middle = event.right + self._style.stacking.delay
        role = _role(mark.name)
        if sign.glyph:
            glyph = self._glyph(sign.glyph, direction)
            if mark.name == "string-number" and mark.amount != "0":
                glyph = sign.glyph[:-1] + mark.amount
            size = sign.size
            if mark.name == "accidental-mark":
                glyph, size = Accidental(int(mark.amount)).glyph, size * self._style.notes.grace_size
            box = Box(*(edge * size for edge in self._face.glyph(glyph).box))
            x = middle - (box.left + box.right) / 2
            from_left = min(event.left, x + box.left) if mark.name in _DELAYED else x + box.left
            y = self._height(canvas, event, direction, from_left, x + box.right, mark.name in _INSIDE)
            y -= min(0.0, box.bottom) if direction is Direction.UP else max(0.0, box.top)
            canvas.marks.append(Glyph(role, x, y, glyph, event.item.source, size))
            canvas.ink(x + box.left, x + box.right, y + box.bottom, y + box.top)
            return
        text = mark.amount if mark.name in _OWN_LETTERS else sign.letters
        words = self._style.words.technique
        face = text_face(words.face)
        size = words.size * sign.size
        width, ink = face.width(text, size), face.ink(_TALL_LETTER, size)
        left = min(middle - width / 2, wall - self._style.stacking.articulation_gap - width)
        edge = self._height(canvas, event, direction, left, left + width, False)
        y = edge if direction is Direction.UP else edge - ink.top
        canvas.text(role, left, y, text, words.face, size, event.item.source)
        drawn = face.ink(text, size)
        canvas.ink(left, left + width, y + min(0.0, drawn.bottom), y + max(ink.top, drawn.top))

    def _glyph(self, name: str, direction: Direction) -> str:
        """The symbol's form for its side, where it has two."""
        sided = name + ("Above" if direction is Direction.UP else "Below")
        return sided if self._face.has(sided) else name

    def _height(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        direction: Direction,
        left: float,
        right: float,
        inside: bool,
    ) -> float:
        """The y of a sign's foot: in the next free space for small signs inside the staff, else outside everything."""
        stacking = self._style.stacking
        top = canvas.plan.height
        skyline = canvas.upper if direction is Direction.UP else canvas.lower
        if canvas.plan.is_tab and event.has_stem:
            left, right = min(left, event.stem_x), max(right, event.stem_x)
        outline = skyline.height(left, right)
        head = event.y_high if direction is Direction.UP else event.y_low
        if inside and not canvas.plan.is_tab and 0.0 < head < top and event.direction is not direction:
            centred = int(head + direction * 0.5) + 0.5
            if 0.0 < centred < top and abs(centred - head) >= 0.45:
                return centred - direction * 0.18
        gap = stacking.padding if canvas.plan.is_tab else stacking.articulation_gap
        foot = outline + direction * gap
        away = gap + (self._style.staff.fret_height / 2 if canvas.plan.is_tab else 0.0)
        edge = top + away if direction is Direction.UP else -away
        return max(foot, edge) if direction is Direction.UP else min(foot, edge)


def _role(name: str) -> Role:
    if name == "fermata":
        return Role.FERMATA
    return Role.ARTICULATION if name in _ARTICULATIONS else Role.PLAYING_SIGN


def _direction(canvas: StaffCanvas, event: PlacedEvent, sign: SignStyle, side: Direction | None) -> Direction:
    if side is not None:
        return side
    if sign.side == "below":
        return Direction.DOWN
    if sign.side == "above" or canvas.plan.is_tab:
        return Direction.UP
    return event.direction.opposite if event.has_stem else Direction.UP
