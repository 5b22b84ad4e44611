"""Measures that repeat the ones before: counted through, and refused where they make no sense."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from engrave.diagnostics.problem import Place
from engrave.reading.context import Context
from engrave.score.structure import Measure


class Repeating(Protocol):
    """A part in a measure that may repeat earlier ones."""

    repeats: int
    repeat_index: int
    place: Place


def count_bar_repeats(context: Context, measures: Sequence[Measure], drafts: Sequence[Repeating]) -> None:
    """Set which measure of its group each repeating measure is; report groups that are not whole."""
    run = 0
    for index, draft in enumerate(drafts):
        if not draft.repeats:
            run = 0
            continue
        if index and drafts[index - 1].repeats not in (0, draft.repeats):
            run = 0
        draft.repeat_index = run % draft.repeats
        run += 1
        context.measure = measures[index].number
        if run == 1 and index < draft.repeats:
            found = "measure" if draft.repeats == 1 else "measures"
            context.error(draft.place, f"there are not {draft.repeats} {found} before this to repeat")
        following = drafts[index + 1].repeats if index + 1 < len(drafts) else 0
        if following != draft.repeats and draft.repeat_index + 1 < draft.repeats:
            what = f"only {draft.repeat_index + 1} of {draft.repeats} measures are repeated here"
            context.error(
                draft.place, what, f"write measure-repeat: {draft.repeats} in {draft.repeats} measures"
            )
