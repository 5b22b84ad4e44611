"""Strum patterns: which way a hand goes at each count, and the note values in which that is written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from engrave.theory.duration import DENOMINATORS, NoteValue, decompose_length
from engrave.theory.metre import Metre

NO_STRUM = "none"
"""The word that stops a pattern."""
_MOST = 64
"""Counts of a row, at most: sixty-fourths of a whole note (fact: the language has none shorter)."""


class Stroke(StrEnum):
    """What the hand does at one count of a pattern."""

    DOWN = "d"
    UP = "u"
    ON = "-"
    """It swings past, and what sounds goes on."""
    REST = "r"


class StrumRow(NamedTuple):
    """What is done at equal counts over one measure of `metre`; None where it fits whatever it divides evenly."""

    metre: Metre | None
    strokes: tuple[Stroke, ...]

    @property
    def text(self) -> str:
        """As it is written: "d - d u"."""
        return " ".join(self.strokes)


class StrumPattern(NamedTuple):
    """A pattern by its name, with a row for each metre that it has; a row written in place has no name."""

    name: str
    rows: tuple[StrumRow, ...]

    @property
    def text(self) -> str:
        """As a measure names it."""
        return self.name or self.rows[0].text

    def row_for(self, metre: Metre) -> StrumRow | None:
        """The row for a measure of `metre`, however its time is written; None when it has none."""
        same = (row for row in self.rows if row.metre is None or row.metre.length == metre.length)
        rows = [row for row in same if row.metre is None or _same_beats(row.metre, metre)]
        return next((row for row in rows if fits(row, metre)), None)


class Strummed(NamedTuple):
    """One written value of a strummed measure: a stroke, the same chord held on (`ON`), or silence."""

    onset: Fraction
    value: NoteValue
    stroke: Stroke


def _same_beats(one: Metre, other: Metre) -> bool:
    return one.unit == other.unit and sum(one.groups) == sum(other.groups)


def is_strum_row(text: str) -> bool:
    """True for words that are all strokes, none the name of a pattern."""
    words = text.split()
    return bool(words) and set(words) <= set(Stroke)


def parse_strum_row(text: str, metre: Metre | None = None) -> StrumRow:
    """Read "d - d u - u d u". Raises ValueError that says what would be right."""
    words = text.split()
    wrong = next((word for word in words if word not in set(Stroke)), "")
    if wrong or not words:
        raise ValueError(
            f'"{wrong or text}" is no stroke; write d, u, - (the chord sounds on) or r (silence): d - d u'
        )
    if len(words) > _MOST:
        raise ValueError(f"a strum pattern has {len(words)} counts; write {_MOST} at most")
    row = StrumRow(metre, tuple(Stroke(word) for word in words))
    if not {Stroke.DOWN, Stroke.UP} & set(row.strokes):
        raise ValueError("a strum pattern needs a stroke; write d or u")
    if metre is not None and not fits(row, metre):
        raise ValueError(f"{_counts(len(words))} not fit {metre.text}; write {_fitting(metre)}")
    return row


def fits(row: StrumRow, metre: Metre) -> bool:
    """True when the counts of a row are note values that fill a measure of `metre`."""
    count = metre.length / len(row.strokes)
    return count.numerator in (1, 3) and count.denominator in DENOMINATORS


def _counts(number: int) -> str:
    return "one count does" if number == 1 else f"{number} counts do"


def _fitting(metre: Metre) -> str:
    """How many counts fit a metre, in words."""
    numbers = [n for n in range(1, 25) if fits(StrumRow(None, (Stroke.DOWN,) * n), metre)]
    return f"{', '.join(map(str, numbers[:-1]))} or {numbers[-1]}"


def say_misfit(pattern: StrumPattern, metre: Metre) -> tuple[str, str]:
    """What is wrong, and what would be right, where a pattern has no row for `metre`."""
    if any(row.metre is None for row in pattern.rows):
        count = len(pattern.rows[0].strokes)
        return (
            f"a strum pattern of {count} counts does not fit {metre.text}",
            f"write {_fitting(metre)} of them",
        )
    known = ", ".join(row.metre.text for row in pattern.rows if row.metre is not None)
    hint = f"it has {known}; write a row of your own under strums:, or strum: {NO_STRUM}"
    return f'the strum pattern "{pattern.name}" has no row for {metre.text}', hint


def strike_changes(row: StrumRow, metre: Metre, changes: Iterable[Fraction]) -> StrumRow:
    """The row with a stroke at every count where the chord changes (`changes`, in whole notes) and the hand would swing past.

    The hand goes down on even counts, up on odd ones; in threes it goes down (common practice, no source).
    """
    count = metre.length / len(row.strokes)
    strokes = list(row.strokes)
    for change in changes:
        number, off = divmod(change, count)
        if not off and 0 < number < len(strokes) and strokes[int(number)] is Stroke.ON:
            is_up = number % 2 and not metre.is_compound
            strokes[int(number)] = Stroke.UP if is_up else Stroke.DOWN
    return row._replace(strokes=tuple(strokes))


@lru_cache(maxsize=256)
def lay_out_strokes(row: StrumRow, metre: Metre) -> tuple[Strummed, ...]:
    """The written values of a measure of `metre` strummed as `row`, which fits it.

    Values that hide the middle of the measure or a beat more than is usual are parted, and tied: see `_piece`.
    """
    count = metre.length / len(row.strokes)
    before = (Stroke.REST, *row.strokes)
    starts = [
        (number, stroke)
        for number, stroke in enumerate(row.strokes)
        if stroke is not Stroke.ON and not (number and stroke is before[number] is Stroke.REST)
    ]
    if not starts or starts[0][0]:
        starts.insert(0, (0, Stroke.REST))
    ends = [number for number, _ in starts[1:]] + [len(row.strokes)]
    found: list[Strummed] = []
    for (number, stroke), end in zip(starts, ends, strict=True):
        for piece, (onset, value) in enumerate(_pieces(number * count, end * count, metre)):
            on = stroke if stroke is Stroke.REST or not piece else Stroke.ON
            found.append(Strummed(onset, value, on))
    return tuple(found)


def _pieces(start: Fraction, stop: Fraction, metre: Metre) -> Iterator[tuple[Fraction, NoteValue]]:
    while start < stop:
        value = _piece(start, stop, metre)
        yield start, value
        start += value.length


def _piece(start: Fraction, stop: Fraction, metre: Metre) -> NoteValue:
    """The longest single value from `start` that covers no place more than one rank stronger than where it starts.

    So a quarter may stand between two beats, but not over the middle of 4/4 (common practice, no source).
    """
    allowed = _rank(start, metre) + 1
    border = next((p for p in _places(start, stop, metre) if _rank(p, metre) > allowed), stop)
    return decompose_length(border - start)[0]


def _places(start: Fraction, stop: Fraction, metre: Metre) -> Sequence[Fraction]:
    """The beats inside a stretch, and the middle of the measure."""
    return sorted(place for place in {*metre.beats, *_middle(metre)} if start < place < stop)


def _middle(metre: Metre) -> tuple[Fraction, ...]:
    even = len(metre.beats) % 2 == 0 and metre.length >= 1
    return (metre.length / 2,) if even else ()


def _rank(place: Fraction, metre: Metre) -> int:
    """How strong a place of the measure is: 3 its start, 2 its middle or a dotted beat, 1 a beat, 0 and less between."""
    if not place:
        return 3
    if place in _middle(metre):
        return 2
    if place in metre.beats:
        return 2 if metre.is_compound else 1
    before = max(beat for beat in metre.beats if beat <= place)
    rank, step = 0, Fraction(1, 8)
    while (place - before) % step and rank > -4:
        rank, step = rank - 1, step / 2
    return rank
