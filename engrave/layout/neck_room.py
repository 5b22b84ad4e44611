"""Every neck over music against the room that it has: one without room is refused with its place."""

from __future__ import annotations

from engrave.problems import ProblemLog
from engrave.score.structure import Score
from engrave.style.sections import Style


def check_neck_room(score: Score, style: Style, log: ProblemLog) -> None:
    """Report each neck over a measure that has no room on the paper of `style`."""
    for part in score.parts:
        for measure, content in zip(score.measures, part.measures, strict=True):
            if content.neck is not None:
                from engrave.layout.titled_neck import fit_over_music

                try:
                    fit_over_music(content.neck.diagram, score.left_handed, style)
                except ValueError as error:
                    where = f"{part.name}, measure {measure.number}"
                    log.error(content.neck.location, str(error), where)
