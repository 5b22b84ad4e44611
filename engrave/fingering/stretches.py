"""The moments of a part in stretches that may be one harmony: a measure, cut at chord names and where ringing starts or ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from engrave.fingering.moments import Moment
from engrave.score.sign_list import SignName
from engrave.score.structure import ChordAt, Part, Score


class Stretch(NamedTuple):
    """Moments of one measure, by number, under one chord name (None: there is none). `rings`: what is struck rings on.

    `start` and `stop` are in whole notes from the start of the measure.
    """

    numbers: tuple[int, ...]
    chord: ChordAt | None
    rings: bool
    start: Fraction
    stop: Fraction


def find_stretches(score: Score, part: Part, moments: Sequence[Moment]) -> Iterator[Stretch]:
    """All stretches with music, in order; a chord name counts until the next."""
    by_measure: dict[int, list[int]] = {}
    for number, moment in enumerate(moments):
        by_measure.setdefault(moment.measure, []).append(number)
    ringing = _ringing(score, part)
    chord: ChordAt | None = None
    for index, content in enumerate(part.measures):
        numbers = by_measure.get(index, [])
        names = {name.onset: name for name in content.chords}
        length = score.measures[index].length
        edges = {edge for span in ringing.get(index, ()) for edge in span}
        cuts = sorted(edge for edge in {Fraction(0), length, *names, *edges} if 0 <= edge <= length)
        for start, stop in pairwise(cuts):
            chord = names.get(start, chord)
            within = tuple(number for number in numbers if start <= moments[number].onset < stop)
            if within and within[-1] - within[0] == len(within) - 1:
                rings = any(first <= start < last for first, last in ringing.get(index, ()))
                yield Stretch(within, chord, rings, start, stop)


def split(stretch: Stretch, moments: Sequence[Moment]) -> Iterator[Stretch]:
    """The halves of a stretch; none where all of it lies in one."""
    middle = (stretch.start + stretch.stop) / 2
    first = tuple(number for number in stretch.numbers if moments[number].onset < middle)
    second = stretch.numbers[len(first) :]
    if first and second:
        yield stretch._replace(numbers=first, stop=middle)
        yield stretch._replace(numbers=second, start=middle)


def _ringing(score: Score, part: Part) -> dict[int, list[tuple[Fraction, Fraction]]]:
    """By measure, from where to where it rings; a sign may reach over several measures."""
    starts = [Fraction(0)]
    for measure in score.measures:
        starts.append(starts[-1] + measure.length)
    found: dict[int, list[tuple[Fraction, Fraction]]] = {}
    for index, content in enumerate(part.measures):
        for span in content.spans:
            if span.name != SignName.LET_RING:
                continue
            first = starts[index] + span.onset
            last = first + span.length
            if span.measures:
                last = starts[min(index + span.measures, len(score.measures))]
            for at in range(index, len(score.measures)):
                if starts[at] < last:
                    start = max(first, starts[at]) - starts[at]
                    found.setdefault(at, []).append((start, min(last, starts[at + 1]) - starts[at]))
    return found
