"""Clefs and where pitches stand under them."""

from __future__ import annotations

from enum import Enum

from engrave.theory.pitch import Pitch


class Clef(Enum):
    """The clefs in use. The small 8 says that the music sounds an octave lower; positions follow the WRITTEN pitch."""

    TREBLE = "treble"
    OCTAVE_TREBLE = "octave-treble"
    BASS = "bass"
    OCTAVE_BASS = "octave-bass"

    @property
    def glyph(self) -> str:
        """The SMuFL name of the clef's symbol."""
        return _GLYPHS[self.value]

    @property
    def reference_position(self) -> int:
        """The staff position of the line that the clef names: G on 2, F on 6."""
        return 6 if self.is_f_clef else 2

    @property
    def bottom_line(self) -> int:
        """Diatonic index of the written pitch on the bottom line: E4 or G2."""
        return 18 if self.is_f_clef else 30

    @property
    def is_f_clef(self) -> bool:
        """True for the bass clefs, whose dots stand round the line of F; the others name the line of G."""
        return self in (Clef.BASS, Clef.OCTAVE_BASS)


_GLYPHS = {"treble": "gClef", "octave-treble": "gClef8vb", "bass": "fClef", "octave-bass": "fClef8vb"}
_BOTTOM = {clef: clef.bottom_line for clef in Clef}
_NO_LEDGERS: tuple[int, ...] = ()


def staff_position(pitch: Pitch, clef: Clef) -> int:
    """Half spaces above the bottom line of a written pitch."""
    return 7 * pitch.octave + pitch.step - _BOTTOM[clef]


def ledger_positions(position: int) -> tuple[int, ...]:
    """The positions of the ledger lines that a head at `position` needs, nearest the staff first."""
    if position >= 10:
        return tuple(range(10, position + 1, 2))
    if position <= -2:
        return tuple(range(-2, position - 1, -2))
    return _NO_LEDGERS
