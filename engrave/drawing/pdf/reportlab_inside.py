"""What Engrave uses of ReportLab that ReportLab does not promise to keep. A test says when it has changed; nothing else may touch it.

ReportLab gives a character its subset and code in the order in which a document first shows it. Engrave's pages are
written apart from each other, by several processes, with codes that depend on the face alone (`fonts.py`), so it
fills in the tables that ReportLab embeds faces from.
"""

from __future__ import annotations

import re
from io import BytesIO
from typing import Any

from reportlab.lib.utils import ImageReader
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

_ABOVE_PLANE_0 = re.compile("(?<=> <)[0-9A-F]{5,6}(?=>)")
_CODES = "toUnicodeCMap:"
"""What ReportLab calls the objects that tell which characters a font's codes are."""


class EmbeddedFace(TTFont):  # type: ignore[misc]
    """A face whose characters beyond U+FFFF can be copied from the page: those codes are UTF-16 (ISO 32000-1, 9.10.3)."""

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
