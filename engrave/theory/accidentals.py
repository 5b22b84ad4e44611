"""Which accidentals are printed: what a measure remembers, key signature, ties, and courtesy."""

from __future__ import annotations

from enum import Enum

from engrave.theory.key import Key
from engrave.theory.pitch import Pitch


class Accidental(Enum):
    """The signs, by alteration in semitones."""

    DOUBLE_FLAT = -2
    FLAT = -1
    NATURAL = 0
    SHARP = 1
    DOUBLE_SHARP = 2

    @property
    def glyph(self) -> str:
        """The SMuFL name of the sign."""
        return _GLYPHS[self]


_GLYPHS = {
    Accidental.DOUBLE_FLAT: "accidentalDoubleFlat",
    Accidental.FLAT: "accidentalFlat",
    Accidental.NATURAL: "accidentalNatural",
    Accidental.SHARP: "accidentalSharp",
    Accidental.DOUBLE_SHARP: "accidentalDoubleSharp",
}
_BY_ALTER = {sign.value: sign for sign in Accidental}
_NOTHING = (None, False)
_UNKNOWN = 99
"""No alteration: what holds in a place where two sounded at once (fact: none is so large)."""


class AccidentalMemory:
    """What a reader of one staff has in mind. An accidental holds for its own line or space to the end of the measure.

    A courtesy accidental (in parentheses) is given where a reader would doubt: the same letter was altered in
    another octave in this measure, or on the same place in the measure before (common practice, no source).
    """

    __slots__ = ("_before", "_key", "_letters", "_now")

    def __init__(self) -> None:
        """An empty memory, before the first measure."""
        self._key: tuple[int, ...] = (0,) * 7
        self._now: dict[int, int] = {}
        self._before: dict[int, int] = {}
        self._letters: dict[int, int] = {}

    def start_measure(self, key: Key) -> None:
        """A barline: what was altered is now only a doubt."""
        self._before = {d: alter for d, alter in self._now.items() if alter != self._key[d % 7]}
        self._now = {}
        self._letters = {}
        self._key = key.alters

    def decide(self, pitch: Pitch, tied: bool, contested: bool = False) -> tuple[Accidental | None, bool]:
        """The accidental before `pitch`, and whether it is a courtesy. A note tied to from before has none.

        `contested`: the same place sounds otherwise altered at this moment, so both say how, and the next note there
        does so again (common practice, no source).
        """
        step, alter = pitch.step, pitch.alter
        place = 7 * pitch.octave + step
        now = self._now
        if contested:
            now[place] = _UNKNOWN
            self._letters[step] = alter
        if tied:
            return _NOTHING
        if contested:
            return _BY_ALTER[alter], False
        valid = now.get(place, self._key[step])
        doubted = (
            alter == valid
            and place not in now
            and (self._before.get(place, alter) != alter or self._letters.get(step, alter) != alter)
        )
        if valid != alter or doubted:
            now[place] = alter
            self._letters[step] = alter
            return _BY_ALTER[alter], doubted
        return _NOTHING
