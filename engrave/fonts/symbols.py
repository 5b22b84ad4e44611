"""The music face: its symbols by their SMuFL names, measured in staff spaces.

Source of names, code points and registration: SMuFL specification 1.40 (1 em = 4 staff spaces, y upwards,
y = 0 on the symbol's reference line). The numbers come from the metrics file written with the outlines.
"""

from __future__ import annotations

import json
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from engrave.fonts.face_files import MUSIC_METRICS_FILE
from engrave.fonts.outline import InkBox


class UnknownSymbol(Exception):
    """The program asked the music face for a symbol that it does not have. Always the program's mistake."""


class Symbol(NamedTuple):
    """One symbol. `advance`, `box` and `anchors` are in staff spaces from the symbol's origin."""

    name: str
    codepoint: int
    advance: float
    box: InkBox
    anchors: dict[str, tuple[float, float]]

    @property
    def character(self) -> str:
        """The symbol as a string of length 1."""
        return chr(self.codepoint)


class MusicFace:
    """All symbols of the music face."""

    __slots__ = ("_symbols", "family")

    def __init__(self, metrics_file: Path) -> None:
        """Read the metrics file. Raises OSError or ValueError when it is missing or damaged."""
        content: dict[str, Any] = json.loads(metrics_file.read_bytes())
        self.family: str = content["family"]
        self._symbols = {name: _build_symbol(name, entry) for name, entry in content["glyphs"].items()}

    def glyph(self, name: str) -> Symbol:
        """The symbol called `name`. Raises `UnknownSymbol` naming the nearest one."""
        try:
            return self._symbols[name]
        except KeyError:
            nearest = get_close_matches(name, self._symbols, n=1)
            hint = f'; the nearest name is "{nearest[0]}"' if nearest else ""
            raise UnknownSymbol(f'the music face has no symbol called "{name}"{hint}') from None

    def has(self, name: str) -> bool:
        """True when the face has a symbol called `name`."""
        return name in self._symbols

    def names(self) -> tuple[str, ...]:
        """The names of all symbols, in the order of the metrics file."""
        return tuple(self._symbols)


def _build_symbol(name: str, entry: dict[str, Any]) -> Symbol:
    anchors = {key: (x, y) for key, (x, y) in entry.get("anchors", {}).items()}
    return Symbol(name, entry["codepoint"], entry["advance"], InkBox(*entry["box"]), anchors)


@cache
def music_face() -> MusicFace:
    """The project's music face, read once in a run."""
    return MusicFace(MUSIC_METRICS_FILE)
