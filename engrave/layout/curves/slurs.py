"""Slurs: on which side of the notes they stand."""

from __future__ import annotations

from engrave.layout.direction import Direction


def decide_staff_slur_side(tie_side: Direction, arrived: Direction | None) -> Direction:
    """The side of a slur on a five-line staff, which starts at a note whose tie would stand on `tie_side`.

    Slurs of one chain stand on one side: `arrived` is that of the slur that ends at the note (common practice, no source).
    """
    return tie_side if arrived is None else arrived


def decide_tab_slur_side(stems: Direction | None, voice: Direction | None) -> Direction:
    """The side of a slur on a tab: away from the `stems`, where there are some, else that of the voice, else above (house rule)."""
    if stems is not None:
        return stems.opposite
    return Direction.UP if voice is None else voice


def decide_slur_past_arrow(usual: Direction, has_arrow: bool) -> Direction:
    """The side of a slur that starts at a bent note: its arrow takes the room above (house rule)."""
    return Direction.DOWN if has_arrow else usual
