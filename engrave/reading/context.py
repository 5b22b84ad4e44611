"""What every part of the reader needs: where it is in the music, and where mistakes are written down."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from engrave.diagnostics.problem import Place, ProblemLog
from engrave.reading.held_shapes import HeldShapes
from engrave.theory.instrument import Instrument
from engrave.theory.metre import Metre, beat_text


@dataclass(slots=True)
class Context:
    """The part and measure being read. `offset` is how far into its metre the measure starts (pickups)."""

    log: ProblemLog
    lines: list[str]
    part: str
    instrument: Instrument
    measure: int = 0
    metre: Metre = Metre((4,), 4)
    shapes: HeldShapes = field(default_factory=HeldShapes)
    has_pitches: bool = False
    """Some notes were written as pitches, so their places are still to be chosen well."""

    def where(self, onset: Fraction | None = None) -> str:
        """The place in the music in words: "guitar, measure 3, beat 2"."""
        words = f"{self.part}, measure {self.measure}"
        if onset is not None:
            words += f", beat {beat_text(onset, self.metre)}"
        return words

    def error(self, place: Place, what: str, hint: str = "", onset: Fraction | None = None) -> None:
        """Write down a mistake."""
        self.log.error(place, what, self.where(onset), hint)

    def warning(self, place: Place, what: str, hint: str = "", onset: Fraction | None = None) -> None:
        """Write down a doubt."""
        self.log.warning(place, what, self.where(onset), hint)
