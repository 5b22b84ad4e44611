"""The small examples beside the explanations of signs, as scores."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from engrave.problems import NOWHERE, ProblemLog
from engrave.reading.score_reader import read_score
from engrave.score.structure import Score
from engrave.settings.shipped import read_tree, shipped_file
from engrave.source.tree import SourceList, SourceMap


def read_sign_examples(names: Iterable[str]) -> dict[str, Score]:
    """The example of each sign by name. Raises ValueError when the shipped file is wrong, which a test rules out."""
    tree = _examples()
    return {name: _read(name, tree[name]) for name in names}


@lru_cache(maxsize=1)
def _examples() -> SourceMap:
    return read_tree(shipped_file("signs", "examples.yaml"))


def _read(name: str, content: SourceMap | SourceList) -> Score:
    measures = content
    if isinstance(content, SourceMap):
        measures = SourceList(content.location)
        measures.put(content, content.location)
    tree = SourceMap(content.location)
    tree.put("score", NOWHERE, 1, NOWHERE)
    tree.put("measures", NOWHERE, measures, content.location)
    log = ProblemLog(f"the example of {name}")
    score = read_score(tree, [], log)
    if score is None:
        raise ValueError("\n".join(str(problem) for problem in log.problems))
    return score
