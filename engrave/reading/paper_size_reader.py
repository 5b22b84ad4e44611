"""The keys `size` and `orientation`, which every document may have at its head."""

from __future__ import annotations

from engrave.diagnostics.problem import ProblemLog
from engrave.score.paper_size import Orientation, PaperSize, parse_size
from engrave.source.tree import SourceMap


def read_paper_size(tree: SourceMap, log: ProblemLog) -> PaperSize:
    """What a document whose form is right asks of its sheet; a size that cannot be goes to `log`."""
    sides = None
    if "size" in tree:
        try:
            sides = parse_size(str(tree["size"]))
        except ValueError as error:
            log.error(tree.value_place("size"), str(error))
    return PaperSize(sides, Orientation(tree["orientation"]) if "orientation" in tree else None)
