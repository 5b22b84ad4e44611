"""Keys and key signatures."""

from __future__ import annotations

import re
from enum import Enum
from functools import lru_cache
from typing import NamedTuple

from engrave.theory.clef import Clef
from engrave.theory.pitch import STEPS, Pitch

_SHARP_ORDER = (3, 0, 4, 1, 5, 2, 6)
"""Letters in the order in which sharps are added: F C G D A E B; flats come in reverse."""


class Mode(Enum):
    """Modes by how many fifths their tonic lies above the major tonic of the same signature."""

    MAJOR = 0
    MINOR = 3
    MIXOLYDIAN = 1
    DORIAN = 2
    PHRYGIAN = 4
    LOCRIAN = 5
    LYDIAN = -1


_MODE_NAMES = {
    "major": Mode.MAJOR,
    "minor": Mode.MINOR,
    "ionian": Mode.MAJOR,
    "aeolian": Mode.MINOR,
    "dorian": Mode.DORIAN,
    "phrygian": Mode.PHRYGIAN,
    "lydian": Mode.LYDIAN,
    "mixolydian": Mode.MIXOLYDIAN,
    "locrian": Mode.LOCRIAN,
}
_PATTERN = re.compile(r"([A-Ga-g])(#|b|♯|♭)?(m)?(?:\s+([A-Za-z]+))?")


class Key(NamedTuple):
    """A key: `fifths` sharps (positive) or flats (negative) in the signature, -7 to 7, and its mode."""

    fifths: int
    mode: Mode = Mode.MAJOR

    @property
    def alters(self) -> tuple[int, ...]:
        """The alteration of each letter C to B under this signature."""
        return _alters(self.fifths)

    @property
    def tonic(self) -> tuple[int, int]:
        """(step, alter) of the tonic."""
        return _fifths_to_letter(self.fifths + int(self.mode.value))

    @property
    def name(self) -> str:
        """The key in words: "F# minor"."""
        step, alter = self.tonic
        return f"{STEPS[step]}{'#' * alter if alter > 0 else 'b' * -alter} {self.mode.name.lower()}"


def _fifths_to_letter(fifths: int) -> tuple[int, int]:
    """The (step, alter) that lies `fifths` fifths above C."""
    return (fifths * 4) % 7, (fifths + 1) // 7


@lru_cache(maxsize=32)
def _alters(fifths: int) -> tuple[int, ...]:
    alters = [0] * 7
    for step in _SHARP_ORDER[:fifths] if fifths >= 0 else _SHARP_ORDER[fifths:]:
        alters[step] = 1 if fifths > 0 else -1
    return tuple(alters)


@lru_cache(maxsize=256)
def parse_key(text: str) -> Key:
    """Read "G major", "F# minor", "Bb", "Em", "D dorian". Raises ValueError that says what would be right."""
    match = _PATTERN.fullmatch(text.strip())
    word = (match.group(4) or "major").lower() if match else ""
    if match is None and text.strip()[:1] in ("H", "h"):
        raise ValueError(f'"{text}" is not a key; German H is B: write B major or B minor')
    if match is None or word not in _MODE_NAMES or (match.group(3) and match.group(4)):
        raise ValueError(f'"{text}" is not a key; write a letter and a mode: G major, F# minor, D dorian')
    mode = Mode.MINOR if match.group(3) else _MODE_NAMES[word]
    step = STEPS.index(match.group(1).upper())
    alter = {"#": 1, "♯": 1, "b": -1, "♭": -1}.get(match.group(2) or "", 0)
    fifths = ((step * 2 + 1) % 7) - 1 + 7 * alter - int(mode.value)
    if not -7 <= fifths <= 7:
        raise ValueError(
            f'"{text}" would need {abs(fifths)} {"sharps" if fifths > 0 else "flats"}; seven are the most'
        )
    return Key(fifths, mode)


@lru_cache(maxsize=128)
def signature_positions(fifths: int, clef: Clef) -> tuple[int, ...]:
    """The staff positions of the signature's signs, in the order of writing.

    Computed from the treble positions F5 C5 G5 D5 A4 E5 B4 and B4 E5 A4 D5 G4 C5 F4; in the other clefs
    the same pattern higher or lower, but for sharps in the tenor clef, which begin with the low F (common practice, no source).
    """
    sharps = (
        Pitch(3, 0, 5),
        Pitch(0, 0, 5),
        Pitch(4, 0, 5),
        Pitch(1, 0, 5),
        Pitch(5, 0, 4),
        Pitch(2, 0, 5),
        Pitch(6, 0, 4),
    )
    flats = (
        Pitch(6, 0, 4),
        Pitch(2, 0, 5),
        Pitch(5, 0, 4),
        Pitch(1, 0, 5),
        Pitch(4, 0, 4),
        Pitch(0, 0, 5),
        Pitch(3, 0, 4),
    )
    row = sharps[:fifths] if fifths > 0 else flats[:-fifths]
    shift = clef.key_shift
    if clef is Clef.TENOR and fifths > 0:
        return tuple(2 + (pitch.diatonic - 31) % 7 for pitch in row)
    return tuple(pitch.diatonic - 30 + shift for pitch in row)
