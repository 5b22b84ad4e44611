"""Augmentation dots: never on a line."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.layout.direction import Direction


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
