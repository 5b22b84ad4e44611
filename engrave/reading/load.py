"""The front door of reading: a file becomes a score, or a list of everything that is wrong with it."""

from __future__ import annotations

from engrave.diagnostics.problem import Place, ProblemLog, did_you_mean
from engrave.reading.score_reader import read_score
from engrave.score.structure import Score
from engrave.source.files import STANDARD_INPUT, read_text
from engrave.source.parse import parse_yaml
from engrave.source.schema import check_form
from engrave.source.tree import SourceMap

_DOCUMENTS = ("score",)
"""The first keys of the documents that can be read."""


def load_score(path: str) -> tuple[Score | None, ProblemLog]:
    """Read the score at `path` (`-`: standard input). Never raises for bad input; None when nothing can be drawn."""
    log = ProblemLog("standard input" if path == STANDARD_INPUT else path)
    text = read_text(path, log)
    if text is None:
        return None, log
    return read_text_score(text, log), log


def read_text_score(text: str, log: ProblemLog) -> Score | None:
    """The score in `text`; problems go to `log`."""
    tree = parse_yaml(text, log)
    if tree is None:
        return None
    if not isinstance(tree, SourceMap):
        log.error(Place(1, 1), "this is not a score", hint="a score is a mapping that starts with score: 1")
        return None
    if "score" not in tree:
        first = next(iter(tree), "")
        near = did_you_mean(first, _DOCUMENTS)
        log.error(
            tree.place,
            'the key "score" is missing',
            hint=near if near.startswith("did") else "start with score: 1",
        )
        return None
    if not check_form(tree, "score", log):
        return None
    score = read_score(tree, text.splitlines(), log)
    return None if log.has_errors else score
