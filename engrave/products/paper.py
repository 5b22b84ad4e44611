"""Blank paper as a document."""

from __future__ import annotations

from engrave.layout.blank_sheet import place_paper
from engrave.layout.blank_systems import Misfit
from engrave.marks.mark import PlacedDocument
from engrave.problems import Problem, ProblemLog
from engrave.products.spoken import warn_of_english
from engrave.products.wish import Wish
from engrave.reading.paper_reader import read_paper
from engrave.source.schema import check_form
from engrave.source.tree import SourceMap
from engrave.style.load import load_style


def place(
    tree: SourceMap, lines: list[str], path: str, wish: Wish, log: ProblemLog
) -> tuple[PlacedDocument | None, tuple[Problem, ...]]:
    """The pages of blank paper, None when something is wrong; and all problems."""
    paper = read_paper(tree, log, wish.paper_size) if check_form(tree, "paper", log) else None
    language = str(tree.get("language", ""))
    if paper is not None:
        warn_of_english(language, tree.value_location("language"), log)
    name, asked = wish.style_of(tree)
    style, style_log = load_style(name, path, None, language, asked)
    document = None
    if paper is not None and style is not None:
        try:
            document = place_paper(paper, style)
        except Misfit as misfit:
            log.error(paper.location, str(misfit), hint=misfit.hint)
    return document, (*log.in_order(), *style_log.in_order())
