"""Words whose end is never sung: their hyphens lead nowhere and must stop."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from engrave.score.structure import Part


class Sung(NamedTuple):
    """A syllable of a part's first voice: the measure's index, the moment in it (whole notes) and the verse."""

    measure: int
    onset: Fraction
    verse: int


def find_broken_words(part: Part) -> frozenset[Sung]:
    """The syllables with a hyphen after which a measure of silence, or the end, comes before the next syllable.

    A word may go on after a rest, but not after a whole measure of them (house rule).
    """
    open_words: dict[int, Sung] = {}
    broken: set[Sung] = set()
    for index, measure in enumerate(part.measures):
        events = measure.voices[0].events if measure.voices else ()
        if not any(event.notes for event in events):
            broken.update(open_words.values())
            open_words = {}
        for event in events:
            for verse, syllable in enumerate(event.lyrics):
                if syllable is None:
                    continue
                open_words.pop(verse, None)
                if syllable.hyphen:
                    open_words[verse] = Sung(index, event.onset, verse)
    return frozenset(broken | set(open_words.values()))
