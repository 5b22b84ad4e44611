"""Heads: which of a chord stand on the other side of the stem, how two voices meet, and where dots stand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.style.sections import NoteStyle


def decide_displaced(positions: Sequence[int], direction: Direction) -> tuple[bool, ...]:
    """Which heads change sides. `positions` ascend; of a second the upper note stands right of the stem.

    Walks from the stem's root; a note a second from the one before flips sides (Gould, from memory).
    """
    order = range(len(positions)) if direction is Direction.UP else range(len(positions) - 1, -1, -1)
    displaced = [False] * len(positions)
    before: int | None = None
    for i in order:
        if before is not None and abs(positions[i] - positions[before]) <= 1:
            displaced[i] = not displaced[before]
        before = i
    return tuple(displaced)


class VoiceMeeting(NamedTuple):
    """How far the chords of two voices move right, and the positions whose head the upper voice draws for both."""

    upper_dx: float
    lower_dx: float
    shared: frozenset[int]


_APART = VoiceMeeting(0.0, 0.0, frozenset())
"""Voices that do not meet (fact: nothing moves)."""


def decide_voice_meeting(
    upper: Sequence[int],
    lower: Sequence[int],
    same_head: bool,
    upper_dots: int,
    lower_dots: int,
    head_width: float,
    notes: NoteStyle,
) -> VoiceMeeting:
    """Where the chords of two voices stand that start together; positions ascend, widths in staff spaces.

    Unisons of equal value share a head, unlike ones stand side by side with the lower voice on the right; in a second the
    stems line up; crossing voices put the upper one aside (common practice, no source).
    """
    bottom, top = upper[0], lower[-1]
    if bottom > top + 1:
        return _APART
    if bottom == top + 1:
        return VoiceMeeting(0.0, head_width - notes.stem, frozenset())
    if bottom == top and same_head and bool(upper_dots) == bool(lower_dots) and _clear_around(upper, lower):
        return VoiceMeeting(0.0, 0.0, frozenset({top}))
    aside = head_width + notes.voice_gap
    if bottom == top:
        return VoiceMeeting(0.0, aside, frozenset())
    close = any(abs(u - low) <= 1 for u in upper for low in lower)
    if close:
        return VoiceMeeting(aside, 0.0, frozenset())
    return VoiceMeeting(head_width * 0.5 + notes.voice_gap, 0.0, frozenset())


def _clear_around(upper: Sequence[int], lower: Sequence[int]) -> bool:
    """True when no other heads are so near the shared one that they would be displaced."""
    return (len(upper) < 2 or upper[1] > upper[0] + 1) and (len(lower) < 2 or lower[-2] < lower[-1] - 1)


def decide_dot_positions(positions: Sequence[int], voice: Direction | None) -> tuple[int, ...]:
    """The spaces (odd staff positions) for the dots of a chord, ascending; `positions` ascend.

    A note in a space has its dot there, one on a line in the space above (below in the lower of two voices). Dots that
    meet are pushed outwards by at most a space; surplus ones are dropped (common practice, no source).
    """
    below = voice is Direction.DOWN
    taken: set[int] = set()
    order = positions if below else tuple(reversed(positions))
    limit_low, limit_high = positions[0] - 2, positions[-1] + 2
    for p in order:
        if p % 2:
            choices: tuple[int, ...] = (p, p - 2, p + 2) if not below else (p, p + 2, p - 2)
        else:
            choices = (p - 1, p + 1) if below else (p + 1, p - 1)
        for choice in choices:
            if choice not in taken and limit_low <= choice <= limit_high:
                taken.add(choice)
                break
    return tuple(sorted(taken))
