"""Some measures of a score as a score of their own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from engrave.score.structure import Barline, Event, NewLine, Part, PartMeasure, Score, Voice
from engrave.theory.repeats import RepeatInfo
from engrave.theory.swing import Swing


def excerpt(score: Score, first: int, stop: int) -> Score:
    """Measures `first` to `stop` - 1 (indices) of `score`, without its titles; what was tied from before is struck anew.

    Repeat signs are left out where a section is cut in two.
    """
    repeats = [measure.repeat for measure in score.measures[first:stop]]
    is_whole = sum(repeat.start for repeat in repeats) == sum(
        repeat.end_times is not None for repeat in repeats
    )
    measures = []
    for index, measure in enumerate(score.measures[first:stop]):
        is_first, is_last = index == 0, first + index == stop - 1
        ends = is_last and stop < len(score.measures)
        measures.append(
            replace(
                measure,
                index=index,
                key_changes=measure.key_changes or is_first,
                metre_changes=measure.metre_changes or is_first,
                swing_changes=measure.swing_changes or (is_first and measure.swing is not Swing.NONE),
                repeat=measure.repeat if is_whole else RepeatInfo(),
                new=NewLine.NONE if is_first else measure.new,
                barline=Barline.SINGLE if ends and measure.barline is Barline.FINAL else measure.barline,
            )
        )
    parts = tuple(_cut(part, first, stop) for part in score.parts)
    return replace(score, measures=tuple(measures), parts=parts, title="", subtitle="")


def find_measures(score: Score, wanted: str) -> tuple[int, int]:
    """The measures (first, stop) that "3", "3-6" (printed numbers) or a label names. Raises ValueError."""
    numbers = [measure.number for measure in score.measures]
    low, _, high = wanted.partition("-")
    if low.strip().isdigit() and (not high or high.strip().isdigit()):
        start, end = int(low), int(high or low)
        inside = [index for index, number in enumerate(numbers) if start <= number <= end]
        if not inside or start not in numbers or end not in numbers:
            raise ValueError(f"there is no measure {wanted}; the piece has {min(numbers)} to {max(numbers)}")
        return inside[0], inside[-1] + 1
    labels = [index for index, measure in enumerate(score.measures) if measure.label]
    for place, index in enumerate(labels):
        if score.measures[index].label == wanted:
            return index, labels[place + 1] if place + 1 < len(labels) else len(numbers)
    known = ", ".join(score.measures[index].label for index in labels)
    raise ValueError(
        f'there is no label "{wanted}"; ' + (f"there are {known}" if known else "the piece has none")
    )


def choose_parts(score: Score, wanted: Sequence[str]) -> Score:
    """The score with some of its parts, by name, id or number (from 1), in its own order; none wanted is all.

    Raises ValueError for a part that is not there.
    """
    chosen = {index for wish in wanted for index in find_parts(score, wish)}
    return replace(score, parts=tuple(score.parts[index] for index in sorted(chosen))) if wanted else score


def find_parts(score: Score, wish: str) -> set[int]:
    """The indices of the parts with this name, id or number (from 1). Raises ValueError when there is none."""
    word = wish.strip().casefold()
    named = {
        index
        for index, part in enumerate(score.parts)
        if word in (part.id.casefold(), part.name.casefold(), str(index + 1))
    }
    if not named:
        there = ", ".join(f"{index + 1} {part.name or part.id}" for index, part in enumerate(score.parts))
        raise ValueError(f'there is no part "{wish}"; there are {there}')
    return named


def _cut(part: Part, first: int, stop: int) -> Part:
    contents = list(part.measures[first:stop])
    if contents:
        contents[0] = _in_clef(_untie(contents[0]), part.measures[:first])
    return part._replace(measures=tuple(contents))


def _in_clef(content: PartMeasure, before: Sequence[PartMeasure]) -> PartMeasure:
    """The measure with the clef that the measures `before` it have left, unless it begins with one of its own."""
    left = [clef for measure in before for clef in measure.clefs]
    if not left or any(clef.onset == 0 for clef in content.clefs):
        return content
    return content._replace(clefs=(left[-1]._replace(onset=Fraction(0)), *content.clefs))


def _untie(content: PartMeasure) -> PartMeasure:
    """The measure with the notes of its first events struck."""
    voices = []
    for voice in content.voices:
        events: list[Event] = list(voice.events)
        if events:
            events[0] = events[0]._replace(
                notes=tuple(note._replace(tie_from=False) for note in events[0].notes)
            )
        voices.append(Voice(tuple(events)))
    return content._replace(voices=tuple(voices))
