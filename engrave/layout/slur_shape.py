"""The side and the shape of slurs: curves that clear everything between two notes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product
from typing import NamedTuple

from engrave.layout.curves import APEX_SHARE, Cubic, Point, arch_points, slur_height
from engrave.layout.direction import Direction
from engrave.style.sections import NoteStyle

_STEP = 0.4
"""A curve is compared with what stands under it at such distances, in staff spaces (algorithm)."""
_MOST_STEPS = 96
"""Points of comparison at most (algorithm)."""
_LEAST_STEPS = 12
"""And at least, for short ones (algorithm)."""
_LIFTS = (0.0, 0.0625, 0.125, 0.1875, 0.25, 0.375, 0.5, 0.75, 1.0)
"""Lifts of an end that are tried, as shares of the most (algorithm: steps of a search)."""


class Obstacle(NamedTuple):
    """Ink from `left` to `right` that a slur has to clear; `edge` is the y of its outer side."""

    left: float
    right: float
    edge: float


def decide_slur_side(voices: Iterable[Direction | None], stems: Iterable[Direction]) -> Direction:
    """The side of a slur over notes of `voices` with `stems`.

    In two voices it stands outside; else below where all stems point up, and above in all other cases (common practice,
    no source).
    """
    voice = next((side for side in voices if side is not None), None)
    if voice is not None:
        return voice
    directions = set(stems)
    return Direction.DOWN if directions == {Direction.UP} else Direction.UP


class _Sample(NamedTuple):
    """A point of comparison: the shares of start, end and height in the curve there, and the y that it has to reach."""

    start: float
    stop: float
    height: float
    least: float


def decide_slur(
    start: Point, stop: Point, side: Direction, obstacles: Sequence[Obstacle], notes: NoteStyle
) -> tuple[Cubic, Cubic]:
    """The curves of a slur from `start` to `stop` that stays clear of the `obstacles`.

    Of all heights and lifted ends it takes what is lowest and nearest to its notes; its usual height grows with its
    length up to a limit (common practice, no source; the weights are the house's).
    """
    (x1, y1), (x2, y2) = start, stop
    length = x2 - x1
    samples = _samples(x1, length, side, obstacles, notes)
    usual = slur_height(length, notes)
    low, high = side * y1, side * y2
    best: tuple[float, float, float, float] | None = None
    for left, right in product(_LIFTS, _LIFTS):
        lifts = (left * notes.slur_lift_most, right * notes.slur_lift_most)
        ends = (low + lifts[0], high + lifts[1])
        cost = notes.slur_lift * sum(lifts)
        cost += notes.slur_steep * max(0.0, abs(ends[1] - ends[0]) - notes.slur_slope_most * length)
        if best is not None and cost >= best[0]:
            continue
        height = max(usual, _least_height(samples, ends, length, notes))
        cost += height - usual + max(0.0, height - max(usual, notes.slur_height_most))
        if best is None or cost < best[0]:
            best = (cost, *ends, height)
    assert best is not None
    _, left_y, right_y, height = best
    return arch_points(
        x1,
        side * left_y,
        x2,
        side * right_y,
        height=side * height,
        inset=notes.tie_inset,
        end=notes.tie_end,
        middle=notes.tie_middle * _thicken(abs(right_y - left_y), length),
    )


def _thicken(rise: float, length: float) -> float:
    """How much thicker, measured upright, a slur has to be that rises more than 45 degrees, to look as thick as others."""
    return max(1.0, rise / length) if length > 0 else 1.0


def _samples(
    x1: float, length: float, side: Direction, obstacles: Sequence[Obstacle], notes: NoteStyle
) -> list[_Sample]:
    """Where a slur of `length` from `x1` has something under it, with the highest of that (upwards on its `side`)."""
    count = min(_MOST_STEPS, max(_LEAST_STEPS, round(length / _STEP)))
    xs = [x1 + length * _across(step / count, notes.tie_inset) for step in range(count + 1)]
    found: list[_Sample] = []
    for step in range(1, count):
        before, after = xs[step - 1], xs[step + 1]
        near = [side * o.edge for o in obstacles if o.right >= before and o.left <= after]
        if near:
            t = step / count
            s = 1 - t
            slanted = _across(t, notes.tie_inset)
            found.append(
                _Sample(1 - slanted, slanted, 3 * s * t, max(near) + notes.slur_clearance + notes.tie_end / 2)
            )
    return found


def _across(t: float, inset: float) -> float:
    """How far along its length a curve is at the parameter `t` (Bernstein's form)."""
    s = 1.0 - t
    return 3 * s * s * t * inset + 3 * s * t * t * (1 - inset) + t * t * t


def _least_height(
    samples: Iterable[_Sample], ends: tuple[float, float], length: float, notes: NoteStyle
) -> float:
    """The least apex with which the inner curve clears all samples."""
    control = max(
        (
            (sample.least - sample.start * ends[0] - sample.stop * ends[1]) / sample.height
            for sample in samples
        ),
        default=0.0,
    )
    return control * APEX_SHARE + notes.tie_middle * _thicken(abs(ends[1] - ends[0]), length) / 2
