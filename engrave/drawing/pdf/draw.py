"""A document drawn as PDF: the content of each page written by itself, then all pages put together in one file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from io import BytesIO
from typing import Any, NamedTuple

from reportlab.pdfgen.canvas import Canvas

from engrave.drawing.characters import check_faces
from engrave.drawing.pdf.content import group_links, write_group
from engrave.drawing.pdf.fonts import FontOperators, embed_faces, registered_font
from engrave.fonts.symbols import music_face
from engrave.marks.mark import Link, PlacedDocument

_FIRST_FACE = "serif"
"""The face that a page starts with: an embedded one, lest ReportLab name Helvetica on every page."""
_PRODUCER = "engrave"
_EMPTY = (595.276, 841.89)
"""Points: the page of a document without pages (A4)."""


class PageLink(NamedTuple):
    """An area of a page, in points (left, bottom, right, top), that leads to an address or a destination."""

    area: tuple[float, float, float, float]
    target: str


class PageCode(NamedTuple):
    """The finished content of one page: its size in points, its operators and its links."""

    width: float
    height: float
    code: str
    links: tuple[PageLink, ...] = ()


class DrawnPages(NamedTuple):
    """Pages ready to be put together, and the characters that each face must have for them."""

    pages: tuple[PageCode, ...]
    used: Mapping[str, Set[int]]


class Bookmark(NamedTuple):
    """An entry of the outline: its title, the index of its page, its depth (0 outermost), and a name for links to it."""

    title: str
    page: int
    depth: int = 0
    name: str = ""


def draw_pages(document: PlacedDocument) -> DrawnPages:
    """The content of every page of `document`. Raises `MissingCharacter`."""
    check_faces(document)
    music = music_face()
    fonts = FontOperators()
    pages = []
    for page in document.pages:
        code: list[str] = []
        links: list[PageLink] = []
        for group in page.groups:
            code.extend(write_group(group, fonts, music))
            links.extend(_place_link(link, group.x, group.y, group.scale) for link in group_links(group))
        pages.append(PageCode(page.width, page.height, "\n".join(code), tuple(links)))
    return DrawnPages(tuple(pages), fonts.used)


def join_pages(drawn: Iterable[DrawnPages]) -> DrawnPages:
    """Pages that were drawn apart, one after the other."""
    pages: list[PageCode] = []
    used: dict[str, set[int]] = {}
    for part in drawn:
        pages.extend(part.pages)
        for face, characters in part.used.items():
            used.setdefault(face, set()).update(characters)
    return DrawnPages(tuple(pages), used)


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
        canvas._code.append(page.code)
        for link in page.links:
            _add_link(canvas, link)
        for bookmark in marks.get(number, ()):
            key = bookmark.name or f"page-{number}-{bookmark.depth}"
            canvas.bookmarkPage(key)
            if bookmark.title:
                canvas.addOutlineEntry(bookmark.title, key, bookmark.depth)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def draw_pdf(document: PlacedDocument) -> bytes:
    """The PDF file of `document`: fonts embedded, byte-identical for identical input. Raises `MissingCharacter`."""
    return assemble_pdf(draw_pages(document), document.title, document.author, document.language)


def _place_link(link: Link, x: float, y: float, scale: float) -> PageLink:
    box = link.box
    return PageLink(
        (x + box.left * scale, y + box.bottom * scale, x + box.right * scale, y + box.top * scale),
        link.target,
    )


def _add_link(canvas: Any, link: PageLink) -> None:
    if ":" in link.target:
        canvas.linkURL(link.target, link.area, relative=0)
    else:
        canvas.linkAbsolute("", link.target, link.area)
