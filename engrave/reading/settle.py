"""Notes written as pitches get their strings and frets, by the same thinking as everywhere else."""

from __future__ import annotations

from importlib import import_module

from engrave.diagnostics.problem import ProblemLog
from engrave.score.structure import Score
from engrave.theory.metre import beat_text

USUAL_HAND = "intermediate"
"""For whom places are chosen unless someone says otherwise (house rule)."""


def settle(score: Score, log: ProblemLog) -> Score:
    """The score with good places for its pitches; what no hand can play stays on the lowest frets, with a warning."""
    placing = import_module("engrave.fingering.place")  # loaded only for scores that need it: start-up counts
    hand = import_module("engrave.fingering.hand").load_hand(USUAL_HAND)
    settled: Score
    settled, failures = placing.settle_pitches(score, hand)
    for part, failure in failures:
        moment = failure.moment
        measure = score.measures[moment.measure]
        where = f"{part.name}, measure {measure.number}, beat {beat_text(moment.onset, measure.metre)}"
        event = (
            part.measures[moment.measure].voices[moment.wants[-1].at.voice].events[moment.wants[-1].at.event]
        )
        log.warning(event.place, failure.reason.what, where, say_nearest(failure.reason.nearest))
    return settled


def say_nearest(nearest: tuple[str, ...]) -> str:
    """The ways out as a hint; "" when none is known."""
    return f"possible: {'; or '.join(nearest)}" if nearest else ""
