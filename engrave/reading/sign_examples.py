"""The small examples beside the explanations of signs, as scores."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from engrave.problems import NOWHERE, ProblemLog
from engrave.reading.score_reader import read_score
from engrave.resources import data_folder
from engrave.score.structure import Score
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceList, SourceMap


def read_sign_examples(names: Iterable[str]) -> dict[str, Score]:
    """The example of each sign by name. Raises ValueError when the shipped file is wrong, which a test rules out."""
    tree = _examples()
    return {name: _read(name, tree[name]) for name in names}


@lru_cache(maxsize=1)
def _examples() -> SourceMap:
    path = data_folder() / "styles" / "signs" / "examples.yaml"
    log = ProblemLog(str(path))
    tree = parse_yaml(path.read_text("utf-8"), log)
    if not isinstance(tree, SourceMap):
        raise ValueError("\n".join(str(problem) for problem in log.problems))
    return tree


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
