"""Which instrument a block is for: by its number of strings, their names and the words over it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from engrave.theory.instrument import PRESETS, TUNINGS, Instrument, parse_tuning
from engrave.theory.pitch import SEMITONES, STEPS, Pitch, parse_pitch

_USUAL = {4: "bass", 5: "bass-5", 6: "guitar", 7: "guitar-7", 8: "guitar-8"}
"""The instrument with so many strings when nothing else is said (house rule)."""
_NAME = re.compile(r"([A-Ga-g])([#b]?)(-?\d)?")
_OCTAVE = 12
_FAR = 12
"""Semitones by which a string is tuned away from the usual, at most (house rule)."""
_WORDS = re.compile(r"[^a-z0-9#]+")
_STEP_DOWN = {
    "1 2 step down": "half step down",
    "half step down": "half step down",
    "one step down": "whole step down",
}
_MANY_TOKENS = 8


class Strung(NamedTuple):
    """An instrument as the score calls it, and its tuning, thickest string first; no tuning: the usual one."""

    preset: str
    tuning: tuple[str, ...] = ()


def find_instrument(names: Sequence[str], family: str = "") -> Strung:
    """The instrument whose strings are called `names` (thinnest first, "" for unknown ones; none: a voice)."""
    if not names:
        return Strung("voice")
    preset, distance = _nearest(names, family)
    if distance == 0:
        return Strung(preset)
    tuning = [_pitch(name, usual).name for name, usual in zip(names, PRESETS[preset].tuning)]
    return Strung(preset, tuple(reversed(tuning)))


def is_upside_down(names: Sequence[str], family: str = "") -> bool:
    """True when the names read far better from the thickest string down."""
    if not names or not all(names):
        return False
    forward, backward = _nearest(names, family)[1], _nearest(list(reversed(names)), family)[1]
    return 2 * backward < forward


def read_tuning(text: str, count: int) -> tuple[str, ...]:
    """Names of `count` strings, thinnest first, from "Drop D" or "D A D G B E"; empty when it is neither."""
    words = " ".join(_WORDS.sub(" ", text.lower()).split())
    words = _STEP_DOWN.get(words, words)
    for name, pitches in TUNINGS.items():
        if name.lower() in (words, words.removesuffix(" tuning")) and len(pitches) == count:
            return tuple(pitch.name for pitch in parse_tuning(pitches))
    tokens = text.replace(",", " ").split()
    if len(tokens) == 1 and text.isupper():
        tokens = re.findall(r"[A-G][#b]?", text)
    if len(tokens) == count <= _MANY_TOKENS and all(_NAME.fullmatch(token) for token in tokens):
        return tuple(reversed(tokens))
    return ()


def _nearest(names: Sequence[str], family: str) -> tuple[str, int]:
    """The preset that needs the least retuning, and by how many semitones in all; the usual one first."""
    count = len(names)
    fitting = [preset for preset in PRESETS.values() if preset.strings == count]
    own = [preset for preset in fitting if family and family in preset.name.split("-")]
    usual = PRESETS[_USUAL[count]]
    candidates = own or [usual, *(preset for preset in fitting if preset is not usual)]
    if usual in own:
        candidates = [usual, *own]
    best = min(candidates, key=lambda preset: _distance(names, preset))
    return best.name, _distance(names, best)


def _distance(names: Sequence[str], preset: Instrument) -> int:
    return sum(abs(_pitch(name, usual).midi - usual.midi) for name, usual in zip(names, preset.tuning))


def _pitch(name: str, usual: Pitch) -> Pitch:
    """The pitch of a string called `name`: in its octave, or the nearest to what is usual, the lower of two."""
    match = _NAME.fullmatch(name)
    if match is None:
        return usual
    letter, sign, octave = match.groups()
    if octave is not None:
        told = parse_pitch(f"{letter.upper()}{sign}{octave}")
        if abs(told.midi - usual.midi) <= _FAR:
            return told
    step = STEPS.index(letter.upper())
    alter = {"": 0, "#": 1, "b": -1}[sign]
    base = SEMITONES[step] + alter
    down = (usual.midi - base) % _OCTAVE
    midi = usual.midi - down if down <= _OCTAVE - down else usual.midi + _OCTAVE - down
    return Pitch(step, alter, (midi - base) // _OCTAVE - 1)
