"""A document of any kind, made as the program makes it: its pages as text and as PDF."""

from __future__ import annotations

from pathlib import Path

from engrave.drawing.pdf.draw import draw_pdf
from engrave.marks.mark import PlacedDocument
from engrave.products.lay_out import lay_out
from engrave.products.product import Finished, Work, open_source
from engrave.requests.pages import Looks
from tests.pages.book_dump import dump_book
from tests.pages.dump import dump_document

Made = PlacedDocument | Finished
"""A document laid out; books come as finished files."""


def make(path: Path, warned: bool = False) -> Made:
    """The document in a file. Raises ValueError where something is wrong with it, and at mere warnings unless `warned`."""
    source, log = open_source(str(path))
    laid_out = lay_out(source, Looks(), Work(jobs=1)) if source is not None else None
    problems = source.problems if source is not None else log.in_order()
    if laid_out is None or (problems and not warned):
        raise ValueError("\n".join(str(problem) for problem in problems))
    return laid_out.pages or laid_out.draw()


def dump(made: Made) -> str:
    """The pages as text."""
    return dump_book(made.pdf) if isinstance(made, Finished) else dump_document(made)


def draw(made: Made) -> bytes:
    """The pages as a PDF file."""
    return made.pdf if isinstance(made, Finished) else draw_pdf(made)
