"""Pitches: letter, alteration and octave."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

STEPS = "CDEFGAB"
"""The letters in order of the octave, which starts at C (octave 4 at middle C: MusicXML 4.0, octave)."""

H = "H"
"""What B is called in German, where B is the flattened note."""

SEMITONES = (0, 2, 4, 5, 7, 9, 11)
"""Semitones of each letter above C."""

_ALTERS = {"": 0, "#": 1, "##": 2, "b": -1, "bb": -2, "♯": 1, "♯♯": 2, "♭": -1, "♭♭": -2, "♮": 0}
_SIGNS = {0: "", 1: "#", 2: "##", -1: "b", -2: "bb"}
_PATTERN = re.compile(r"([A-Ga-g])(##|#|bb|b|♯♯|♯|♭♭|♭|♮)?(-?\d)")


class Pitch(NamedTuple):
    """A spelled pitch. `step` 0 (C) to 6 (B), `alter` -2 to 2 semitones, `octave` 4 from middle C up."""

    step: int
    alter: int
    octave: int

    @property
    def midi(self) -> int:
        """The MIDI number; C4 is 60."""
        return 12 * (self.octave + 1) + SEMITONES[self.step] + self.alter

    @property
    def diatonic(self) -> int:
        """Letters counted from C0: what decides the place on the staff."""
        return 7 * self.octave + self.step

    @property
    def name(self) -> str:
        """The pitch as people type it: "F#4"."""
        return f"{STEPS[self.step]}{_SIGNS[self.alter]}{self.octave}"

    def transposed_octaves(self, octaves: int) -> Pitch:
        """The same letter, `octaves` higher."""
        return Pitch(self.step, self.alter, self.octave + octaves)


def step_letter(step: int, alter: int, says_h: bool) -> str:
    """The letter of a note. `says_h`: a B that is not flat is called H; a flat one keeps its B beside the sign."""
    return H if says_h and STEPS[step] == "B" and alter >= 0 else STEPS[step]


@lru_cache(maxsize=1024)
def parse_pitch(text: str) -> Pitch:
    """Read "F#4", "Bb3", "C##5" (or with ♯ ♭). Raises ValueError that says what would be right."""
    match = _PATTERN.fullmatch(text.strip())
    english = f"B{text.strip()[1:]}"
    if match is None and text.strip()[:1].upper() == H and _PATTERN.fullmatch(english):
        raise ValueError(f'"{text}" is not a pitch; German H is B: write {english}')
    if match is None:
        raise ValueError(
            f'"{text}" is not a pitch; write a letter A to G, # or b if needed, and the octave: F#4 (C4 is middle C)'
        )
    letter, sign, octave = match.groups()
    return Pitch(STEPS.index(letter.upper()), _ALTERS[sign or ""], int(octave))


def frequency(midi: float) -> float:
    """Hertz of a MIDI number in equal temperament, A4 = 440 Hz (ISO 16)."""
    return float(440.0 * 2.0 ** ((midi - 69) / 12))
