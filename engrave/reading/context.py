"""What every part of the reader needs: where it is in the music and in the text, and where mistakes are written down."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from engrave.problems import Location, ProblemLog
from engrave.reading.shapes import HeldShapes
from engrave.theory.instrument import Instrument
from engrave.theory.metre import Metre, beat_text


@dataclass(slots=True, eq=False)
class Tally:
    """How much a piece holds so far, all its parts together."""

    events: int = 0
    placed: int = 0
    """Notes that were written as pitches, so that their places are still to be chosen well."""


@dataclass(slots=True, eq=False)
class Context:
    """The part and measure being read. `offset` is how far into its metre the measure starts (pickups)."""

    log: ProblemLog
    lines: list[str]
    part: str
    instrument: Instrument
    measure: int = 0
    metre: Metre = Metre((4,), 4)
    shapes: HeldShapes = field(default_factory=HeldShapes)
    tally: Tally = field(default_factory=Tally)
    unread: bool = False
    """True once a word was not understood, which may have been the end of a slur."""

    def where(self, onset: Fraction | None = None) -> str:
        """The place in the music in words: "guitar, measure 3, beat 2"."""
        words = f"{self.part}, measure {self.measure}"
        if onset is not None:
            words += f", beat {beat_text(onset, self.metre)}"
        return words

    def error(self, location: Location, what: str, hint: str = "", onset: Fraction | None = None) -> None:
        """Write down a mistake."""
        self.log.error(location, what, self.where(onset), hint)

    def warning(self, location: Location, what: str, hint: str = "", onset: Fraction | None = None) -> None:
        """Write down a doubt."""
        self.log.warning(location, what, self.where(onset), hint)


_WORD = re.compile(r"\S+")


def word_locations(lines: Sequence[str], location: Location, text: str) -> list[Location]:
    """The place of every blank-separated word of `text`, which starts at `location` in the file of `lines`.

    Words that cannot be found, as behind an alias, are at `location` itself.
    """
    line = lines[location.line - 1] if 0 < location.line <= len(lines) else ""
    start = location.column - 1
    if not line or line.startswith(text, start):
        return [Location(location.line, location.column + match.start()) for match in _WORD.finditer(text)]
    words = text.split()
    if line.startswith("*", start):
        return [location] * len(words)
    found: list[Location] = []
    number, column = location.line - 1, start
    for word in words:
        at = line.find(word, column)
        while at < 0 and number + 1 < len(lines) and number - location.line < len(words):
            number, line = number + 1, lines[number + 1]
            at = line.find(word)
        if at < 0:
            return found + [location] * (len(words) - len(found))
        found.append(Location(number + 1, at + 1))
        column = at + len(word)
    return found
