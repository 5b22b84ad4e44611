"""Stems: which way they point and how long they are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.style.sections import NoteStyle

_MIDDLE = 4
"""The middle line's staff position (fact)."""
_STEP = 0.5
"""Staff spaces to a staff position (fact)."""


class FlagInk(NamedTuple):
    """The flags of an upward stem: how far they reach to the right of the column, and the y they hang down to."""

    right: float
    bottom: float


def decide_stem_direction(positions: Sequence[int]) -> Direction:
    """The direction of a note or chord in one voice: the note farthest from the middle line decides, else down.

    Sources: Gehrkens, Music Notation and Terminology (1914), for single notes; conventions of orchestration courses for
    chords; down on the middle line after Gould, from memory.
    """
    below = _MIDDLE - min(positions)
    above = max(positions) - _MIDDLE
    return Direction.UP if below > above else Direction.DOWN


def decide_group_direction(groups: Sequence[Sequence[int]]) -> Direction:
    """The common direction of the chords under one beam: the farthest note, then the majority, then down."""
    below = max(_MIDDLE - min(positions) for positions in groups)
    above = max(max(positions) - _MIDDLE for positions in groups)
    if below != above:
        return Direction.UP if below > above else Direction.DOWN
    ups = sum(1 for positions in groups for p in positions if p < _MIDDLE)
    downs = sum(1 for positions in groups for p in positions if p > _MIDDLE)
    return Direction.UP if ups > downs else Direction.DOWN


def decide_tab_stems(voice: Direction | None, usual: str) -> Direction:
    """Where stems of a tab point: as the voice says where there are two, else to the style's side, above or below."""
    if voice is not None:
        return voice
    return Direction.DOWN if usual == "below" else Direction.UP


def decide_stem_tip(positions: Sequence[int], direction: Direction, flags: int, notes: NoteStyle) -> float:
    """The y of the free end of an unbeamed stem. `positions` ascend.

    Normally an octave from the note nearest the tip; shorter where the stem leaves the staff, longer for three flags
    and more, and always reaching the middle line (SMuFL scoring metrics for 3.5 spaces; the rest common practice).
    """
    up = direction is Direction.UP
    nearest = positions[-1] if up else positions[0]
    outward = (nearest if up else 2 * _MIDDLE - nearest) - notes.stem_shortened_from + 1
    length = notes.stem_length
    if flags == 0 and outward > 0:
        length = max(notes.stem_length_shortest, length - notes.stem_shortening_per_step * outward)
    elif flags == 2:
        length += notes.sixteenth_stem_extra
    elif flags > 2:
        length += notes.sixteenth_stem_extra + (flags - 2) * notes.flag_pitch
    middle = _MIDDLE * _STEP
    tip = nearest * _STEP + direction * length
    return max(tip, middle) if up else min(tip, middle)
