"""Where an event ended up on its staff, for whatever is placed relative to it."""

from __future__ import annotations

from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.layout.measures.ink import ChordInk, FretInk, RestInk


class PlacedEvent(NamedTuple):
    """One event of a voice: the x of its column, and its ink, in the staff's coordinates (staff spaces).

    `left` and `right` are the edges of heads, digits or the rest; `bottom` and `top` include the stem. `tip` is the
    stem's free end; `stem_x` its middle, both meaningless where `has_stem` is False. `y_low` and
    `y_high` are the edges of heads or digits alone.
    """

    item: ChordInk | RestInk | FretInk
    x: float
    left: float
    right: float
    bottom: float
    top: float
    y_low: float
    y_high: float
    direction: Direction
    has_stem: bool
    stem_x: float
    tip: float


class PlacedVoice(NamedTuple):
    """One voice of one measure on one staff."""

    events: tuple[PlacedEvent, ...]
    side: Direction | None
