"""Text faces measured: how wide a string runs and where its ink lies.

Kerning is not applied, neither here nor when the string is drawn, so that both always agree.
"""

from __future__ import annotations

from functools import cache

from engrave.fonts.character_map import MISSING_GLYPH
from engrave.fonts.face_files import face_file
from engrave.fonts.font_file import FontFile
from engrave.fonts.outline import NO_INK, InkBox, enclosing_box


class TextFace:
    """One text face. Heights are in ems (fractions of the font size), y upwards from the baseline."""

    __slots__ = (
        "_advances",
        "_inks",
        "_widths",
        "ascent",
        "cap_height",
        "descent",
        "font",
        "name",
        "x_height",
    )

    def __init__(self, name: str, font: FontFile) -> None:
        """Take the metrics of `font`, to be known as `name`."""
        self.name = name
        self.font = font
        em = font.units_per_em
        ascent, descent, x_height, cap_height = font.vertical_metrics()
        self.ascent: float = ascent / em
        self.descent: float = descent / em
        self.x_height: float = x_height / em
        self.cap_height: float = cap_height / em
        self._advances: dict[str, int] = {}
        self._widths: dict[str, float] = {}
        self._inks: dict[str, InkBox] = {}

    def has(self, character: str) -> bool:
        """True when the face can draw `character` (a string of length 1)."""
        return self.font.characters.glyph(ord(character)) != MISSING_GLYPH

    def missing(self, text: str) -> list[str]:
        """The characters of `text` that the face cannot draw, each once, in order."""
        return [character for character in dict.fromkeys(text) if not self.has(character)]

    def width(self, text: str, size: float) -> float:
        """The width that `text` takes at font size `size`, in the unit of `size`.

        A character that the face lacks counts as wide as the missing-glyph box; drawing refuses it.
        """
        width = self._widths.get(text)
        if width is None:
            width = sum(map(self._advance, text)) / self.font.units_per_em
            self._widths[text] = width
        return width * size

    def ink(self, text: str, size: float) -> InkBox:
        """The box of the ink of `text` set from the origin at font size `size`; `NO_INK` for spaces."""
        box = self._inks.get(text)
        if box is None:
            box = self._inks[text] = self._measure_ink(text)
        return box.scaled(size)

    def _advance(self, character: str) -> int:
        advance = self._advances.get(character)
        if advance is None:
            font = self.font
            advance = self._advances[character] = font.advance(font.characters.glyph(ord(character)))
        return advance

    def _measure_ink(self, text: str) -> InkBox:
        boxes = []
        pen = 0
        for character in text:
            box = self.font.glyph_box(self.font.characters.glyph(ord(character)))
            if box is not None:
                left, bottom, right, top = box
                boxes.append(InkBox(left + pen, bottom, right + pen, top))
            pen += self._advance(character)
        return enclosing_box(boxes).scaled(1 / self.font.units_per_em) if boxes else NO_INK


@cache
def text_face(name: str) -> TextFace:
    """The face called `name` (see `FACE_NAMES`), opened once in a run. Raises `UnknownFace`."""
    return TextFace(name, FontFile(face_file(name)))
