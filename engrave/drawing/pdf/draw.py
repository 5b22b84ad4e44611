"""A document drawn as PDF."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from engrave.drawing.characters import check_faces
from engrave.drawing.pdf.content import group_links, write_group
from engrave.drawing.pdf.fonts import FontOperators, registered_font
from engrave.fonts.symbols import music_face
from engrave.marks.mark import Group, Link, Page, PlacedDocument

_FIRST_FACE = "serif"
"""The face that a page starts with: an embedded one, lest ReportLab name Helvetica on every page."""
_PRODUCER = "engrave"


def draw_pdf(document: PlacedDocument) -> bytes:
    """The PDF file of `document`: fonts embedded, byte-identical for identical input. Raises `MissingCharacter`."""
    check_faces(document)
    music = music_face()
    buffer = BytesIO()
    first = document.pages[0] if document.pages else Page(595.276, 841.89, ())
    canvas: Any = Canvas(
        buffer,
        pagesize=(first.width, first.height),
        pageCompression=1,
        invariant=1,
        initialFontName=registered_font(_FIRST_FACE).fontName,
        lang=document.language or None,
    )
    canvas.setTitle(document.title or "Untitled")
    canvas.setAuthor(document.author)
    canvas.setSubject("Music")
    canvas.setCreator(_PRODUCER)
    canvas.setProducer(_PRODUCER)
    fonts = FontOperators(canvas)
    for page in document.pages:
        canvas.setPageSize((page.width, page.height))
        for group in page.groups:
            canvas._code.extend(write_group(group, fonts, music))
            for link in group_links(group):
                _add_link(canvas, link, group)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _add_link(canvas: Any, link: Link, group: Group) -> None:
    box = link.box
    area = (
        group.x + box.left * group.scale,
        group.y + box.bottom * group.scale,
        group.x + box.right * group.scale,
        group.y + box.top * group.scale,
    )
    if ":" in link.target:
        canvas.linkURL(link.target, area, relative=0)
    else:
        canvas.linkAbsolute("", link.target, area)
