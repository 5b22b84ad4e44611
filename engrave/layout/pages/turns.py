"""Page turns: where the hands are free between two measures, and which pages of a document end where they are not."""

from __future__ import annotations

from collections.abc import Iterator

from engrave.marks.mark import PlacedDocument
from engrave.score.structure import Score, View


def hands_are_free(score: Score, index: int, least_rest: float) -> bool:
    """True when every fretted part rests for a moment at the end of measure `index` or at the start of the next.

    Such a moment is `least_rest` of a whole note. A lead sheet is played from too.
    """
    for part in score.parts:
        if not part.is_fretted and score.view is not View.LEAD_SHEET:
            continue
        before = [voice.events[-1] for voice in part.measures[index].voices if voice.events]
        after = [voice.events[0] for voice in part.measures[index + 1].voices if voice.events]
        ends = all(event.is_rest and event.length >= least_rest for event in before)
        starts = all(event.is_rest and event.length >= least_rest for event in after)
        if not ends and not starts:
            return False
    return True


def find_bad_turns(score: Score, document: PlacedDocument, least_rest: float) -> Iterator[tuple[int, int]]:
    """(page, measure number) for each page of `document` after which playing goes straight on, the last page left out."""
    lasts = [
        max((mark.source.measure for group in page.groups for mark in group.marks), default=0)
        for page in document.pages
    ]
    for number, last in enumerate(lasts[:-1], start=1):
        if last and last < len(score.measures) and not hands_are_free(score, last - 1, least_rest):
            yield number, score.measures[last - 1].number
