"""Notes written as pitches get their strings and frets, by the same thinking as everywhere else."""

from __future__ import annotations

from engrave.problems import ProblemLog
from engrave.score.structure import Score

USUAL_HAND = "intermediate"
"""For whom places are chosen unless someone says otherwise (house rule)."""


def settle(score: Score, log: ProblemLog) -> Score:
    """The score with good places for its pitches; what no hand can play stays on the lowest frets, with a warning."""
    from engrave.fingering.hand import load_hand
    from engrave.fingering.moments import locate
    from engrave.fingering.place import settle_pitches

    settled, failures = settle_pitches(score, load_hand(USUAL_HAND))
    for part, failure in failures:
        place, where = locate(score, part, failure.moment)
        log.warning(place, failure.reason.what, where, say_nearest(failure.reason.nearest))
    return settled


def say_nearest(nearest: tuple[str, ...]) -> str:
    """The ways out as a hint; "" when none is known."""
    return f"possible: {'; or '.join(nearest)}" if nearest else ""
