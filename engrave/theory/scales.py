"""Scales, arpeggios and triads as tones over a root, each with its letter and its degree.

Degrees are counted as in the major scale of the root: b3 lies a semitone under its third. The scales are those of printed
tables (J. Aebersold, "Scale Syllabus", and E. Taylor, "The AB Guide to Music Theory", both from memory).
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from engrave.problems import did_you_mean
from engrave.theory.chord_name import ChordName, chord_letters, parse_chord_name, root_semitone
from engrave.theory.pitch import SEMITONES, STEPS

SCALES: dict[str, str] = {
    "major": "1 2 3 4 5 6 7",
    "minor": "1 2 b3 4 5 b6 b7",
    "dorian": "1 2 b3 4 5 6 b7",
    "phrygian": "1 b2 b3 4 5 b6 b7",
    "lydian": "1 2 3 #4 5 6 7",
    "mixolydian": "1 2 3 4 5 6 b7",
    "locrian": "1 b2 b3 4 b5 b6 b7",
    "harmonic minor": "1 2 b3 4 5 b6 7",
    "melodic minor": "1 2 b3 4 5 6 7",
    "major pentatonic": "1 2 3 5 6",
    "minor pentatonic": "1 b3 4 5 b7",
    "blues": "1 b3 4 b5 5 b7",
    "major blues": "1 2 b3 3 5 6",
    "phrygian dominant": "1 b2 3 4 5 b6 b7",
    "lydian dominant": "1 2 3 #4 5 6 b7",
    "altered": "1 b2 #2 3 b5 #5 b7",
    "bebop dominant": "1 2 3 4 5 6 b7 7",
    "whole tone": "1 2 3 #4 #5 b7",
    "half-whole diminished": "1 b2 #2 3 #4 5 6 b7",
    "whole-half diminished": "1 2 b3 4 b5 b6 6 7",
    "chromatic": "1 b2 2 b3 3 4 b5 5 b6 6 b7 7",
}
"""The degrees of each scale, from the root up. Melodic minor is the rising form."""
_OTHER_NAMES = {
    "ionian": "major",
    "aeolian": "minor",
    "natural minor": "minor",
    "pentatonic major": "major pentatonic",
    "pentatonic minor": "minor pentatonic",
    "minor blues": "blues",
    "super locrian": "altered",
    "spanish phrygian": "phrygian dominant",
    "diminished": "whole-half diminished",
}
_CHORD_WORDS = {"major": "", "minor": "m", "diminished": "dim", "augmented": "aug", "dominant": "7"}
_CHORD_KINDS = ("arpeggio", "triad")
_ROOT = re.compile(r"([A-Ga-g])([#b♯♭]?)(?![A-Za-z0-9#b♯♭])\s*(.*)")
_DEGREE = re.compile(r"(#|b)?(\d)")
_SIGNS = {2: "♯♯", 1: "♯", 0: "", -1: "♭", -2: "♭♭"}
_EXAMPLES = "A minor pentatonic, D mixolydian, E7 arpeggio, C triad"
_USUAL_DEGREES = ("1", "b2", "2", "b3", "3", "4", "b5", "5", "b6", "6", "b7", "7")
"""What a tone is called over a root that names no scale, semitone by semitone (common practice, no source)."""
_STACKED = {2: "9", 4: "11", 6: "13"}
_REACHED_BY = {"9": ("9", "11", "13"), "11": ("11",), "13": ("13",)}
"""Which figures in a chord's name make a second a ninth: a thirteenth has a ninth too (see `chord_name.py`)."""


class Tone(NamedTuple):
    """One tone: its letter (step and alter), and its degree as printed: "♭3", "9"."""

    step: int
    alter: int
    degree: str

    @property
    def pitch_class(self) -> int:
        """Semitones over C, 0 to 11."""
        return (SEMITONES[self.step] + self.alter) % 12

    @property
    def letter(self) -> str:
        """The note's international name with a real sharp or flat."""
        return f"{STEPS[self.step]}{_SIGNS[self.alter]}"


class ToneSet(NamedTuple):
    """Tones from the root up. `kind` is the name of the scale, else "arpeggio" or "triad", which have a `chord`."""

    kind: str
    tones: tuple[Tone, ...]
    chord: ChordName | None = None

    @property
    def root(self) -> Tone:
        """The first tone."""
        return self.tones[0]

    @property
    def is_scale(self) -> bool:
        """False for the tones of a chord."""
        return self.chord is None

    @property
    def by_pitch_class(self) -> dict[int, Tone]:
        """The tones by their semitones over C."""
        return {tone.pitch_class: tone for tone in self.tones}


