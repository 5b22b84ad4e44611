"""What is left of a score whose form is wrong here and there, so that its other mistakes are told in the same run."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from engrave.problems import MOST_TOLD, Location, Problem, ProblemLog, Severity
from engrave.reading.score_reader import read_score
from engrave.source.schema import Fault, find_faults
from engrave.source.tree import SourceList, SourceMap

_ROAD = {"repeat", "times", "ending", "segno", "coda", "to-coda", "fine", "go-back"}
"""Keys that only make sense together over the whole piece."""
_SETTING = {"score", "instrument", "tuning", "capo", "time", "measures", "pickup"}
"""Keys that decide what is right everywhere else: where one of them is wrong, nothing more can be said."""


def tell_the_rest(tree: SourceMap, lines: list[str], log: ProblemLog) -> None:
    """Log the mistakes of meaning in the parts of `tree` whose form is right; those of form are logged already.

    Measures with a fault of form are left out, and those after them, since a tie or a slur may come from there.
    """
    if len(log.problems) > MOST_TOLD:
        return
    faults = find_faults(tree, "score")
    rest = _without(tree, faults)
    if rest is None or find_faults(rest, "score"):
        return
    found = ProblemLog(log.file)
    read_score(rest, lines, found, is_whole=False)
    unsure = _unsure(tree, faults)
    for problem in found.problems:
        if problem.severity is Severity.ERROR and not _lies_in(problem, unsure):
            log.error(problem.location, problem.what, problem.where, problem.hint)


def _without(tree: SourceMap, faults: Sequence[Fault]) -> SourceMap | None:
    """The tree without its faulty keys; None when one of them matters everywhere."""
    heads: set[str] = set()
    faulty: dict[int, set[str]] = {}
    for fault in faults:
        path = fault.path
        in_measure = len(path) > 1 and path[0] == "measures" and isinstance(path[1], int)
        depth = 2 if in_measure else 0
        keys = {str(path[depth])} if len(path) > depth else {key for key, _ in fault.unknown}
        meant = keys if len(path) > depth else {near for _, near in fault.unknown}
        if not keys or meant & (_SETTING if in_measure else _SETTING | {"parts"}):
            return None
        if in_measure:
            faulty.setdefault(int(path[1]), set()).update(keys)
        else:
            heads |= keys
    road = _ROAD if any(keys & _ROAD for keys in faulty.values()) else set()
    measures = SourceList(tree["measures"].location)
    for index, entry in enumerate(tree["measures"]):
        dropped = road | faulty.get(index, set())
        measures.put(_drop(entry, dropped), tree["measures"].item_location(index))
    rest = SourceMap(tree.location)
    for key, value, location in _drop(tree, heads).entries():
        rest.put(key, tree.key_location(key), measures if key == "measures" else value, location)
    return rest


def _drop(entry: SourceMap, keys: Iterable[str]) -> SourceMap:
    rest = SourceMap(entry.location)
    for key, value, location in entry.entries():
        if key not in keys:
            rest.put(key, entry.key_location(key), value, location)
    return rest


def _unsure(tree: SourceMap, faults: Sequence[Fault]) -> list[tuple[Location, Location]]:
    """From where to where measures lie about which nothing sure can be said."""
    measures = tree["measures"]
    end = Location(10**9, 0)
    spans = []
    for index in {int(fault.path[1]) for fault in faults if fault.path[:1] == ["measures"]}:
        start = measures.item_location(index)
        spans.append((start, measures.item_location(index + 2) if index + 2 < len(measures) else end))
    return spans


def _lies_in(problem: Problem, spans: Iterable[tuple[Location, Location]]) -> bool:
    return any(start <= problem.location < stop for start, stop in spans)
