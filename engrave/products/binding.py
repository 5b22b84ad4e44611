"""Finished pages bound to a book: moved to their side, numbered, marked for the outline."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.documents.songbook import Songbook
from engrave.drawing.pdf.draw import assemble_pdf, draw_pages
from engrave.drawing.pdf.drawn import Bookmark, DrawnPages, PageCode, blank_page, overlay_page, shift_page
from engrave.layout.songbook.pages import BookPages
from engrave.marks.mark import Page, PlacedDocument


class Binder:
    """Takes pages in their order, all laid out as right-hand ones."""

    def __init__(self, layout: BookPages) -> None:
        """`layout` says how far left-hand pages move and what stands in the margins."""
        self._layout = layout
        self._pages: list[PageCode] = []
        self._used: dict[str, set[int]] = {}
        self._bookmarks: list[Bookmark] = []

    def add(self, pages: Sequence[Page], head: str, numbered: bool) -> None:
        """Draw and add pages of the book's own."""
        self.add_drawn(draw_pages(PlacedDocument(tuple(pages))), head, numbered)

    def add_drawn(self, drawn: DrawnPages, head: str, numbered: bool) -> None:
        """Add drawn pages under the running head `head`, with their final numbers if they are `numbered`."""
        self._note(drawn)
        for index, page in enumerate(drawn.pages):
            number = len(self._pages) + 1
            moved = shift_page(page, self._layout.shift(number))
            if numbered:
                group = self._layout.furniture(number, head if index else "")
                extra = draw_pages(PlacedDocument((Page(page.width, page.height, (group,)),)))
                self._note(extra)
                moved = overlay_page(moved, extra.pages[0])
            self._pages.append(moved)

    def pad_to(self, number: int) -> None:
        """Add empty pages until the next one is page `number`."""
        while len(self._pages) + 1 < number:
            self._pages.append(blank_page(*self._layout.size))

    def mark(self, title: str, depth: int, name: str) -> None:
        """The next page gets an entry in the outline, and a name for links."""
        self._bookmarks.append(Bookmark(title, len(self._pages), depth, name))

    def finish(self, book: Songbook, language: str) -> bytes:
        """The book as a PDF file, in `language` where it names none itself."""
        drawn = DrawnPages(tuple(self._pages), self._used)
        return assemble_pdf(drawn, book.title, book.author, book.language or language, self._bookmarks)

    def _note(self, drawn: DrawnPages) -> None:
        for face, characters in drawn.used.items():
            self._used.setdefault(face, set()).update(characters)
