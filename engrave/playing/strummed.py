"""What a rhythm slash sounds: the shape of the chord over it, its own or the one a player would take."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from engrave.score.structure import ChordAt
from engrave.theory.chord_name import ChordName
from engrave.theory.chord_shape import ChordShape
from engrave.theory.instrument import Instrument


def shape_at(chords: Iterable[ChordAt], onset: Fraction, instrument: Instrument) -> ChordShape | None:
    """The shape of the chord that holds at `onset`; None without a chord, without strings, or where none can be held."""
    holding = [chord for chord in chords if chord.onset <= onset]
    if not holding:
        return None
    return holding[-1].shape or _find(holding[-1].name, instrument)


@lru_cache(maxsize=512)
def _find(name: ChordName, instrument: Instrument) -> ChordShape | None:
    if name.root is None or not instrument.tuning:
        return None
    from engrave.fingering.shapes import find_best_shape

    return find_best_shape(name, instrument)
