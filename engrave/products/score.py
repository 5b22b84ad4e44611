"""A single score as a document."""

from __future__ import annotations

from typing import NamedTuple

from engrave.layout.characters import check_characters
from engrave.layout.document import place_score
from engrave.layout.neck_room import check_neck_room
from engrave.marks.mark import PlacedDocument
from engrave.problems import NOWHERE
from engrave.products.looks import bound_style, find_style, fit_style, warn_of_english
from engrave.products.product import PlacedPages, Source, Work
from engrave.reading.check import check_view
from engrave.reading.load import read_score_tree
from engrave.reading.sign_examples import read_sign_examples
from engrave.requests.pages import Looks
from engrave.score.seen import seen_in
from engrave.score.structure import ExplainSigns, Score, View
from engrave.score.used_signs import used_signs
from engrave.style.sections import Style


class StyledScore(NamedTuple):
    """A score, the style it is set in, and the view that is asked for."""

    score: Score
    style: Style | None
    view: View | None


class ScoreProduct(PlacedPages):
    """A score becomes pages of staff and tab."""

    def read(self, source: Source, looks: Looks) -> StyledScore | None:
        """The score and its style."""
        log, tree = source.log, source.tree
        score = read_score_tree(tree, source.lines, log, unstrung=bool(looks.instrument))
        if score is not None and looks.instrument:
            from engrave.products.on_instrument import settle_on

            score = settle_on(score, looks.instrument, looks.fit, log)
        changes = score.house_style if score else None
        style = find_style(source, looks, changes, score.language if score else "")
        if score is None:
            return None
        warn_of_english(score.language, tree.value_location("language"), log)
        if style is not None:
            check_characters(score, style, log, source.lines)
            style = fit_style(style, score.paper_size, looks.sheet.paper_size, tree, log)
            if style is not None:
                check_neck_room(score, style, log)
            check_view(score, looks.view, NOWHERE if looks.view else tree.value_location("view"), log)
        return StyledScore(score, style, looks.view)

    def check(self, document: StyledScore, source: Source, hand: str) -> None:
        """Warn of stretches that are too wide for the hand called `hand`."""
        from engrave.products.reach import check_reach

        check_reach(document.score, hand, source.log)

    def place(self, document: StyledScore, source: Source, work: Work) -> PlacedDocument | None:
        """The pages of the score."""
        score, style, view = document
        if style is None or source.failed:
            return None
        score = seen_in(score, view)
        examples = None
        if score.explain_signs is not ExplainSigns.NONE:
            examples = read_sign_examples(used_signs(score))
        return place_score(score, bound_style(style, work.bound), view, examples)
