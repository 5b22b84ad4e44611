"""A document drawn as PDF: the content of each page written by itself, then all pages put together in one file."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from engrave.drawing.characters import check_faces
from engrave.drawing.pdf.content import group_anchors, group_links, group_pictures, write_group
from engrave.drawing.pdf.drawn import Area, Bookmark, DrawnPages, PageCode, PageLink, PagePicture
from engrave.drawing.pdf.fonts import FontOperators, embed_faces, registered_font
from engrave.drawing.pdf.reportlab_inside import picture_reader
from engrave.fonts.symbols import music_face
from engrave.marks.mark import Box, Group, PlacedDocument
from engrave.marks.turn import turn_matrix

rl_config.useA85 = 0
"""Compressed pages stay bytes: as text they would be a quarter longer, and take longer to write."""
_FIRST_FACE = "serif"
"""The face that a page starts with: an embedded one, lest ReportLab name Helvetica on every page."""
_PRODUCER = "engrave"
_EMPTY = (595.276, 841.89)
"""Points: the page of a document without pages (A4)."""


def draw_pages(document: PlacedDocument) -> DrawnPages:
    """The content of every page of `document`. Raises `MissingCharacter`."""
    check_faces(document)
    music = music_face()
    fonts = FontOperators()
    pages = []
    for page in document.pages:
        code: list[str] = []
        links: list[PageLink] = []
        pictures: list[PagePicture] = []
        anchors: list[str] = []
        for group in page.groups:
            code.extend(write_group(group, fonts, music))
            links.extend(PageLink(_area(link.box, group), link.target) for link in group_links(group))
            anchors.extend(anchor.name for anchor in group_anchors(group))
            pictures.extend(PagePicture(_area(p.box, group), p.data, p.turn) for p in group_pictures(group))
        pages.append(
            PageCode(page.width, page.height, "\n".join(code), tuple(links), tuple(pictures), tuple(anchors))
        )
    return DrawnPages(tuple(pages), fonts.used)


def assemble_pdf(
    drawn: DrawnPages, title: str, author: str, language: str, bookmarks: Sequence[Bookmark] = ()
) -> bytes:
    """The file of finished pages: fonts embedded, byte-identical for identical input."""
    buffer = BytesIO()
    first = (drawn.pages[0].width, drawn.pages[0].height) if drawn.pages else _EMPTY
    canvas: Any = Canvas(
        buffer,
        pagesize=first,
        pageCompression=1,
        invariant=1,
        initialFontName=registered_font(_FIRST_FACE).fontName,
        lang=language or None,
    )
    canvas.setTitle(title or "Untitled")
    canvas.setAuthor(author)
    canvas.setSubject("Music")
    canvas.setCreator(_PRODUCER)
    canvas.setProducer(_PRODUCER)
    marks: dict[int, list[Bookmark]] = {}
    for bookmark in bookmarks:
        marks.setdefault(bookmark.page, []).append(bookmark)
    embed_faces(canvas, drawn.used)
    for number, page in enumerate(drawn.pages):
        canvas.setPageSize((page.width, page.height))
        for picture in page.pictures:
            _add_picture(canvas, picture)
        canvas.addLiteral(page.code)
        for link in page.links:
            _add_link(canvas, link)
        for anchor in page.anchors:
            canvas.bookmarkPage(anchor)
        for bookmark in marks.get(number, ()):
            key = bookmark.name or f"page-{number}-{bookmark.title}"
            canvas.bookmarkPage(key)
            if bookmark.title:
                canvas.addOutlineEntry(bookmark.title, key, bookmark.depth)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def draw_pdf(document: PlacedDocument) -> bytes:
    """The PDF file of `document`: fonts embedded, byte-identical for identical input. Raises `MissingCharacter`."""
    return assemble_pdf(draw_pages(document), document.title, document.author, document.language)


def _area(box: Box, group: Group) -> Area:
    """A box of a group in points of the page."""
    x, y, scale = group.x, group.y, group.scale
    return x + box.left * scale, y + box.bottom * scale, x + box.right * scale, y + box.top * scale


def _add_picture(canvas: Any, picture: PagePicture) -> None:
    left, bottom, right, top = picture.area
    image = picture_reader(picture.data)
    width, height = right - left, top - bottom
    a, b, c, d, e, f = turn_matrix(picture.turn)
    canvas.saveState()
    canvas.transform(a * width, b * height, c * width, d * height, left + e * width, bottom + f * height)
    canvas.drawImage(image, 0, 0, 1, 1, mask="auto")
    canvas.restoreState()


def _add_link(canvas: Any, link: PageLink) -> None:
    if ":" in link.target:
        canvas.linkURL(link.target, link.area, relative=0)
    else:
        canvas.linkAbsolute("", link.target, link.area)
