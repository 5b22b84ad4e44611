"""Notes written as pitches get their strings and frets, by the same thinking as everywhere else."""

from __future__ import annotations

from importlib import import_module

from engrave.problems import ProblemLog
from engrave.score.structure import Score

USUAL_HAND = "intermediate"
"""For whom places are chosen unless someone says otherwise (house rule)."""


def settle(score: Score, log: ProblemLog) -> Score:
    """The score with good places for its pitches; what no hand can play stays on the lowest frets, with a warning."""
    placing = import_module("engrave.fingering.place")  # loaded only for scores that need it: start-up counts
    hand = import_module("engrave.fingering.hand").load_hand(USUAL_HAND)
    locate = import_module("engrave.fingering.moments").locate
    settled: Score
    settled, failures = placing.settle_pitches(score, hand)
    for part, failure in failures:
        location, where = locate(score, part, failure.moment)
        log.warning(location, failure.reason.what, where, say_nearest(failure.reason.nearest))
    return settled


def say_nearest(nearest: tuple[str, ...]) -> str:
    """The ways out as a hint; "" when none is known."""
    return f"possible: {'; or '.join(nearest)}" if nearest else ""
