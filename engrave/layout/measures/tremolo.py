"""Strokes of a tremolo: how many, how high they are together, and the free stem that they cross."""

from collections.abc import Collection, Iterable
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.direction import Direction
from engrave.marks.mark import Box
from engrave.score.sign_list import TREMOLO_STROKES, SignName
from engrave.score.structure import Event
from engrave.style.sections import Style

_STROKES = {SignName.TREMOLO: 3, **TREMOLO_STROKES}
"""How many strokes a sign has (fact: one for each flag of the notes it stands for)."""


class Tremolo(NamedTuple):
    """The tremolo of an event: its sign, and the strokes beside the flags or beams of its notes, which count among them."""

    sign: SignName
    strokes: int


class StrokeInk(NamedTuple):
    """The symbol of some strokes, its size, and its box at that size."""

    glyph: str
    size: float
    box: Box

    @property
    def height(self) -> float:
        """From the lowest stroke to the highest, in staff spaces."""
        return self.box.top - self.box.bottom


def find_tremolo(event: Event, signs: Collection[str]) -> Tremolo | None:
    """The tremolo among the `signs` of `event`."""
    name = next((sign for sign in _STROKES if sign in signs), None)
    return None if name is None else Tremolo(name, max(1, _STROKES[name] - event.value.flags))


def tremolo_of(event: Event) -> Tremolo | None:
    """The tremolo of `event` or of a note of it."""
    return find_tremolo(event, event.signs) if event.has_techniques else None


def measure_strokes(tremolo: Tremolo, style: Style, face: MusicFace) -> StrokeInk | None:
    """The strokes of `tremolo`; None where the style draws none."""
    sign = style.signs[tremolo.sign]
    if not sign.glyph:
        return None
    glyph = f"{sign.glyph[:-1]}{tremolo.strokes}"
    return StrokeInk(glyph, sign.size, Box(*(edge * sign.size for edge in face.glyph(glyph).box)))


def stem_leaves(
    edge: float, way: Direction, accidentals: Iterable[tuple[int, str]], face: MusicFace
) -> float:
    """The y from which a stem is free that points `way`: the `edge` of its heads, downwards that of (position, symbol) accidentals too."""
    if way is Direction.UP:
        return edge
    return min([edge, *(position / 2 + face.glyph(glyph).box.bottom for position, glyph in accidentals)])


def decide_struck_tip(
    tip: float, free_from: float, way: Direction, height: float, flags: int, style: Style
) -> float:
    """The free end of a stem that strokes of `height` cross, at `tip` without them: as far out as they have white on both sides.

    Common practice, no source. `free_from` is where the stem leaves the heads; flags take the far end.
    """
    taken = flags * (style.beams.thickness + style.beams.gap)
    least = free_from + way * (height + 2 * style.stacking.tremolo_clearance + taken)
    return max(tip, least) if way is Direction.UP else min(tip, least)
