"""Music moved to another key: pitches, keys and chord names by one interval, counted in fifths and semitones."""

from __future__ import annotations

import re
from typing import NamedTuple

from engrave.theory.chord_name import ChordName, parse_chord_name
from engrave.theory.key import Key
from engrave.theory.pitch import SEMITONES, STEPS, Pitch

_OCTAVE = 12
_MOST_SIGNS = 7
_FIFTHS = (0, 2, 4, -1, 1, 3, 5)
"""How many fifths each letter C to B lies above C."""
_FIFTH = 7
"""Semitones of a fifth: a fifth up seven times over is a semitone, octaves left out."""
_LETTER = re.compile(r"[A-G][#b♯♭]?")


class Interval(NamedTuple):
    """How far music moves: `semitones` up, spelled by `fifths` around the circle (seven a chromatic semitone)."""

    semitones: int
    fifths: int


NO_INTERVAL = Interval(0, 0)
"""Nothing moves."""


def interval_between(old: Key, new: Key, octaves: int = 0) -> Interval:
    """The interval from one tonic to the other, the near way (a tritone goes up), and `octaves` more.

    Raises ValueError when the keys are of different modes.
    """
    if old.mode is not new.mode:
        raise ValueError(f"{old.name} cannot become {new.name}: only the tonic can move")
    fifths = new.fifths - old.fifths
    semitones = fifths * _FIFTH % _OCTAVE
    return Interval(
        (semitones if semitones <= _OCTAVE // 2 else semitones - _OCTAVE) + _OCTAVE * octaves, fifths
    )


def interval_of(semitones: int, key: Key) -> Interval:
    """The interval of so many semitones whose new key has the fewest signs, sharps where it does not matter."""
    fifths = semitones * _FIFTH % _OCTAVE
    choices = (fifths, fifths - _OCTAVE)
    best = min(choices, key=lambda choice: (abs(key.fifths + choice), -(key.fifths + choice)))
    return Interval(semitones, best)


def fit_interval(interval: Interval, key: Key) -> Interval:
    """The interval as music under `key` moves by it: respelled where its new key would have more than seven signs."""
    fifths = key.fifths + interval.fifths
    while abs(fifths) > _MOST_SIGNS:
        fifths -= _OCTAVE if fifths > 0 else -_OCTAVE
    return Interval(interval.semitones, fifths - key.fifths)


def transpose_key(key: Key, interval: Interval) -> Key:
    """The key moved; respelled where it would have more than seven signs."""
    return Key(key.fifths + fit_interval(interval, key).fifths, key.mode)


def transpose_pitch(pitch: Pitch, interval: Interval) -> Pitch:
    """The pitch moved; respelled where it would need a triple sign."""
    step, alter = _move_letter((pitch.step, pitch.alter), interval.fifths)
    midi = pitch.midi + interval.semitones
    octave = (midi - SEMITONES[step] - alter) // _OCTAVE - 1
    return Pitch(step, alter, octave)


def transpose_chord(name: ChordName, interval: Interval) -> ChordName:
    """The chord name with root and bass moved, as people type it; N.C. stays."""
    if name.root is None:
        return name
    root, _, bass = (
        name.text.strip().rpartition("/") if name.bass is not None else (name.text.strip(), "", "")
    )
    moved = _letter_name(_move_letter(name.root, interval.fifths, most=1)) + _LETTER.sub("", root, count=1)
    if name.bass is not None and bass:
        moved += "/" + _letter_name(_move_letter(name.bass, interval.fifths, most=1))
    return parse_chord_name(moved)


def transpose_root(letter: tuple[int, int], interval: Interval) -> str:
    """A note (step, alter) moved, as people type it: "F#", with no double sign."""
    return _letter_name(_move_letter(letter, interval.fifths, most=1))


def _move_letter(letter: tuple[int, int], fifths: int, most: int = 2) -> tuple[int, int]:
    """The (step, alter) so many fifths further, with no more than `most` signs."""
    step, alter = letter
    place = _FIFTHS[step] + _FIFTH * alter + fifths
    while abs((place + 1) // _FIFTH) > most:
        place -= _OCTAVE if place > 0 else -_OCTAVE
    return place * 4 % 7, (place + 1) // _FIFTH


def _letter_name(letter: tuple[int, int]) -> str:
    step, alter = letter
    return STEPS[step] + ("#" * alter if alter > 0 else "b" * -alter)
