"""Where rests stand: on the staff, clear of the other voice, under a beam."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil
from typing import NamedTuple

from engrave.layout.beams import Beam, BeamLimit, BeamPiece
from engrave.layout.direction import Direction
from engrave.score.structure import PartMeasure
from engrave.style.sections import BeamStyle, NoteStyle

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
"""A whole rest hangs from the fourth line (fact: common notation)."""
_MIDDLE_Y = 2.0
"""The middle line of the staff (fact)."""
_DOT_Y = 2.5
"""The third space, whatever the rest (fact: conventions of an orchestration course)."""
_REACH = {
    1: (-0.5, 0.0),
    2: (0.0, 0.5),
    4: (-1.5, 1.5),
    8: (-1.0, 0.9),
    16: (-2.0, 0.9),
    32: (-2.0, 1.9),
    64: (-3.0, 1.9),
}
"""Ink below and above the origin in staff spaces (fact: registration by SMuFL)."""


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


Extent = tuple[float, float]
"""Lowest and highest y of what sounds."""


def shift_of_row(
    part: PartMeasure,
    voice: int,
    index: int,
    side: Direction,
    notes: NoteStyle,
    extent_of: Callable[[int], Extent | None],
) -> int:
    """How far the rests around event `index` of `voice`, with no note between them, move together, in whole spaces.

    `extent_of` tells the ink of an event of the other voice, None for rests. What starts together with a rest is in its
    way; what came before or comes later stands beside it.
    """
    events, others = part.voices[voice].events, part.voices[1 - voice].events
    first, last = index, index + 1
    while first and not events[first - 1].notes:
        first -= 1
    while last < len(events) and not events[last].notes:
        last += 1
    shifts = [0]
    for rest in events[first:last]:
        for number, other in enumerate(others):
            extent = extent_of(number) if other.onset == rest.onset else None
            if extent is not None:
                shifts.append(clearing_shift(rest.value.denominator, side, extent, notes))
    return max(shifts)


class BeamedRest(NamedTuple):
    """The ink of a rest between beamed notes: its left and right, and the y nearest the beam."""

    left: float
    right: float
    edge: float


def beam_limits(
    rests: Sequence[BeamedRest], pieces: Sequence[BeamPiece], direction: Direction, style: BeamStyle
) -> tuple[BeamLimit, ...]:
    """What the ink of `rests` asks of a beam made of `pieces`, so that the innermost one over each stays clear of it."""
    limits: list[BeamLimit] = []
    for rest in rests:
        over = [
            p.level
            for p in pieces
            if p.x1 - style.rest_near < rest.right and rest.left < p.x2 + style.rest_near
        ]
        inner = (max(over, default=1) - 1) * (style.thickness + style.gap)
        least = direction * rest.edge + style.rest_gap + style.thickness / 2 + inner
        limits += [BeamLimit(rest.left, least), BeamLimit(rest.right, least)]
    return tuple(limits)


def decide_rest_retreat(
    beam: Beam, ends: tuple[float, float], limits: Sequence[BeamLimit], direction: Direction, style: BeamStyle
) -> int:
    """By how many whole spaces rests of a voice on its own give way, away from a `beam` between the x of its `ends`.

    Stems grow where little is missing; rests keep to whole spaces (common practice, no source).
    """
    first, last = ends
    slope = (beam.right_y - beam.left_y) / (last - first) if last > first else 0.0
    missing = max(
        (limit.least - direction * (beam.left_y + slope * (limit.x - first)) for limit in limits), default=0.0
    )
    return min(style.rest_retreat_most, max(0, ceil(missing - style.rest_stem_growth)))
