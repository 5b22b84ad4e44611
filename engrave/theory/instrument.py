"""Fretted instruments: strings, frets, tuning, capo, and how the music is written. Voices are parts without strings."""

from collections.abc import Sequence
from typing import NamedTuple

from engrave.theory.clef import Clef
from engrave.theory.pitch import Pitch, parse_pitch, step_letter

_USUAL_STRINGS = 6
"""Players know the tuning of six strings by heart (house rule)."""


class Instrument(NamedTuple):
    """One instrument. `tuning` holds the SOUNDING pitches of the open strings, string 1 (thinnest) first.

    `frets` is the number of frets from the nut. `octave` is how many octaves above sound the music is written.
    `scale_length` is in millimetres. `first_frets` gives, string by string, the fret at which a short string starts (the
    banjo's fifth). No tuning means a voice. `clef_by_range`: another clef may do where the music lies too low or high for
    this one.
    """

    name: str
    tuning: tuple[Pitch, ...]
    frets: int = 24
    capo: int = 0
    clef: Clef = Clef.OCTAVE_TREBLE
    octave: int = 1
    scale_length: float = 650.0
    first_frets: tuple[int, ...] = ()
    usual_tuning: tuple[Pitch, ...] = ()
    clef_by_range: bool = False

    @property
    def strings(self) -> int:
        """How many strings."""
        return len(self.tuning)

    @property
    def usable_frets(self) -> int:
        """The highest fret number that can be written: frets count from the capo."""
        return self.frets - self.capo

    @property
    def is_usual_tuning(self) -> bool:
        """True when the strings are tuned as the preset has them."""
        return not self.usual_tuning or self.tuning == self.usual_tuning

    @property
    def names_its_strings(self) -> bool:
        """True when a page should say how the strings are tuned: not as usual, or more than the usual six."""
        return not self.is_usual_tuning or self.strings > _USUAL_STRINGS

    @property
    def string_names(self) -> tuple[str, ...]:
        """The letter of each open string, string 1 first: "E", "Bb"."""
        return tuple(pitch.name.rstrip("-0123456789") for pitch in self.tuning)

    def open_midi(self, string: int) -> int:
        """The MIDI number of the open string as fingered, without the capo."""
        return self.tuning[string - 1].midi

    def sounding_midi(self, string: int, fret: int) -> int:
        """What sounds when `string` is stopped at `fret` (counted from the capo)."""
        return self.tuning[string - 1].midi + fret + self.capo

    def written_midi(self, string: int, fret: int) -> int:
        """The MIDI number as written: the fingered shape without the capo, in the written octave."""
        return self.tuning[string - 1].midi + fret + 12 * self.octave

    def places(self, midi: int) -> tuple[tuple[int, int], ...]:
        """Every (string, fret) that sounds `midi`, thinnest string first; frets count from the capo."""
        found = []
        for index, pitch in enumerate(self.tuning):
            fret = midi - pitch.midi - self.capo
            if 0 <= fret <= self.usable_frets - (self.first_frets[index] if self.first_frets else 0):
                found.append((index + 1, fret))
        return tuple(found)


def _strings(names: str) -> tuple[Pitch, ...]:
    """Pitches from names, string 1 first."""
    return tuple(parse_pitch(name) for name in names.split())


def _preset(
    name: str, strings: str, frets: int, clef: Clef, octave: int, scale: float, short: str = ""
) -> Instrument:
    tuning = _strings(strings)
    return Instrument(
        name=name,
        tuning=tuning,
        frets=frets,
        capo=0,
        clef=clef,
        octave=octave,
        scale_length=scale,
        first_frets=tuple(int(n) for n in short.split()),
        usual_tuning=tuning,
        clef_by_range=octave == 1,
    )


_T8, _B8, _T, _B = Clef.OCTAVE_TREBLE, Clef.BASS, Clef.TREBLE, Clef.BASS

