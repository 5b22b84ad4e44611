"""The faces as ReportLab fonts, and strings as operators of a page's content."""

from __future__ import annotations

from functools import cache
from typing import Any

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from engrave.fonts.face_files import face_file

_PREFIX = "Engrave-"


@cache
def registered_font(face: str) -> Any:
    """The ReportLab font of a face, registered once in a run."""
    name = _PREFIX + face
    font = TTFont(name, str(face_file(face)))
    pdfmetrics.registerFont(font)
    return font


class FontOperators:
    """Strings of one document as text operators. A font is embedded as subsets, so a string may need several."""

    def __init__(self, canvas: Any) -> None:
        """Write for `canvas`, whose document keeps the subsets."""
        self._canvas = canvas
        self._known: dict[tuple[str, str], tuple[tuple[str, str], ...]] = {}

    def pieces(self, face: str, text: str) -> tuple[tuple[str, str], ...]:
        """The text as (font name in the file, shown string) pairs."""
        key = (face, text)
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = self._split(face, text)
        return known

    def _split(self, face: str, text: str) -> tuple[tuple[str, str], ...]:
        document = self._canvas._doc
        font = registered_font(face)
        pieces = []
        for subset, codes in font.splitString(text, document):
            name = font.getSubsetInternalName(subset, document)
            pieces.append((name, f"({self._canvas._escape(codes)}) Tj"))
        return tuple(pieces)
