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
    tuning: str = ""
    """A tuning by name, or pitches from the thickest string; "" leaves it."""
    capo: int | None = None
    instrument: str = ""
    key: str = ""
    semitones: int | None = None

    @property
    def moves(self) -> bool:
        """True when the music goes to another tuning, capo, instrument or key."""
        return bool(self.tuning or self.instrument or self.key) or not (
            self.capo is None and self.semitones is None
        )
