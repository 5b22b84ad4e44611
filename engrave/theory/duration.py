"""Written note values and tuplets. Lengths are exact fractions of a whole note."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

DENOMINATORS = (1, 2, 4, 8, 16, 32, 64)
"""The note values of the score language, whole to sixty-fourth."""


class NoteValue(NamedTuple):
    """A written value: 1/`denominator` with 0 to 2 dots. Equal values are one object (see `note_value`)."""

    denominator: int
    dots: int
    length: Fraction
    flags: int

    @property
    def name(self) -> str:
        """As it is written in a score: "1/8."."""
        return f"1/{self.denominator}{'.' * self.dots}"


def _build(denominator: int, dots: int) -> NoteValue:
    length = Fraction(1, denominator) * (2 - Fraction(1, 2**dots))
    return NoteValue(denominator, dots, length, max(0, denominator.bit_length() - 3))


_VALUES = {(d, dots): _build(d, dots) for d in DENOMINATORS for dots in range(3)}
_BY_NAME = {value.name: value for value in _VALUES.values()}
_BY_LENGTH = {value.length: value for value in reversed(list(_VALUES.values()))}
_LONGEST_FIRST = tuple(sorted(_BY_LENGTH.values(), key=lambda value: -value.length))


class TupletRatio(NamedTuple):
    """`actual` notes of value `unit` in the time of `normal`."""

    actual: int
    normal: int
    unit: NoteValue

    @property
    def factor(self) -> Fraction:
        """What a written length inside the tuplet is multiplied by."""
        return Fraction(self.normal, self.actual)

    @property
    def length(self) -> Fraction:
        """The length of the whole tuplet in whole notes."""
        return self.normal * self.unit.length


def note_value(denominator: int, dots: int = 0) -> NoteValue:
    """The value 1/`denominator` with `dots` dots. Raises ValueError when there is no such value."""
    try:
        return _VALUES[denominator, dots]
    except KeyError:
        raise ValueError(f"there is no note value 1/{denominator} with {dots} dots") from None


def parse_note_value(text: str) -> NoteValue:
    """Read "1/4", "1/8.", "1/2..". Raises ValueError that says what would be right."""
    value = _BY_NAME.get(text)
    if value is None:
        value = _BY_NAME.get("".join(text.split()))
    if value is None:
        raise ValueError(
            f'"{text}" is not a duration; write 1/1, 1/2, 1/4 ... 1/64, with one or two dots after it'
        )
    return value


_TUPLET = re.compile(r"\s*(\d+)\s+in\s+(\d+)\s+of\s+(1/\d+\.{0,2})\s*")


def parse_tuplet(text: str) -> TupletRatio:
    """Read "3 in 2 of 1/8". Raises ValueError that says what would be right."""
    match = _TUPLET.fullmatch(text)
    if match is None:
        raise ValueError(f'"{text}" is not a tuplet; write, for example, 3 in 2 of 1/8')
    actual, normal = int(match.group(1)), int(match.group(2))
    if not (2 <= actual <= 64 and 1 <= normal <= 64):
        raise ValueError(f'"{text}": a tuplet has 2 to 64 notes in the time of 1 to 64')
    return TupletRatio(actual, normal, parse_note_value(match.group(3)))


@lru_cache(maxsize=4096)
def decompose_length(length: Fraction) -> tuple[NoteValue, ...]:
    """The fewest written values that add up to `length`, longest first. Raises ValueError when there are none."""
    values: list[NoteValue] = []
    rest = length
    for value in _LONGEST_FIRST:
        while value.length <= rest:
            values.append(value)
            rest -= value.length
    if rest > 0:
        raise ValueError(f"{length} of a whole note cannot be written with values down to 1/64")
    return tuple(values)
