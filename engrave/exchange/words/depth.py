"""How much of a score is told in words."""

from enum import Enum


class Depth(Enum):
    """How much is told."""

    OVERVIEW = "overview"
    """What the piece is like, without its measures."""
    LINE = "line"
    """Every measure, its notes by string and fret, each value once for all notes that share it."""
    NOTES = "notes"
    """Every note by itself, with its beat, value, string, fret and pitch."""
