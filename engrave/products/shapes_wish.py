"""What the caller wants of chord shapes."""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple


class ShapesForm(Enum):
    """How shapes are given: lines to read, a mapping for a score, or a printed sheet."""

    TEXT = "text"
    YAML = "yaml"
    PDF = "pdf"
    PNG = "png"
    SVG = "svg"

    @property
    def is_drawn(self) -> bool:
        """True for a printed sheet."""
        return self not in (ShapesForm.TEXT, ShapesForm.YAML)


class ShapesWish(NamedTuple):
    """What is asked of `engrave shapes`.

    `tuning` is a name or pitches with the thickest string first, "" for the instrument's own; `hand` the name or the file
    of a hand; `most` shapes a chord; `highest` the last fret. `inversions`: any tone may be lowest; `rootless`: the root may
    be left out.
    """

    form: ShapesForm = ShapesForm.TEXT
    instrument: str = "guitar"
    tuning: str = ""
    capo: int = 0
    hand: str = "intermediate"
    most: int = 6
    highest: int = 15
    inversions: bool = False
    rootless: bool = False
    style: str = ""
    language: str = ""
    """That of the words on a sheet, a BCP 47 tag; "" is English."""
