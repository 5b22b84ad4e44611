"""Documents taken through the program as its commands do."""

from __future__ import annotations

from engrave.commands.check import check_document
from engrave.commands.make import make_document
from engrave.commands.outcome import Outcome
from engrave.marks.mark import PlacedDocument
from engrave.products.lay_out import lay_out
from engrave.products.product import Work, open_source
from engrave.requests.pages import CheckRequest, Looks, MakeRequest


def place(path, **looks) -> tuple[PlacedDocument | None, Outcome]:
    """The placed pages of the document at `path`, None when something is wrong; and its problems."""
    source, log = open_source(str(path))
    if source is None:
        return None, Outcome(tuple(log.in_order()))
    laid_out = lay_out(source, Looks(**looks), Work())
    return laid_out and laid_out.pages, Outcome(source.problems)


def make(path, **values) -> Outcome:
    """What becomes of `engrave make` for the document at `path`."""
    return make_document(str(path), MakeRequest(files=(str(path),), **values))


def check(path, **values) -> Outcome:
    """What becomes of `engrave check` for the document at `path`."""
    return check_document(str(path), CheckRequest(files=(str(path),), **values))
