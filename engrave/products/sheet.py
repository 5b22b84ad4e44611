"""The sheet of a document: what the command line asks for, else what the document does, else the style's."""

from __future__ import annotations

from engrave.problems import NOWHERE, ProblemLog
from engrave.score.paper_size import AS_USUAL, PaperSize
from engrave.source.tree import SourceMap
from engrave.style.paper_fit import on_sheet
from engrave.style.sections import Style


def fit_style(
    style: Style, asked: PaperSize, wished: PaperSize, tree: SourceMap, log: ProblemLog
) -> Style | None:
    """The style on the sheet that the document `tree` has `asked` for and the caller `wished`; None, and why in `log`."""
    size = wished.over(asked)
    try:
        return on_sheet(style, *size.applied_to((style.paper.width, style.paper.height)))
    except ValueError as error:
        key = "size" if "size" in tree else "orientation"
        log.error(NOWHERE if wished != AS_USUAL else tree.value_location(key), str(error))
        return None
