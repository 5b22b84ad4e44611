"""What the caller wants of a file that others wrote, or of one written for others."""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple


class Foreign(Enum):
    """The forms in which scores are exchanged."""

    MUSICXML = "musicxml"
    MXL = "mxl"
    MIDI = "midi"
    TEXT = "text"
    WAV = "wav"


ENDINGS = {
    Foreign.MUSICXML: ".musicxml",
    Foreign.MXL: ".mxl",
    Foreign.MIDI: ".mid",
    Foreign.TEXT: ".txt",
    Foreign.WAV: ".wav",
}
"""The usual ending of each form's files."""


class ReadWish(NamedTuple):
    """How a foreign file is read. `parts` by name or number, none for all; `finest` divides a whole note for MIDI."""

    parts: tuple[str, ...] = ()
    finest: int = 16
    table: str = ""


class WriteWish(NamedTuple):
    """How a score is written.

    `measures` are printed numbers or a label, "" for all; `width` in columns for text; `parts` by name or number, none
    for all.
    """

    form: Foreign
    measures: str = ""
    repeats: bool = True
    tempo_scale: float = 1.0
    click: bool = False
    width: int = 100
    parts: tuple[str, ...] = ()
