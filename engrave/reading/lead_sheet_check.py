"""What is odd about a score that is to be shown as a lead sheet."""

from __future__ import annotations

from engrave.diagnostics.problem import Place, ProblemLog
from engrave.score.lead_sheet import find_tune
from engrave.score.structure import Score, View


def check_view(score: Score, view: View | None, place: Place, log: ProblemLog) -> None:
    """Report at `place` that `score` cannot be shown as `view` wants (None: as it wants itself): a lead sheet needs a tune.

    One without chord names is doubtful.
    """
    if (view or score.view) is not View.LEAD_SHEET:
        return
    if find_tune(score) is None:
        log.error(
            place,
            "a lead sheet needs a tune, and no part has one",
            hint="write the melody as notes (slashes and rests are none), or choose another view",
        )
    elif not any(content.chords for part in score.parts for content in part.measures):
        log.warning(place, "this lead sheet has no chord names", hint="write chord: G over the melody")
