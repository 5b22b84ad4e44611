"""What is counted under a part's measure."""

from __future__ import annotations

from fractions import Fraction

from engrave.score.structure import Measure, PartMeasure
from engrave.theory.counting import CountingWords, count_syllables


def measure_count(measure: Measure, part: PartMeasure, words: CountingWords) -> list[tuple[Fraction, str]]:
    """The syllables of the count, (onset, syllable); beats at which nothing starts stand in parentheses.

    Nothing where no count is wanted, and in measures without music.
    """
    onsets = sorted({event.onset for voice in part.voices for event in voice.events if event.notes})
    if not measure.counting or not onsets:
        return []
    return count_syllables(
        measure.metre, onsets, measure.metre_offset, words=words, all_beats=True, length=measure.length
    )
