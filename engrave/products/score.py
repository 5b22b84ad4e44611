"""A single score as a document."""

from __future__ import annotations

from importlib import import_module

from engrave.layout.characters import check_characters
from engrave.layout.document import place_score
from engrave.marks.mark import PlacedDocument
from engrave.problems import NOWHERE, Problem, ProblemLog
from engrave.products.sheet import fit_style
from engrave.products.spoken import warn_of_english
from engrave.products.wish import Wish
from engrave.reading.check import check_view
from engrave.reading.load import read_score_tree
from engrave.reading.sign_examples import read_sign_examples
from engrave.score.lead_sheet import seen_in
from engrave.score.spans import used_signs
from engrave.score.structure import ExplainSigns, Score
from engrave.source.tree import SourceMap
from engrave.style.load import load_style


def place(
    tree: SourceMap, lines: list[str], path: str, wish: Wish, log: ProblemLog
) -> tuple[PlacedDocument | None, tuple[Problem, ...]]:
    """The pages of a score, None when something is wrong; and all problems."""
    score = read_score_tree(tree, lines, log)
    name, asked = wish.style_of(tree)
    changes = score.house_style if score else None
    style, style_log = load_style(name, path, changes, score.language if score else "", asked)
    if score is not None:
        warn_of_english(score.language, tree.value_location("language"), log)
    if score is not None and style is not None:
        check_characters(score, style, log, lines)
        style = fit_style(style, score.paper_size, wish.paper_size, tree, log)
        check_view(score, wish.view, tree.value_location("view") if wish.view is None else NOWHERE, log)
    if score is not None and wish.hand:
        _check_reach(score, wish.hand, log)
    problems = (*log.in_order(), *style_log.in_order())
    if score is None or style is None or log.has_errors:
        return None, problems
    score = seen_in(score, wish.view)
    examples = None
    if score.explain_signs is not ExplainSigns.NONE:
        examples = read_sign_examples(used_signs(score))
    return place_score(score, style, wish.view, examples), problems


def _check_reach(score: Score, name: str, log: ProblemLog) -> None:
    """Warn of stretches that are too wide for a hand."""
    fingering = import_module("engrave.products.fingering")  # loaded only for checks: start-up counts
    hand = fingering.find_hand(name, log)
    for part in score.parts:
        if hand is not None and part.is_fretted:
            fingering.warn_of_reach(score, part, hand, log)