def degree_text(number: str, alter: int) -> str:
    """A degree as printed: the real sharp or flat before the number."""
    return f"{_SIGNS[alter]}{number}"


def _tone(root: tuple[int, int], degree: str) -> Tone:
    """The tone of a degree such as "b3" over `root`; one that would need a triple sign has the nearest letter."""
    match = _DEGREE.fullmatch(degree)
    assert match is not None, degree
    number, sign = int(match.group(2)), {"#": 1, "b": -1, None: 0}[match.group(1)]
    root_step, root_alter = root
    step = (root_step + number - 1) % 7
    semitones = SEMITONES[root_step] + root_alter + SEMITONES[number - 1] + sign
    alter = (semitones - SEMITONES[step] + 6) % 12 - 6
    if abs(alter) > 2:
        step = (step + (1 if alter > 0 else -1)) % 7
        alter = (semitones - SEMITONES[step] + 6) % 12 - 6
    return Tone(step, alter, degree_text(str(number), sign))


def build_scale(kind: str, root: tuple[int, int]) -> ToneSet:
    """A scale of `SCALES` on `root` (step, alter)."""
    return ToneSet(kind, tuple(_tone(root, degree) for degree in SCALES[kind].split()))


def tones_over(root: tuple[int, int]) -> dict[int, Tone]:
    """All twelve tones over `root` by their semitones over C, as they are usually called."""
    tones = [_tone(root, degree) for degree in _USUAL_DEGREES]
    return {tone.pitch_class: tone for tone in tones}


def build_chord(kind: str, chord: ChordName) -> ToneSet:
    """The tones of a chord, the root first; `kind` is "arpeggio" or "triad". Raises ValueError for "no chord"."""
    root = root_semitone(chord)
    letters = chord_letters(chord)
    tones = []
    for pitch_class in sorted(letters, key=lambda tone: (tone - root) % 12):
        step, alter = letters[pitch_class]
        tones.append(Tone(step, alter, _chord_degree(chord, step, pitch_class, letters)))
    return ToneSet(kind, tuple(tones), chord)


def _chord_degree(chord: ChordName, step: int, pitch_class: int, letters: dict[int, tuple[int, int]]) -> str:
    """The degree of one tone of a chord: a second that its name calls a ninth is one."""
    assert chord.root is not None
    root_step, _ = chord.root
    number = (step - root_step) % 7 + 1
    above = (pitch_class - root_semitone(chord)) % 12
    sign = (above - SEMITONES[number - 1] + 6) % 12 - 6
    stacked = _STACKED.get(number, "")
    if stacked and any(figure in chord.extension for figure in _REACHED_BY[stacked]):
        return degree_text(stacked, sign)
    return degree_text(str(number), sign)


@lru_cache(maxsize=512)
def parse_tones(text: str) -> ToneSet:
    """Read "A minor pentatonic", "E7 arpeggio", "C minor triad". Raises ValueError that says what would be right."""
    words = " ".join(text.split())
    for kind in _CHORD_KINDS:
        if words.lower().endswith((f" {kind}", f" {kind}s")):
            return _parse_chord(kind, words[: words.lower().rindex(f" {kind}")])
    match = _ROOT.fullmatch(words)
    if match is None:
        hint = " (German H is B)" if words[:1] in ("H", "h") else ""
        raise ValueError(f'"{text}" names no scale, arpeggio or triad{hint}; for example: {_EXAMPLES}')
    root = STEPS.index(match.group(1).upper()), {"": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}[match.group(2)]
    name = match.group(3).lower()
    if not name:
        raise ValueError(f'"{text}" does not say which scale; for example: {_EXAMPLES}')
    name = name.removesuffix(" scale")
    name = _OTHER_NAMES.get(name, name)
    if name not in SCALES:
        raise ValueError(
            f'"{name}" is not a scale known here; {did_you_mean(name, (*SCALES, *_OTHER_NAMES, *_CHORD_KINDS))}'
        )
    return build_scale(name, root)


def _parse_chord(kind: str, text: str) -> ToneSet:
    match = _ROOT.fullmatch(text)
    if match is not None and match.group(3).lower() in _CHORD_WORDS:
        text = f"{match.group(1).upper()}{match.group(2)}{_CHORD_WORDS[match.group(3).lower()]}"
    found = build_chord(kind, parse_chord_name(text))
    if kind == "triad" and len(found.tones) != 3:
        raise ValueError(f"{text} has {len(found.tones)} tones, so it is no triad; write {text} arpeggio")
    return found
