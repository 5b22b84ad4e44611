"""Springs and rods: how wide each slice of a line becomes.

Every slice has a natural width (a spring) and a least width (a rod). At force f it is max(rod, f x natural) wide
(Gourlay 1987, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import log2


def ideal_space(duration: float, quarter: float, ratio: float, floor: float) -> float:
    """The space after a note of `duration` whole notes: `quarter` for a quarter, times `ratio` for each doubling.

    Never less than `floor`. With ratio sqrt(2) and quarter 3.5 this is Gould's table (from memory).
    """
    return float(max(floor, quarter * ratio ** log2(duration * 4)))


def decide_phi(
    onsets: Sequence[Fraction], voices: Sequence[Sequence[tuple[Fraction, Fraction]]], end: Fraction
) -> list[Fraction]:
    """The length of the shortest note sounding or starting in each slice; `voices` hold (onset, length) in order."""
    shortest: list[Fraction | None] = [None] * len(onsets)
    for voice in voices:
        slice_index = 0
        for onset, length in voice:
            stop = onset + length
            while slice_index < len(onsets) and onsets[slice_index] < onset:
                slice_index += 1
            i = slice_index
            while i < len(onsets) and onsets[i] < stop:
                known = shortest[i]
                if known is None or length < known:
                    shortest[i] = length
                i += 1
    ends = (*onsets[1:], end)
    return [
        known if known is not None else max(stop - start, Fraction(1, 64))
        for known, start, stop in zip(shortest, onsets, ends, strict=True)
    ]


def decide_widths(
    natural: Sequence[float], rods: Sequence[float], target: float
) -> tuple[float, list[float]]:
    """The force, and the width of every slice, so that they add up to `target`.

    When the rods alone are wider than `target` the result is the rods with force 0.
    """
    order = sorted(
        (i for i in range(len(natural)) if natural[i] > 0), key=lambda i: rods[i] / natural[i], reverse=True
    )
    fixed = sum(rods[i] for i in range(len(natural)) if natural[i] <= 0)
    free = sum(natural[i] for i in order)
    for i in order:
        force = (target - fixed) / free
        if force * natural[i] >= rods[i]:
            return force, [max(r, force * n) for n, r in zip(natural, rods, strict=True)]
        fixed += rods[i]
        free -= natural[i]
    return 0.0, list(rods)


def apply_long_rods(
    natural: Sequence[float], rods: Sequence[float], long_rods: Sequence[tuple[int, int, float]]
) -> list[float]:
    """Widen the rods so that slices i to j-1 together hold at least each (i, j, width).

    The missing room is shared out in proportion to the natural widths; shorter spans come first.
    """
    result = list(rods)
    for start, stop, width in sorted(long_rods, key=lambda rod: (rod[1] - rod[0], rod[0])):
        missing = width - sum(result[start:stop])
        if missing <= 0:
            continue
        _, widths = decide_widths(natural[start:stop], result[start:stop], width)
        if sum(widths) < width - 1e-9:
            widths[-1] += width - sum(widths)
        result[start:stop] = widths
    return result


def decide_even_rods(
    natural: Sequence[float], rods: Sequence[float], share: float, most: float
) -> tuple[float, ...]:
    """Rods for a line that has room: where ink holds a slice open, those as long get `share` of its width, longer ones all of it.

    So a short value never looks longer than a long one, nor one of equal notes much longer than the others (common
    practice, no source). No slice is raised over `most` times its natural width. The last slice, which a barline ends, neither asks nor
    gets.
    """
    last = len(rods) - 1
    held = [i for i in range(last) if rods[i] > natural[i]]
    if not held:
        return tuple(rods)
    result = list(rods)
    for i in range(last):
        own = natural[i]
        alike = [rods[j] for j in held if abs(natural[j] - own) <= _ALIKE * own]
        shorter = [rods[j] for j in held if natural[j] < own * (1 - _ALIKE)]
        asked = max(share * max(alike, default=0.0), max(shorter, default=0.0))
        result[i] = max(result[i], min(asked, most * own))
    return tuple(result)


def decide_even_widths(
    natural: Sequence[float],
    rods: Sequence[float],
    even: Sequence[float],
    target: float,
    least_force: float,
) -> tuple[float, list[float]]:
    """As `decide_widths`, with as much of the even rods as leaves the springs a force of `least_force`."""
    if even == rods:
        return decide_widths(natural, rods, target)
    for share in _EVEN_SHARES:
        blended = [r + share * (e - r) for r, e in zip(rods, even, strict=True)]
        force, widths = decide_widths(natural, blended, target)
        if force >= least_force:
            return force, widths
    return decide_widths(natural, rods, target)


_EVEN_SHARES = (1.0, 0.75, 0.5, 0.25)
"""Shares of the difference between even rods and rods that are tried (algorithm)."""
_ALIKE = 0.02
"""Natural widths that differ by less are those of equal values (algorithm)."""
