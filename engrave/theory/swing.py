"""Which note values are swung: played long and short in pairs, written alike."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from engrave.theory.metre import Metre


class Swing(Enum):
    """The note values that are swung, by their names in the score language."""

    NONE = "none"
    EIGHTHS = "1/8"
    SIXTEENTHS = "1/16"

    @property
    def pair(self) -> Fraction:
        """The length of a pair, which keeps its length, in whole notes; 0 where nothing is swung."""
        return Fraction(2, int(self.value.removeprefix("1/"))) if self is not Swing.NONE else Fraction(0)

    def has_pairs_in(self, metre: Metre) -> bool:
        """True where the time is counted in values that are pairs or longer: eighths are not swung in 6/8."""
        return self is not Swing.NONE and metre.unit * self.pair <= 1


def swung(onset: Fraction, pair: Fraction, first: Fraction) -> Fraction:
    """The moment at which `onset` (from the start of a measure) is heard when pairs of length `pair` are swung.

    The first note of a pair takes `first` of it instead of one half; what is shorter moves in proportion.
    """
    start = onset // pair * pair
    share = (onset - start) / pair
    half = Fraction(1, 2)
    heard = share * first / half if share <= half else first + (share - half) * (1 - first) / half
    return start + heard * pair
