"""Signs that stand over or under one event, the smaller `order` of the style nearest: articulations, strokes, ornaments."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.measures.lanes import STARTING_WORDS
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.placed import PlacedEvent
from engrave.layout.systems.sign_rows import RowSign, SignRows
from engrave.marks.mark import Box, Glyph, Text
from engrave.marks.role import Role
from engrave.score.joins import LEGATO
from engrave.score.sign_list import PARTS_OF_SLURS, SignName
from engrave.style.sections import Style
from engrave.style.words import SignStyle
from engrave.theory.accidentals import Accidental

_INSIDE = (SignName.STACCATO, SignName.TENUTO)
"""Signs small enough for a space of the staff."""
PLACED_BY_RULE = frozenset(
    [
        *LEGATO,
        SignName.SLUR,
        *PARTS_OF_SLURS,
        SignName.SLIDE_FROM_BELOW,
        SignName.SLIDE_FROM_ABOVE,
        SignName.SLIDE_AWAY_UP,
        SignName.SLIDE_AWAY_DOWN,
        SignName.VIBRATO,
        SignName.WIDE_VIBRATO,
        SignName.ARPEGGIATE,
        SignName.ARPEGGIATE_UP,
        SignName.ARPEGGIATE_DOWN,
        SignName.NON_ARPEGGIATE,
        SignName.BEND,
        SignName.VIBRATO_BAR,
        SignName.FINGER,
        SignName.TREMOLO,
        SignName.TREMOLO_SIXTEENTHS,
        SignName.TREMOLO_EIGHTHS,
    ]
)
"""Signs that do not stand over or under the event."""
_DELAYED = (SignName.DELAYED_TURN, SignName.DELAYED_INVERTED_TURN)
_AFTER = (SignName.BREATH_MARK, SignName.CAESURA)
_FROM_GRACES = (SignName.RAKE,)
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


INSIDE_SLURS = (
    SignName.STACCATO,
    SignName.STACCATISSIMO,
    SignName.TENUTO,
    SignName.ACCENT,
    SignName.SOFT_ACCENT,
)
"""Signs that stand between a note and the slur over it."""
HARMONIC_RING = "harmonic-ring"
"""What the styles call the sign over a harmonic that is written at its sound."""


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

    def place(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        wanted: Iterable[StackedSign],
        side: Direction | None,
        around: Around,
        rows: SignRows,
    ) -> None:
        """Draw the signs of one event; `side` is its voice's side where the staff has two voices.

        On a tab they wait in `rows`.
        """
        signs = self._style.signs
        found = dict.fromkeys(sign for sign in wanted if sign.name in signs)
        for stacked in sorted(found, key=lambda sign: (signs[sign.name].order, sign.name)):
            name = stacked.name
            if name not in PLACED_BY_RULE and canvas.plan.shows(signs[name]):
                if name in _AFTER and signs[name].glyph:
                    self._place_after(canvas, event, name, side, around.end)
                    continue
                stem = event.direction if event.has_stem else None
                direction = decide_sign_side(signs[name].side, side, stem, canvas.plan.is_tab)
                if signs[name].glyph:
                    shape = self._symbol(event, stacked, signs[name], direction)
                else:
                    shape = self._word(event, stacked, signs[name], around)
                self._place(canvas, event, name, shape, direction, rows)

    def _place_after(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        name: str,
        side: Direction | None,
        end: float,
    ) -> None:
        """A breath outside the staff or a caesura through its outer line, before what follows."""
        sign = self._style.signs[name]
        box = Box(*(edge * sign.size for edge in self._face.glyph(sign.glyph).box))
        x = max(event.right, end - self._style.stacking.sign_gap - box.right)
        below = side is Direction.DOWN
        line = 0.0 if below else canvas.plan.height
        if canvas.plan.is_tab and name != SignName.CAESURA:
            skyline = canvas.lower if below else canvas.upper
            line = skyline.height(event.left, x + box.right)
        y = (
            line - self._style.stacking.breath_lift - box.top
            if below
            else line + self._style.stacking.breath_lift - box.bottom
        )
        if name == SignName.CAESURA:
            y = line - (box.bottom + box.top) / 2
        canvas.marks.append(Glyph(_role(name), x, y, sign.glyph, event.item.source, sign.size))
        canvas.ink(x + box.left, x + box.right, y + box.bottom, y + box.top)

    def _symbol(
        self, event: PlacedEvent, stacked: StackedSign, sign: SignStyle, direction: Direction
    ) -> _Shape:
        """A sign of the music face over the middle of its event, or right of it."""
        middle = (event.left + event.right) / 2
        if stacked.name in _DELAYED:
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
        start = around.start if stacked.name in _FROM_GRACES else event.left
        left = start if stacked.name in STARTING_WORDS else (start + event.right - width) / 2
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

    def _place(
        self,
        canvas: StaffCanvas,
        event: PlacedEvent,
        name: str,
        shape: _Shape,
        direction: Direction,
        rows: SignRows,
    ) -> None:
        """Draw a shape at its height, on a tab as soon as that of its row is known."""
        box = shape.box
        below = shape.tall if direction is Direction.DOWN else 0.0
        white = self._style.stacking.sign_gap if name in STARTING_WORDS else 0.0  # beside dynamics

        def draw(foot: float) -> None:
            canvas.marks.append(shape.mark._replace(y=shape.mark.y + foot - below))
            canvas.ink(box.left - white, box.right + white, box.bottom + foot - below, box.top + foot - below)

        left, right = box.left, box.right
        if not canvas.plan.is_tab:
            left = min(event.left, left) if name in _DELAYED else left
            draw(self._height(canvas, event, direction, left, right, name in _INSIDE))
            return
        if event.has_stem:
            left, right = min(left, event.stem_x), max(right, event.stem_x)
        order = self._style.signs[name].order
        edge = self._style.stacking.sign_gap + self._style.staff.fret_height / 2
        rows.add(
            RowSign(
                order=order,
                direction=direction,
                left=box.left,
                right=box.right,
                reach_left=left,
                reach_right=right,
                edge=edge,
                draw=draw,
            )
        )

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
        """The y of a sign's foot on a staff: in the next free space for small signs inside it, else outside everything."""
        top = canvas.plan.height
        skyline = canvas.upper if direction is Direction.UP else canvas.lower
        head = event.y_high if direction is Direction.UP else event.y_low
        if inside and 0.0 < head < top and event.direction is not direction:
            centred = int(head + direction * 0.5) + 0.5
            if 0.0 < centred < top and abs(centred - head) >= _HALF_SPACE:
                return centred - direction * self._style.stacking.in_space_shift
        return skyline.height(left, right) + direction * self._style.stacking.articulation_gap


def _role(name: str) -> Role:
    if name == SignName.FERMATA:
        return Role.FERMATA
    return Role.ARTICULATION if name in _ARTICULATIONS else Role.PLAYING_SIGN


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