PRESETS: dict[str, Instrument] = {
    preset.name: preset
    for preset in (
        _preset("guitar", "E4 B3 G3 D3 A2 E2", 24, _T8, 1, 650),
        _preset("guitar-7", "E4 B3 G3 D3 A2 E2 B1", 24, _T8, 1, 648),
        _preset("guitar-8", "E4 B3 G3 D3 A2 E2 B1 F#1", 24, _T8, 1, 686),
        _preset("baritone-guitar", "B3 F#3 D3 A2 E2 B1", 24, _T8, 1, 690),
        _preset("twelve-string-guitar", "E4 B3 G3 D3 A2 E2", 20, _T8, 1, 648),
        _preset("tenor-guitar", "A4 D4 G3 C3", 20, _T8, 1, 585),
        _preset("bass", "G2 D2 A1 E1", 24, _B8, 1, 864),
        _preset("bass-5", "G2 D2 A1 E1 B0", 24, _B8, 1, 864),
        _preset("bass-6", "C3 G2 D2 A1 E1 B0", 24, _B8, 1, 864),
        _preset("ukulele", "A4 E4 C4 G4", 18, _T, 0, 350),
        _preset("baritone-ukulele", "E4 B3 G3 D3", 18, _T8, 1, 510),
        _preset("mandolin", "E5 A4 D4 G3", 20, _T, 0, 350),
        _preset("banjo", "D4 B3 G3 D3 G4", 22, _T8, octave=1, scale=670, short="0 0 0 0 5"),
        Instrument(name="voice", tuning=(), frets=0, capo=0, clef=_T, octave=0, scale_length=0.0),
        Instrument(name="voice-tenor", tuning=(), frets=0, capo=0, clef=_T8, octave=1, scale_length=0.0),
        Instrument(name="voice-bass", tuning=(), frets=0, capo=0, clef=_B, octave=0, scale_length=0.0),
    )
}
"""Instruments by name (tunings: common practice, no source)."""

TUNINGS: dict[str, tuple[str, ...]] = {
    "standard": ("E2", "A2", "D3", "G3", "B3", "E4"),
    "drop D": ("D2", "A2", "D3", "G3", "B3", "E4"),
    "double drop D": ("D2", "A2", "D3", "G3", "B3", "D4"),
    "DADGAD": ("D2", "A2", "D3", "G3", "A3", "D4"),
    "open D": ("D2", "A2", "D3", "F#3", "A3", "D4"),
    "open E": ("E2", "B2", "E3", "G#3", "B3", "E4"),
    "open G": ("D2", "G2", "D3", "G3", "B3", "D4"),
    "open A": ("E2", "A2", "E3", "A3", "C#4", "E4"),
    "open C": ("C2", "G2", "C3", "G3", "C4", "E4"),
    "half step down": ("Eb2", "Ab2", "Db3", "Gb3", "Bb3", "Eb4"),
    "whole step down": ("D2", "G2", "C3", "F3", "A3", "D4"),
    "all fourths": ("E2", "A2", "D3", "G3", "C4", "F4"),
    "drop A 7": ("A1", "E2", "A2", "D3", "G3", "B3", "E4"),
    "bass drop D": ("D1", "A1", "D2", "G2"),
}
"""Tunings by name, thickest string first (common practice, no source)."""


def parse_tuning(names: Sequence[str]) -> tuple[Pitch, ...]:
    """A tuning from pitches given thickest string first, as players say it; string 1 first in the result.

    Raises ValueError for a name that is no pitch.
    """
    return tuple(parse_pitch(name) for name in reversed(names))


def tuning_of(text: str) -> tuple[Pitch, ...]:
    """A tuning by its name, or by its pitches with spaces or commas between, thickest string first.

    Raises ValueError for what is neither, and for fewer than 4 or more than 8 strings.
    """
    names = TUNINGS.get(text) or tuple(text.replace(",", " ").split())
    if not 4 <= len(names) <= 8:
        raise ValueError(f'"{text}" is not a tuning of 4 to 8 strings')
    return parse_tuning(names)


def with_tuning(instrument: Instrument, tuning: tuple[Pitch, ...]) -> Instrument:
    """The instrument tuned to `tuning` (string 1 first).

    With another number of strings it is another instrument of the same length: this is its usual tuning, and no string
    is short.
    """
    if len(tuning) == instrument.strings:
        return instrument._replace(tuning=tuning, usual_tuning=instrument.usual_tuning or tuning)
    return instrument._replace(tuning=tuning, usual_tuning=tuning, first_frets=())


def with_capo(instrument: Instrument, capo: int) -> Instrument:
    """The instrument with a capo at fret `capo`."""
    return instrument._replace(capo=capo)


def letter_name(pitch: Pitch, says_h: bool = False) -> str:
    """The pitch's letter with a real sharp or flat, without the octave. `says_h`: a B that is not flat is called H."""
    return (
        step_letter(pitch.step, pitch.alter, says_h)
        + {0: "", 1: "♯", -1: "♭", 2: "♯♯", -2: "♭♭"}[pitch.alter]
    )
