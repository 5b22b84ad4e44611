"""Which tones of a chord a shape must sound, which it may leave out, and what may be its lowest.

Common practice, no source: the fifth is left out first, then the ninth of elevenths and thirteenths (whose eleventh is not
meant at all, see `chord_name.py`), the root only where another player has it; third and seventh stay. A fifth that the name
changes (b5, #5) stays too.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from engrave.theory.chord_name import ChordName, pitch_classes, root_semitone
from engrave.theory.pitch import SEMITONES

_SECOND, _FIFTH = 2, 7
_THIRDS = frozenset({3, 4})
_SEVENTHS = frozenset({10, 11})
_ALTERED = frozenset({1, 3, 6, 8})
"""What "alt" adds, in semitones over the root: both ninths, both fifths."""
_FEWEST = 4
"""Chords of so many tones may lose their fifth; triads are heard as other things without it."""


class ChordTones(NamedTuple):
    """Pitch classes (C = 0) of one chord as a player sees them.

    `needed` must sound, `optional` may; of `one_of`, where there are any, at least one must. `root` is None for a name that
    says "no root"; `bass` is the lowest tone, None where any may be it.
    """

    needed: frozenset[int]
    optional: frozenset[int]
    one_of: frozenset[int]
    root: int | None
    fifth: int | None
    bass: int | None

    @property
    def all(self) -> frozenset[int]:
        """Every tone that may sound."""
        return self.needed | self.optional

    def left_out(self, sounding: frozenset[int] | set[int]) -> frozenset[int]:
        """The tones that do not sound."""
        return self.all - sounding

    def are_met_by(self, sounding: frozenset[int] | set[int]) -> bool:
        """True when everything that must sound does, and nothing foreign."""
        return (
            self.needed <= sounding <= self.all
            and bool(sounding)
            and (not self.one_of or bool(self.one_of & sounding))
        )


@lru_cache(maxsize=1024)
def chord_tones(name: ChordName, rootless: bool = False) -> ChordTones:
    """The tones of a chord. `rootless`: the root may be left out. Raises ValueError for "no chord"."""
    root = root_semitone(name)
    tones = pitch_classes(name)
    optional = set(_may_be_left_out(name, tones))
    altered = "alt" in name.extension
    if altered:
        optional |= _ALTERED & tones
    slash = None if name.bass is None else (SEMITONES[name.bass[0]] + name.bass[1]) % 12
    keeps_bass = {slash} if slash is not None else set()
    if rootless and len(tones) >= _FEWEST:
        optional.add(0)
    lowest = slash
    if slash is None and not rootless and 0 in tones:
        lowest = root
    free = frozenset((root + tone) % 12 for tone in optional) - keeps_bass
    return ChordTones(
        (frozenset((root + tone) % 12 for tone in tones) | keeps_bass) - free,
        free,
        frozenset((root + tone) % 12 for tone in _ALTERED) if altered else frozenset(),
        root if 0 in tones else None,
        (root + _FIFTH) % 12 if _FIFTH in tones else None,
        lowest,
    )


def _may_be_left_out(name: ChordName, tones: frozenset[int]) -> set[int]:
    """Semitones over the root."""
    found = set()
    has_character = bool(tones & (_THIRDS | _SEVENTHS))
    if _FIFTH in tones and len(tones) >= _FEWEST and has_character:
        found.add(_FIFTH)
    number = re.match(r"6/9|69|13|11|9|7|6|5|4|2", name.extension)
    stack = number.group(0) if number else ""
    if stack in ("11", "13") or (stack == "9" and "#11" in name.extension):
        found.add(_SECOND)
    return found & tones
