"""Accidentals before a chord: who stands nearest the heads."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

from engrave.marks.mark import Box
from engrave.style.sections import NoteStyle

Item = tuple[int, Box, Mapping[str, tuple[float, float]] | None]
"""Staff position, the sign's box from its origin, and its cut-outs (SMuFL anchors), if any."""


def decide_accidental_offsets(
    items: Sequence[Item], heads_left: float, notes: NoteStyle
) -> tuple[float, ...]:
    """The dx of each sign's origin. `heads_left` is the left edge of the leftmost head.

    Items ascend, those of the left head first. Order: highest nearest the heads, then lowest, second highest, second lowest, working inwards (Gould, from memory); each sign goes
    as far right as those already placed allow, their cut-out corners counted as white (SMuFL).
    """
    start = heads_left - notes.accidental_gap
    placed: list[tuple[float, float, float]] = []
    offsets = [0.0] * len(items)
    for index in _zigzag(items):
        position, box, cutouts = items[index]
        y = position / 2
        right = start
        pieces = _pieces(box, cutouts)
        for bottom, top, _, reach in pieces:
            for other_bottom, other_top, other_left in placed:
                if (
                    bottom + y < other_top + notes.accidental_clearance
                    and top + y > other_bottom - notes.accidental_clearance
                ):
                    right = min(right, other_left - notes.accidental_to_accidental + (box.right - reach))
        dx = right - box.right
        offsets[index] = dx
        placed.extend((bottom + y, top + y, dx + left) for bottom, top, left, _ in pieces)
    return tuple(offsets)


def _zigzag(items: Sequence[Item]) -> list[int]:
    order = sorted(range(len(items)), key=lambda i: (-items[i][0], -i))
    result: list[int] = []
    low, high = 0, len(order) - 1
    take_high = True
    while low <= high:
        if take_high:
            result.append(order[low])
            low += 1
        else:
            result.append(order[high])
            high -= 1
        take_high = not take_high
    return result


def _pieces(
    box: Box, cutouts: Mapping[str, tuple[float, float]] | None
) -> list[tuple[float, float, float, float]]:
    """The sign as stacked rectangles (bottom, top, left, right), without its cut-out corners."""
    if not cutouts:
        return [(box.bottom, box.top, box.left, box.right)]
    north_east = cutouts.get("cutOutNE", (box.right, box.top))
    south_east = cutouts.get("cutOutSE", (box.right, box.bottom))
    north_west = cutouts.get("cutOutNW", (box.left, box.top))
    south_west = cutouts.get("cutOutSW", (box.left, box.bottom))
    heights = sorted({box.bottom, box.top, north_east[1], south_east[1], north_west[1], south_west[1]})
    pieces = []
    for bottom, top in itertools.pairwise(heights):
        middle = (bottom + top) / 2
        left, right = box.left, box.right
        if middle > north_east[1]:
            right = min(right, north_east[0])
        if middle < south_east[1]:
            right = min(right, south_east[0])
        if middle > north_west[1]:
            left = max(left, north_west[0])
        if middle < south_west[1]:
            left = max(left, south_west[0])
        pieces.append((bottom, top, left, right))
    return pieces
