"""Page turns: whether a hand is free when a right-hand page ends."""

from __future__ import annotations

from collections.abc import Iterator

from engrave.marks.mark import PlacedDocument
from engrave.score.spans import hands_are_free
from engrave.score.structure import Score


def find_bad_turns(score: Score, document: PlacedDocument) -> Iterator[tuple[int, int]]:
    """(page, measure number) for each page of `document` after which playing goes straight on, the last page left out."""
    lasts = [
        max((mark.source.measure for group in page.groups for mark in group.marks), default=0)
        for page in document.pages
    ]
    for number, last in enumerate(lasts[:-1], start=1):
        if last and last < len(score.measures) and not hands_are_free(score, last - 1):
            yield number, score.measures[last - 1].number
