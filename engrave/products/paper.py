"""Blank paper as a document."""

from __future__ import annotations

from typing import NamedTuple

from engrave.documents.paper import Paper
from engrave.layout.blank_sheet import place_paper
from engrave.layout.blank_systems import Misfit
from engrave.marks.mark import PlacedDocument
from engrave.products.looks import find_style, warn_of_english
from engrave.products.product import PlacedPages, Source, Work
from engrave.reading.paper_reader import read_paper
from engrave.requests.pages import Looks
from engrave.source.schema import check_form
from engrave.style.sections import Style


class StyledPaper(NamedTuple):
    """Blank paper and the style of its lines."""

    paper: Paper
    style: Style


class PaperProduct(PlacedPages):
    """Systems without music."""

    def read(self, source: Source, looks: Looks) -> StyledPaper | None:
        """What paper is wanted."""
        tree, log = source.tree, source.log
        paper = read_paper(tree, log, looks.sheet.paper_size) if check_form(tree, "paper", log) else None
        language = str(tree.get("language", ""))
        if paper is not None:
            warn_of_english(language, tree.value_location("language"), log)
        style = find_style(source, looks, None, language)
        return StyledPaper(paper, style) if paper is not None and style is not None else None

    def check(self, document: StyledPaper, source: Source, hand: str) -> None:
        """Nobody plays blank paper."""

    def place(self, document: StyledPaper, source: Source, work: Work) -> PlacedDocument | None:
        """The sheets."""
        try:
            return place_paper(document.paper, document.style)
        except Misfit as misfit:
            source.log.error(document.paper.location, str(misfit), hint=misfit.hint)
            return None
