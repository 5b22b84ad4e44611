"""The one shape of a chord that a page shows where the author names none."""

from __future__ import annotations

from functools import lru_cache

from engrave.fingering.hand import load_hand
from engrave.fingering.neck import build_neck
from engrave.fingering.shapes import ShapeWish, find_shapes
from engrave.theory.chord_name import ChordName
from engrave.theory.chord_shape import ChordShape
from engrave.theory.instrument import Instrument

_HAND = "intermediate"
"""Shapes are chosen for this hand (house rule)."""


@lru_cache(maxsize=1024)
def find_best_shape(name: ChordName, instrument: Instrument) -> ChordShape | None:
    """The best shape of `name` on `instrument`, counted from its capo; None when there is none."""
    found = find_shapes(name, build_neck(instrument), load_hand(_HAND), ShapeWish(most=1))
    return found[0].shape if found else None
