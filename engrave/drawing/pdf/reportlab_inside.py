"""What Engrave uses of ReportLab that ReportLab does not promise to keep. A test says when it has changed; nothing else may touch it.

ReportLab gives a character its subset and code in the order in which a document first shows it. Engrave's pages are
written apart from each other, by several processes, with codes that depend on the face alone (`fonts.py`), so it
fills in the tables that ReportLab embeds faces from.
"""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path
from typing import Any
from weakref import WeakKeyDictionary

from reportlab.lib.utils import ImageReader
from reportlab.pdfbase.ttfonts import TTEncoding, TTFont, TTFontFace
from reportlab.pdfgen.canvas import Canvas

from engrave.fonts.font_file import FontFile

_ABOVE_PLANE_0 = re.compile("(?<=> <)[0-9A-F]{5,6}(?=>)")
_SPACE, _NO_BREAK_SPACE = 0x20, 0xA0
_CODES = "toUnicodeCMap:"
"""What ReportLab calls the objects that tell which characters a font's codes are."""


class _FaceTables(TTFontFace):  # type: ignore[misc]
    """The tables of a face, the large ones read whole: ReportLab reads them number by number, which takes as long as a page's layout."""

    def extractInfo(self, charInfo: int = 1) -> None:
        """Read what the face says of itself, of its characters and of its glyphs."""
        super().extractInfo(0)
        if not charInfo:
            return
        font = FontFile(Path(self.filename))
        self.charToGlyph = font.characters.glyphs()
        self.hmetrics = font.advances()
        self.glyphPos = font.outline_offsets()
        widths = [self._pdfScale(advance) for advance, _ in self.hmetrics]
        self.defaultWidth = widths[0]
        if _SPACE in self.charToGlyph:
            self.charToGlyph[_NO_BREAK_SPACE] = self.charToGlyph[_SPACE]
        self.charWidths = {code: widths[glyph] for code, glyph in self.charToGlyph.items()}


class EmbeddedFace(TTFont):  # type: ignore[misc]
    """A face whose characters beyond U+FFFF can be copied from the page: those codes are UTF-16 (ISO 32000-1, 9.10.3)."""

    def __init__(self, name: str, file: Path) -> None:
        """Open the face in `file`. What ReportLab's own class sets is set here, so that its tables are not read twice."""
        self.fontName = name
        self.face = _FaceTables(str(file))
        self.encoding = TTEncoding()
        self.state: WeakKeyDictionary[Any, Any] = WeakKeyDictionary()
        self._asciiReadable = True
        self.shapable = False

    def addObjects(self, doc: Any) -> None:
        """Add the objects of the face to the document."""
        super().addObjects(doc)
        for name, made in doc.idToObject.items():
            if name.startswith(_CODES):
                made.content = _ABOVE_PLANE_0.sub(_utf_16, made.content)


def _utf_16(match: re.Match[str]) -> str:
    return chr(int(match[0], 16)).encode("utf-16-be").hex().upper()


def picture_reader(data: bytes) -> Any:
    """What ReportLab draws a PNG or JPEG file from. A JPEG is never unpacked: it goes into the file as it is, and is known by its bytes."""
    reader: Any = ImageReader(BytesIO(data))
    if reader.jpeg_fh():
        reader._data, reader._dataA = data, None
    return reader


def embed_subsets(canvas: Canvas, font: TTFont, internal_name: str, subsets: list[list[int]]) -> None:
    """Have the document of `canvas` embed `font` under `internal_name`, with these code points at each code of each subset."""
    document: Any = canvas._doc
    state: Any = font._assignState(document)
    state.internalName = internal_name
    state.subsets = subsets
    document.fontMapping[font.fontName] = f"/{internal_name}"
    document.delayedFonts.append(font)
