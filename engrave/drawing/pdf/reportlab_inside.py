"""What Engrave uses of ReportLab that ReportLab does not promise to keep. A test says when it has changed; nothing else may touch it.

ReportLab gives a character its subset and code in the order in which a document first shows it. Engrave's pages are
written apart from each other, by several processes, with codes that depend on the face alone (`fonts.py`), so it
fills in the tables that ReportLab embeds faces from.
"""

from __future__ import annotations

from typing import Any

from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas


def embed_subsets(canvas: Canvas, font: TTFont, internal_name: str, subsets: list[list[int]]) -> None:
    """Have the document of `canvas` embed `font` under `internal_name`, with these code points at each code of each subset."""
    document: Any = canvas._doc
    state: Any = font._assignState(document)
    state.internalName = internal_name
    state.subsets = subsets
    document.fontMapping[font.fontName] = f"/{internal_name}"
    document.delayedFonts.append(font)
