"""A document of any kind taken from its text to its pages: the same steps for all."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from typing import NamedTuple

from engrave.documents.kind import Kind
from engrave.drawing.characters import find_missing
from engrave.fonts.text_setting import say_missing
from engrave.layout.music_setter import MusicTooWide
from engrave.marks.mark import PlacedDocument
from engrave.problems import NOWHERE, ProblemLog, find_in_lines
from engrave.products.product import Finished, Placed, Product, Read, Source, Work
from engrave.products.registry import product_of
from engrave.reading.load import file_log
from engrave.requests.pages import Looks


class LaidOut(NamedTuple):
    """A document on its pages: the placed marks where they are all held at once, and how they become a PDF file."""

    pages: PlacedDocument | None
    draw: Callable[[], Finished]


def lay_out(source: Source, looks: Looks, work: Work, hand: str = "") -> LaidOut | None:
    """The document on its pages; None, and why in `source`, when something is wrong.

    `hand` names the hand that is to play it, "" for nobody's.
    """
    with collector_paused():
        return _take_steps(product_of(source.kind), source, looks, work, hand)


@contextmanager
def collector_paused() -> Iterator[None]:
    """Switch the cyclic garbage collector off for a while.

    Scores, layouts and marks are trees, freed by reference counts alone; a collector that walks through millions of
    them again and again costs a third of the time.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _take_steps(
    product: Product[Read, Placed], source: Source, looks: Looks, work: Work, hand: str
) -> LaidOut | None:
    if looks.instrument and source.kind is not Kind.SCORE:
        what = f"--instrument is for scores, and this is a {source.kind.value}"
        source.log.error(NOWHERE, what, hint="name the instrument in its scores")
        return None
    if looks.edition and source.kind not in (Kind.HANDOUT, Kind.METHOD):
        what = f"--for is for handouts and methods, and this is a {source.kind.value}"
        source.log.error(NOWHERE, what, hint="leave it out")
        return None
    document = product.read(source, looks)
    if document is None:
        return None
    if hand:
        product.check(document, source, hand)
    try:
        placed = product.place(document, source, work)
    except MusicTooWide as wide:
        log = source.log if wide.file == source.path else file_log(wide.file)
        wide.tell(log)
        source.elsewhere.extend(log.in_order() if log is not source.log else ())
        return None
    if placed is None:
        return None
    pages = product.pages(placed)
    if pages is not None:
        own = file_log(source.path)
        is_printable = check_printable(pages, source.lines, own)
        source.elsewhere.extend(own.in_order())
        if not is_printable:
            return None
    return LaidOut(pages, partial(product.draw, placed))


def check_printable(document: PlacedDocument, lines: Sequence[str], log: ProblemLog) -> bool:
    """True when all of `document` can be printed; what cannot goes to `log`. `lines` are those of its source.

    Every word on finished pages is held against the face it is set in: what is missing is told where it stands in the text.
    """
    is_printable = True
    for missing in find_missing(document):
        what, hint = say_missing(missing)
        place = find_in_lines(missing.word, lines)
        log.error(place if place.line else find_in_lines(missing.characters[0], lines), what, hint=hint)
        is_printable = False
    return is_printable
