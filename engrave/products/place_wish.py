"""What the caller wants of the choice of strings, frets and fingers."""

from __future__ import annotations

from typing import NamedTuple


class PlaceWish(NamedTuple):
    """What is asked of `engrave place`.

    `hand` is the name or the file of a hand; `highest` the last fret that may be chosen; `position` the one position
    to stay in (0: any); `parts` by id, name or number, none for all that have strings; `anew` forgets written strings
    and frets; `why` asks for reasons.
    """

    hand: str = "intermediate"
    avoid_open: bool = False
    highest: int = 99
    position: int = 0
    parts: tuple[str, ...] = ()
    fingers: bool = True
    anew: bool = False
    why: bool = False
