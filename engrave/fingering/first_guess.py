"""Pitches put on strings for the time being, so that a score can be read before anyone has thought about hands.

This does not choose: `solve.py` does, for every note that the author wrote as a pitch, wherever this has put it. It only
tells whether the strings are enough, and where a note stays that no hand can play.
"""

from __future__ import annotations

from collections.abc import Sequence

from engrave.theory.instrument import Instrument
from engrave.theory.pitch import Pitch


def written_places(instrument: Instrument, pitch: Pitch) -> list[tuple[int, int]]:
    """Every (string, fret) for a written pitch, lowest fret first. With a capo the written pitch is the shape's."""
    sounding = pitch.midi - 12 * instrument.octave + instrument.capo
    return sorted(instrument.places(sounding), key=lambda place: (place[1], place[0]))


def guess_places(
    instrument: Instrument, pitches: Sequence[Pitch], taken: frozenset[int]
) -> list[tuple[int, int]] | None:
    """A different string for each of `pitches` that sound together, with the least sum of frets; None when there is none.

    Strings in `taken` are not free.
    """
    if len(pitches) + len(taken) > instrument.strings:
        return None
    return lowest_places([written_places(instrument, pitch) for pitch in pitches], taken)


def lowest_places(
    options: Sequence[Sequence[tuple[int, int]]], taken: frozenset[int] = frozenset()
) -> list[tuple[int, int]] | None:
    """One of each of `options`, (string, fret) with low frets first, on different strings: those with the least sum of frets."""
    best: tuple[int, list[tuple[int, int]]] | None = None

    def extend(index: int, used: frozenset[int], found: list[tuple[int, int]], total: int) -> None:
        nonlocal best
        if best is not None and total >= best[0]:
            return
        if index == len(options):
            best = (total, found)
            return
        for string, fret in options[index]:
            if string not in used:
                extend(index + 1, used | {string}, [*found, (string, fret)], total + fret)

    extend(0, taken, [], 0)
    return best[1] if best else None


def most_on_strings(instrument: Instrument, pitches: Sequence[int]) -> tuple[int, ...]:
    """Of sounding `pitches`, lowest first, as many as find a string each; the outer ones come first."""
    strings: dict[int, int] = {}

    def place(index: int, tried: set[int]) -> bool:
        for string, _ in instrument.places(pitches[index]):
            if string not in tried:
                tried.add(string)
                if string not in strings or place(strings[string], tried):
                    strings[string] = index
                    return True
        return False

    middle = (pitches[0] + pitches[-1]) / 2
    for index in sorted(range(len(pitches)), key=lambda index: -abs(pitches[index] - middle)):
        place(index, set())
    return tuple(pitches[index] for index in sorted(strings.values()))
