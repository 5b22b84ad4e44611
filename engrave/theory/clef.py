"""Clefs and where pitches stand under them."""

from __future__ import annotations

from enum import Enum

from engrave.theory.pitch import Pitch


class Clef(Enum):
    """The clefs in use. The small 8 tells that the music sounds an octave lower; positions follow the WRITTEN pitch."""

    TREBLE = "treble"
    TREBLE_8 = "treble-8"
    BASS = "bass"
    BASS_8 = "bass-8"

    @property
    def glyph(self) -> str:
        """The SMuFL name of the clef's symbol."""
        return _GLYPHS[self.value]

    @property
    def reference_position(self) -> int:
        """The staff position of the line that the clef names: G on 2, F on 6."""
        return 6 if self.value.startswith("bass") else 2

    @property
    def bottom_line(self) -> int:
        """Diatonic index of the written pitch on the bottom line: E4 or G2."""
        return 18 if self.value.startswith("bass") else 30


_GLYPHS = {"treble": "gClef", "treble-8": "gClef8vb", "bass": "fClef", "bass-8": "fClef8vb"}
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
