"""Blank paper: what systems of lines a sheet has, and how it is cut and punched. All lengths in millimetres."""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple

from engrave.problems import NOWHERE, Location
from engrave.theory.instrument import Instrument


class SystemKind(Enum):
    """What one system of a sheet is."""

    STAFF = "staff"
    TAB = "tab"
    STAFF_AND_TAB = "staff+tab"
    CHORD_GRIDS = "chord-grids"


class Holes(Enum):
    """How the sheet is punched: two holes 80 mm apart or four (ISO 838), three 108 mm apart (North America)."""

    NONE = "none"
    TWO = "two"
    THREE = "three"
    FOUR = "four"


class Paper(NamedTuple):
    """A blank sheet. `kinds` are repeated down the page.

    `systems` is how many systems a page has, None for as many as fit; `line_distance` the distance of tab lines (of staff
    lines where there is no tab), None for the style's. `measures` divides systems into measures, 0 for none.
    `is_grey`: drawn in grey ink, to be written over. Margins and the grey are the style's.
    """

    width: float
    height: float
    kinds: tuple[SystemKind, ...]
    instrument: Instrument
    systems: int | None = None
    line_distance: float | None = None
    measures: int = 0
    clef: bool = True
    string_names: bool = False
    title: bool = False
    date: bool = False
    is_grey: bool = False
    pages: int = 1
    holes: Holes = Holes.NONE
    footer: str = ""
    location: Location = NOWHERE
