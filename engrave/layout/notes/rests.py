"""Rests: which symbol, and at what height."""

from __future__ import annotations

from math import ceil
from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.style.sections import NoteStyle

_GLYPHS = {
    1: "restWhole",
    2: "restHalf",
    4: "restQuarter",
    8: "rest8th",
    16: "rest16th",
    32: "rest32nd",
    64: "rest64th",
}
_LEDGERED = {1: "restWholeLegerLine", 2: "restHalfLegerLine"}
_NORMAL_Y = {1: 3.0}
_MIDDLE_Y = 2.0
_DOT_Y = 2.5
"""The third space, whatever the rest (conventions of an orchestration course)."""
_REACH = {
    1: (-0.5, 0.0),
    2: (0.0, 0.5),
    4: (-1.5, 1.5),
    8: (-1.0, 0.9),
    16: (-2.0, 0.9),
    32: (-2.0, 1.9),
    64: (-3.0, 1.9),
}
"""Ink below and above the origin, from the registration of the open symbol standard, in staff spaces."""


class RestPlace(NamedTuple):
    """A rest's symbol and the y of its origin and of its dot; `needs_ledger` where it leaves the staff."""

    glyph: str
    y: float
    dot_y: float
    needs_ledger: bool


def clearing_shift(denominator: int, voice: Direction, other: tuple[float, float], notes: NoteStyle) -> int:
    """How many whole spaces a rest moves off its normal place to be clear of `other`, the other voice's lowest and highest y."""
    normal = _NORMAL_Y.get(denominator, _MIDDLE_Y)
    below, above = _REACH[denominator]
    if voice is Direction.UP:
        return ceil(other[1] + notes.rest_voice_gap - (normal + below))
    return ceil(normal + above + notes.rest_voice_gap - other[0])


def decide_rest(denominator: int, voice: Direction | None, shift: int, notes: NoteStyle) -> RestPlace:
    """The place of a rest on a five-line staff.

    With two voices it moves away by whole spaces, `shift` or more (common practice, no source).
    """
    normal = _NORMAL_Y.get(denominator, _MIDDLE_Y)
    usual = round(notes.voice_rest_shift) if denominator > 2 else 1
    moved = 0 if voice is None else voice * max(shift, usual)
    y = normal + moved
    needs_ledger = denominator <= 2 and not 0.0 <= y <= 4.0
    glyph = _LEDGERED[denominator] if needs_ledger else _GLYPHS[denominator]
    return RestPlace(glyph, y, _DOT_Y + moved, needs_ledger)
