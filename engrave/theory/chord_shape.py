"""Chord shapes: which fret each string is stopped at, by which finger, and how many fret rows show it.

Rules of rows and barres: common practice, no source, unless a docstring says otherwise.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

_FEWEST_STRINGS = 4
_MOST_STRINGS = 8
"""The instruments that the project writes for have 4 to 8 strings (house rule)."""
_HIGHEST_FRET = 30
"""No common instrument has more frets (house rule)."""
_LEAST_ROWS = 4
"""A grid of fewer rows does not look like a neck (common practice, no source)."""
_FINGERS_OF_A_HAND = 4
"""More stopped strings than fingers beside the thumb: some finger must lie across two of them."""

_MUTED = "x"
_NO_FINGER = ("-", "0")
_FINGERS = ("1", "2", "3", "4", "T")
_FRETS_EXAMPLE = '"x 3 2 0 1 0" or "x32010"'
_FINGERS_EXAMPLE = '"0 3 2 0 1 0" or "032010"'


class Barre(NamedTuple):
    """One finger across several strings: its fret and its outer strings, counted from 0 at the thickest."""

    fret: int
    lowest: int
    highest: int


class ChordShape(NamedTuple):
    """One hand position, the thickest string first.

    `frets`: None is a string that is not played, 0 an open one; stopped frets count from the nut (or the capo).
    `fingers` has as many items: "" (nothing said), "1" to "4", or "T" for the thumb.
    """

    frets: tuple[int | None, ...]
    fingers: tuple[str, ...]
    name: str = ""

    @property
    def strings(self) -> int:
        """How many strings."""
        return len(self.frets)

    @property
    def stopped(self) -> tuple[int, ...]:
        """The frets of the stopped strings, the thickest string first."""
        return tuple(fret for fret in self.frets if fret)

    @property
    def frets_text(self) -> str:
        """The frets as `parse_chord_shape` reads them: "x 3 2 0 1 0"."""
        return " ".join(_MUTED if fret is None else str(fret) for fret in self.frets)

    @property
    def fingers_text(self) -> str:
        """The fingers as `parse_chord_shape` reads them: "0 3 2 0 1 0"; "" where none is named."""
        return " ".join(finger or "0" for finger in self.fingers) if any(self.fingers) else ""

    @property
    def base_fret(self) -> int:
        """The fret of the first row: 1 when four rows from the nut hold everything, else the lowest stopped fret."""
        stopped = self.stopped
        return min(stopped) if max(stopped, default=0) > _LEAST_ROWS else 1

    @property
    def rows(self) -> int:
        """How many fret rows show the whole shape, at least four."""
        return max(_LEAST_ROWS, max(self.stopped, default=0) - self.base_fret + 1)

    @property
    def barres(self) -> list[Barre]:
        """Where one finger lies across strings, from the nut on.

        With fingers given: every finger that stops two or more strings at one fret. Without: the lowest fret, when
        more strings are stopped than a hand has fingers, it occurs twice, and no open string lies between.
        """
        if any(self.fingers):
            found = [barre for _, barre in self.reaches]
        elif len(self.stopped) > _FINGERS_OF_A_HAND:
            found = [self._span(min(self.stopped), "")]
        else:
            found = []
        return [barre for barre in found if barre.lowest < barre.highest and self.lets_sound(barre)]

    @property
    def reaches(self) -> list[tuple[str, Barre]]:
        """Each finger that is named and the strings it reaches over at one fret, one string or more, from the nut on."""
        pressed = {(fret, finger) for fret, finger in zip(self.frets, self.fingers) if fret and finger}
        return [(finger, self._span(fret, finger)) for fret, finger in sorted(pressed)]

    def _span(self, fret: int, finger: str) -> Barre:
        pairs = zip(self.frets, self.fingers)
        places = [index for index, pair in enumerate(pairs) if pair == (fret, finger)]
        return Barre(fret, places[0], places[-1])

    def lets_sound(self, barre: Barre) -> bool:
        """False when a string under the barre would have to sound below it: open, or stopped nearer the nut."""
        return all(
            fret is None or fret >= barre.fret for fret in self.frets[barre.lowest : barre.highest + 1]
        )

    def pitches(self, tuning: Sequence[int]) -> tuple[int, ...]:
        """The MIDI numbers that sound, from low to high, so that the first is the bass.

        `tuning` holds the open strings' MIDI numbers, the thickest string first (with a capo: as they sound with it).
        Raises ValueError when it has not as many strings as the shape.
        """
        if len(tuning) != self.strings:
            raise ValueError(
                f"the shape has {self.strings} strings and the tuning {len(tuning)}; both must have the same number"
            )
        return tuple(sorted(note + fret for note, fret in zip(tuning, self.frets) if fret is not None))


def parse_chord_shape(frets: str, fingers: str = "", strings: int | None = None) -> ChordShape:
    """Read a shape: `frets` like "x 3 2 0 1 0", "10 12 12 11 10 10" or "x32010"; `fingers` like "- 3 2 - 1 -" or "032010".

    The thickest string comes first; x is not played, 0 open; no finger is - or 0. `strings` is the number of strings
    of the instrument, if known. Raises ValueError that says what is wrong and what would be right.
    """
    places = tuple(_read_fret(word, frets) for word in _split(frets))
    _check_number_of_strings(frets, len(places), strings)
    if all(fret is None for fret in places):
        raise ValueError(
            f'"{frets}" has no string that sounds; write a fret for at least one: {_FRETS_EXAMPLE}'
        )
    if not fingers.strip():
        return ChordShape(places, ("",) * len(places))
    marks = tuple(_read_finger(word, fingers) for word in _split(fingers))
    if len(marks) != len(places):
        raise ValueError(
            f'the fingers "{fingers}" are for {len(marks)} strings, the frets "{frets}" for {len(places)}; '
            f"write one finger per string and 0 for none: {_FINGERS_EXAMPLE}"
        )
    shape = ChordShape(places, marks)
    _check_fingers(shape)
    return shape


def _split(text: str) -> list[str]:
    """The words of `text`; a single word has one character a string."""
    words = text.split()
    return list(words[0]) if len(words) == 1 else words


def _read_fret(word: str, text: str) -> int | None:
    if word.lower() == _MUTED:
        return None
    if re.fullmatch(r"[0-9]+", word) is None:
        raise ValueError(
            f'"{word}" in the frets "{text}" is not a fret; write a number, 0 for an open string, '
            f"x for a string that is not played: {_FRETS_EXAMPLE}"
        )
    if len(word) > len(str(_HIGHEST_FRET)) or int(word) > _HIGHEST_FRET:
        raise ValueError(
            f'fret {word} in "{text}" does not exist; write 0 to {_HIGHEST_FRET}, with a space after each'
        )
    return int(word)


def _read_finger(word: str, text: str) -> str:
    if word in _NO_FINGER:
        return ""
    if word not in _FINGERS:
        raise ValueError(
            f'"{word}" in the fingers "{text}" is not a finger; write 1 to 4, T for the thumb, 0 for none: '
            f"{_FINGERS_EXAMPLE}"
        )
    return word


def _check_number_of_strings(text: str, found: int, wanted: int | None) -> None:
    if wanted is not None and found != wanted:
        raise ValueError(
            f'"{text}" has {_count_strings(found)}, the instrument {wanted}; write one fret per string from the '
            f"thickest, x for none, with spaces between frets above 9: {_FRETS_EXAMPLE}"
        )
    if not _FEWEST_STRINGS <= found <= _MOST_STRINGS:
        raise ValueError(
            f'"{text}" has {_count_strings(found)}; write {_FEWEST_STRINGS} to {_MOST_STRINGS}, '
            f"one fret per string from the thickest: {_FRETS_EXAMPLE}"
        )


def _count_strings(number: int) -> str:
    return "1 string" if number == 1 else f"{number or 'no'} strings"


def _check_fingers(shape: ChordShape) -> None:
    """Refuse fingers that stop nothing, and a finger that lies across a string which sounds below it."""
    for index, (fret, finger) in enumerate(zip(shape.frets, shape.fingers)):
        if finger and not fret:
            state = "is not played" if fret is None else "is open"
            raise ValueError(
                f"finger {finger} is on string {shape.strings - index}, which {state}; write - there, or the fret it stops"
            )
    for finger, barre in shape.reaches:
        if not shape.lets_sound(barre):
            raise ValueError(
                f"finger {finger} cannot lie across strings {shape.strings - barre.lowest} to "
                f"{shape.strings - barre.highest} at fret {barre.fret}: a string between sounds open or at a lower "
                "fret; write another finger for one of the two"
            )
