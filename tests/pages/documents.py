"""A document of any kind, made as the program makes it: its pages as text and as PDF."""

from __future__ import annotations

from pathlib import Path

from engrave.documents.songbook import BoundBook
from engrave.drawing.pdf.draw import draw_pdf
from engrave.marks.mark import PlacedDocument
from engrave.pipeline import place_document
from engrave.products.songbook import draw as draw_book
from engrave.products.wish import Wish
from engrave.reading.load import document_kind, file_log, load_tree
from tests.pages.book_dump import dump_book
from tests.pages.dump import dump_document

Made = PlacedDocument | BoundBook
"""A document laid out; books come as finished files."""


def make(path: Path, warned: bool = False) -> Made:
    """The document in a file. Raises ValueError where something is wrong with it, and at mere warnings unless `warned`."""
    log = file_log(str(path))
    tree, lines = load_tree(str(path), log)
    made: Made | None
    if tree is not None and document_kind(tree) == "songbook":
        made, problems = draw_book(tree, lines, str(path), Wish(jobs=1), False, log, lambda done, count: None)
    else:
        made, (problems, *_) = place_document(str(path), Wish())
    if made is None or (problems and not warned):
        raise ValueError("\n".join(str(problem) for problem in problems))
    return made


def dump(made: Made) -> str:
    """The pages as text."""
    return dump_book(made.pdf) if isinstance(made, BoundBook) else dump_document(made)


def draw(made: Made) -> bytes:
    """The pages as a PDF file."""
    return made.pdf if isinstance(made, BoundBook) else draw_pdf(made)
