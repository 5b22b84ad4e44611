"""Pages of a PDF as pictures. Loaded only when a picture is wanted: its libraries take long to import."""

from __future__ import annotations

from io import BytesIO

import pypdfium2

from engrave.problems import CannotBeDrawn

_MOST_DOTS = 140_000_000
"""Of one picture: A4 at 1,200 dots an inch, which takes some 300 MB while it is drawn (safety limit)."""


def draw_png(pdf: bytes, page: int, dots_per_inch: float) -> bytes:
    """Page `page` (from 0) of a PDF file as a PNG file in shades of grey. Raises CannotBeDrawn where it would be too large."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        width, height = document[page].get_size()
        dots = width * height * (dots_per_inch / 72) ** 2
        if dots > _MOST_DOTS:
            most = int(dots_per_inch * (_MOST_DOTS / dots) ** 0.5)
            raise CannotBeDrawn(
                f"a picture of this page at {dots_per_inch:g} dots an inch would have {dots / 1e6:.0f} million dots; "
                f"the most is {_MOST_DOTS / 1e6:.0f} million: {most} dots an inch"
            )
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
