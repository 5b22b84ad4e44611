"""The names of what sounds: which chords, inversions and incomplete chords a set of pitches can be.

The vocabulary is that of `chord_name.py`. Order of the names (house rule): complete chords over their root; over another
tone; with tones left out; over a tone that the chord does not have; with tones left out over another tone. Simple chords
first.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from engrave.theory.chord_name import ChordName, chord_letters, parse_chord_name
from engrave.theory.chord_tones import chord_tones
from engrave.theory.pitch import STEPS

QUALITIES = (
    "", "m", "7", "m7", "maj7", "sus4", "sus2", "5", "6", "m6", "dim", "aug", "dim7", "m7b5", "7sus4", "add9", "m(add9)",
    "9", "m9", "maj9", "m(maj7)", "6/9", "m6/9", "7b9", "7#9", "7#5", "7b5", "maj7#5", "maj7b5", "(b5)", "add11",
    "sus2/4", "7sus2", "maj7sus4", "9sus4", "m(maj9)", "dim(maj7)", "11", "m11", "maj11", "13", "m13", "maj13", "13sus4",
    "13b9", "7#11", "9#11", "maj7#11", "maj9#11", "7b13", "9#5", "9b5", "7b5b9", "7#5b9", "7#5#9", "7b5#9", "7alt",
)  # fmt: skip
"""What may follow a root, the simplest first."""

_MAJOR_ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
_MINOR_ROOTS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")
"""The roots whose keys have the fewest signs; the sharp where both have six (house rule)."""
_RARE_LETTERS = ("Cb", "E#", "Fb", "B#")
"""A bass is called by its plain letter instead (house rule)."""


class FoundName(NamedTuple):
    """One name. `missing` are the pitch classes (C = 0) of the chord that do not sound."""

    name: ChordName
    missing: frozenset[int]


def name_pitches(pitches: Sequence[int]) -> list[FoundName]:
    """The names of what sounds, the likeliest first; none when no chord of the vocabulary fits. MIDI numbers."""
    if not pitches:
        return []
    bass = min(pitches) % 12
    tones = frozenset(pitch % 12 for pitch in pitches)
    found = [item for root in sorted(tones) for item in _over_root(root, tones, bass)]
    above = frozenset(pitch % 12 for pitch in pitches if pitch != min(pitches)) - {bass}
    for root in sorted(above):
        found.extend(_over_foreign_bass(root, above, bass))
    found.sort(key=lambda pair: pair[0])
    if found and found[0][0][0] < _LEAST_LIKELY:
        found = [pair for pair in found if pair[0][0] < _LEAST_LIKELY]
    return [item for _, item in found]


def name_shape(frets: Sequence[int | None], tuning: Sequence[int]) -> list[FoundName]:
    """The names of a shape. `tuning`: MIDI numbers of the open strings, in the order of `frets` (None: not played)."""
    return name_pitches([note + fret for note, fret in zip(tuning, frets, strict=True) if fret is not None])


_LEAST_LIKELY = 4
"""The rank of chords with tones left out over another tone: named only where nothing else fits (house rule)."""

_TWO = 2
"""Tones of a power chord: over another bass they are better called otherwise (house rule)."""

_Ranked = tuple[tuple[int, int, int, int], FoundName]


def _over_root(root: int, tones: frozenset[int], bass: int) -> list[_Ranked]:
    found: list[_Ranked] = []
    for order, quality in enumerate(QUALITIES):
        name = _name(root, quality, bass)
        wanted = chord_tones(name)
        if bass not in chord_tones(_name(root, quality, root)).all:
            continue
        if wanted.are_met_by(tones):
            missing = wanted.left_out(tones)
            inverted = bass != root
            rank = (2 + 2 * inverted) if missing else int(inverted)
            found.append(((rank, len(missing), order, root), FoundName(name, missing)))
    return found


def _over_foreign_bass(root: int, above: frozenset[int], bass: int) -> list[_Ranked]:
    """Complete chords over a bass of their own."""
    found: list[_Ranked] = []
    for order, quality in enumerate(QUALITIES):
        name = _name(root, quality, bass)
        plain = chord_tones(_name(root, quality, root))
        if plain.all == above and len(above) > _TWO:
            found.append(((3, 0, order, root), FoundName(name, frozenset())))
    return found


@lru_cache(maxsize=4096)
def _name(root: int, quality: str, bass: int) -> ChordName:
    minor = quality.startswith(("m", "dim")) and not quality.startswith("maj")
    plain = parse_chord_name((_MINOR_ROOTS if minor else _MAJOR_ROOTS)[root] + quality)
    if bass == root:
        return plain
    step, alter = chord_letters(plain).get(bass, (0, 9))
    letter = STEPS[step] + {0: "", 1: "#", -1: "b"}.get(alter, "?")
    if "?" in letter or letter in _RARE_LETTERS:
        letter = _MAJOR_ROOTS[bass]
    return parse_chord_name(f"{plain.text}/{letter}")
