"""Clefs and where pitches stand under them."""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple

from engrave.theory.pitch import Pitch


class Clef(Enum):
    """The clefs in use. The small 8 says that the music sounds an octave lower; positions follow the WRITTEN pitch."""

    TREBLE = "treble"
    OCTAVE_TREBLE = "octave-treble"
    ALTO = "alto"
    TENOR = "tenor"
    BASS = "bass"
    OCTAVE_BASS = "octave-bass"

    @property
    def glyph(self) -> str:
        """The SMuFL name of the clef's symbol."""
        return _FACTS[self.value].glyph

    @property
    def reference_position(self) -> int:
        """The staff position of the line that the clef names: G on 2, C on 4 or 6, F on 6."""
        return _FACTS[self.value].reference

    @property
    def bottom_line(self) -> int:
        """Diatonic index of the written pitch on the bottom line: E4, F3, D3 or G2."""
        return _FACTS[self.value].bottom

    @property
    def key_shift(self) -> int:
        """How far its flats stand from those of the treble clef, in staff positions."""
        return _FACTS[self.value].key_shift

    @property
    def says_octave(self) -> bool:
        """True with the small 8."""
        return self in (Clef.OCTAVE_TREBLE, Clef.OCTAVE_BASS)

    @property
    def in_other_octave(self) -> Clef | None:
        """The same clef with the small 8 instead of without, or the other way round; None where there is no such clef."""
        return _OTHER_OCTAVES.get(self)


class _Facts(NamedTuple):
    glyph: str
    reference: int
    bottom: int
    key_shift: int


_FACTS = {
    "treble": _Facts("gClef", 2, 30, 0),
    "octave-treble": _Facts("gClef8vb", 2, 30, 0),
    "alto": _Facts("cClef", 4, 24, -1),
    "tenor": _Facts("cClef", 6, 22, 1),
    "bass": _Facts("fClef", 6, 18, -2),
    "octave-bass": _Facts("fClef8vb", 6, 18, -2),
}
"""What is known of each clef (facts)."""
_OTHER_OCTAVES = {
    Clef.TREBLE: Clef.OCTAVE_TREBLE,
    Clef.OCTAVE_TREBLE: Clef.TREBLE,
    Clef.BASS: Clef.OCTAVE_BASS,
    Clef.OCTAVE_BASS: Clef.BASS,
}
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
