"""Pages of a PDF as pictures. Loaded only when a picture is wanted: its libraries take long to import."""

from __future__ import annotations

from io import BytesIO

import pypdfium2


def draw_png(pdf: bytes, page: int, dots_per_inch: float) -> bytes:
    """Page `page` (from 0) of a PDF file as a PNG file in shades of grey."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        picture = document[page].render(scale=dots_per_inch / 72, grayscale=True).to_pil()
        buffer = BytesIO()
        picture.save(buffer, "PNG", dpi=(dots_per_inch, dots_per_inch))
        return buffer.getvalue()
    finally:
        document.close()


def count_pages(pdf: bytes) -> int:
    """How many pages a PDF file has."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return len(document)
    finally:
        document.close()
