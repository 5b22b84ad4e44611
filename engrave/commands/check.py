"""`engrave check`: everything that is wrong with a document, without drawing it."""

from __future__ import annotations

from engrave.commands.outcome import Outcome
from engrave.documents.kind import Kind
from engrave.fingering.difficulty import rate_piece, rate_score
from engrave.problems import ProblemLog
from engrave.products.lay_out import lay_out
from engrave.products.product import Progress, Work, open_source, silent
from engrave.products.reach import find_hand
from engrave.reading.load import read_score_tree
from engrave.requests.pages import CheckRequest
from engrave.source.tree import SourceMap


def check_document(path: str, request: CheckRequest, progress: Progress = silent) -> Outcome:
    """Everything that is wrong with the document at `path`: it is laid out as for drawing, but not drawn."""
    source, log = open_source(path)
    if source is None:
        return Outcome(tuple(log.in_order()))
    lay_out(source, request.looks, Work(draws=False, jobs=request.jobs, progress=progress), request.hand)
    report: tuple[str, ...] = ()
    if request.difficulty and not source.failed and source.kind is Kind.SCORE:
        report = rate(source.tree, source.lines, request.hand)
    return Outcome(source.problems, report=report, remarks=tuple(source.remarks))


def rate(tree: SourceMap, source_lines: list[str], name: str) -> tuple[str, ...]:
    """How hard the score in `tree` is for the hand called `name`, in lines: all of it, a strip, and each measure with what makes it hard."""
    log = ProblemLog("")
    score = read_score_tree(tree, source_lines, log)
    hand = find_hand(name, log)
    measures = rate_score(score, hand) if score is not None and hand is not None else []
    if score is None or hand is None or not measures:
        return ()
    strip = "".join(_STRIP[min(round(m.number * len(_STRIP) / 10), len(_STRIP) - 1)] for m in measures)
    lines = [f"difficulty {rate_piece(measures):g} of 10 for the {hand.name} hand", f"  {strip}"]
    for measure, rated in zip(score.measures, measures, strict=True):
        because = f": {rated.mostly}" if rated.mostly else ""
        lines.append(f"  measure {measure.number}: {rated.number:g}{because}")
    return tuple(lines)


_STRIP = " ▁▂▃▄▅▆▇█"
"""Blocks from nothing to full (Unicode, block elements)."""
