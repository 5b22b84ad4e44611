"""Where a page can be turned: whether the hands are free between two measures."""

from __future__ import annotations

from fractions import Fraction

from engrave.score.structure import Score, View

_FREE = Fraction(1, 4)
"""A rest of a quarter at the end of a page or at the start of the next leaves time to turn (house rule)."""


def hands_are_free(score: Score, index: int) -> bool:
    """True when every fretted part rests for a moment at the end of measure `index` or at the start of the next.

    A lead sheet is played from too.
    """
    for part in score.parts:
        if not part.is_fretted and score.view is not View.LEAD_SHEET:
            continue
        before = [voice.events[-1] for voice in part.measures[index].voices if voice.events]
        after = [voice.events[0] for voice in part.measures[index + 1].voices if voice.events]
        ends = all(event.is_rest and event.length >= _FREE for event in before)
        starts = all(event.is_rest and event.length >= _FREE for event in after)
        if not ends and not starts:
            return False
    return True
