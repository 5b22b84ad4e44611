"""Text faces measured: how wide a string runs and where its ink lies.

Kerning is not applied, neither here nor when the string is drawn, so that both always agree. Accidentals, which text
faces lack, are set from the music face inside a line of words, and letters that an italic lacks from the face that
lends them: measured here, drawn by what asks `split_by_face`.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import groupby

from engrave.fonts.character_map import MISSING_GLYPH
from engrave.fonts.face_files import LENT_FROM, MUSIC_FACE, SLANT, SLANTED, face_file
from engrave.fonts.font_file import FontFile
from engrave.fonts.outline import NO_INK, InkBox, enclosing_box

ACCIDENTALS = "\u266d\u266e\u266f\U0001d12a\U0001d12b"
"""Flat, natural, sharp, double sharp and double flat (Unicode, Miscellaneous Symbols and Musical Symbols)."""


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
        "slant",
        "x_height",
    )

    def __init__(self, name: str, font: FontFile) -> None:
        """Take the metrics of `font`, to be known as `name`."""
        self.name = name
        self.font = font
        self.slant: float = SLANT if name.endswith(SLANTED) else 0.0
        """How far the face is made to lean to the right, as a share of the height."""
        em = font.units_per_em
        ascent, descent, x_height, cap_height = font.vertical_metrics()
        self.ascent: float = ascent / em
        self.descent: float = descent / em
        self.x_height: float = x_height / em
        self.cap_height: float = cap_height / em
        self._advances: dict[str, float] = {}
        self._widths: dict[str, float] = {}
        self._inks: dict[str, InkBox] = {}

    def has(self, character: str) -> bool:
        """True when the face can draw `character` (a string of length 1)."""
        return self.setting_face(character)._glyph(character) != MISSING_GLYPH

    def setting_face(self, character: str) -> TextFace:
        """The face that `character` is set in: this one, or, for one that it lacks, the one that lends it."""
        if self._glyph(character) != MISSING_GLYPH or self.name == MUSIC_FACE:
            return self
        if character in ACCIDENTALS:
            return text_face(MUSIC_FACE)
        if self.name in LENT_FROM:
            lender = text_face(LENT_FROM[self.name])
            return lender if lender.has(character) else self
        return self

    def _glyph(self, character: str) -> int:
        return self.font.characters.glyph(ord(character))

    def missing(self, text: str) -> list[str]:
        """The characters of `text` that the face cannot draw, each once, in order."""
        return [character for character in dict.fromkeys(text) if not self.has(character)]

    def width(self, text: str, size: float) -> float:
        """The width that `text` takes at font size `size`, in the unit of `size`.

        A character that the face lacks counts as wide as the missing-glyph box; drawing refuses it.
        """
        width = self._widths.get(text)
        if width is None:
            width = self._widths[text] = sum(map(self._advance, text))
        return width * size

    def ink(self, text: str, size: float) -> InkBox:
        """The box of the ink of `text` set from the origin at font size `size`; `NO_INK` for spaces."""
        box = self._inks.get(text)
        if box is None:
            box = self._inks[text] = self._measure_ink(text)
        return box.scaled(size)

    def _advance(self, character: str) -> float:
        """How far `character` moves the pen, in ems."""
        advance = self._advances.get(character)
        if advance is None:
            face = self.setting_face(character)
            advance = face.font.advance(face._glyph(character)) / face.font.units_per_em
            self._advances[character] = advance
        return advance

    def _measure_ink(self, text: str) -> InkBox:
        boxes = []
        pen = 0.0
        for character in text:
            face = self.setting_face(character)
            box = face.font.glyph_box(face._glyph(character))
            if box is not None:
                left, bottom, right, top = InkBox(*box).scaled(1 / face.font.units_per_em)
                lean = face.slant
                boxes.append(InkBox(left + pen + lean * bottom, bottom, right + pen + lean * top, top))
            pen += self._advance(character)
        return enclosing_box(boxes) if boxes else NO_INK


@cache
def text_face(name: str) -> TextFace:
    """The face called `name` (see `FACE_NAMES`), opened once in a run. Raises `UnknownFace`."""
    return TextFace(name, FontFile(face_file(name)))


def split_by_face(text: str, face: str) -> Iterator[tuple[str, str]]:
    """Runs of `text` with the face that has them: (face, run), in order. Raises `UnknownFace`."""
    base = text_face(face)
    if text.isascii() or (face not in LENT_FROM and not any(character in text for character in ACCIDENTALS)):
        yield face, text
        return
    for used, run in groupby(text, key=lambda character: base.setting_face(character).name):
        yield used, "".join(run)
