"""Every word on finished pages against the face it is set in: what cannot be printed is told where it stands in the text."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.drawing.characters import find_missing
from engrave.fonts.text_setting import say_missing
from engrave.marks.mark import PlacedDocument
from engrave.problems import ProblemLog, find_in_lines


def check_printable(document: PlacedDocument, lines: Sequence[str], log: ProblemLog) -> bool:
    """True when all of `document` can be printed; what cannot goes to `log`. `lines` are those of its source."""
    is_printable = True
    for missing in find_missing(document):
        what, hint = say_missing(missing.character, missing.face)
        log.error(find_in_lines(missing.character, lines), what, hint=hint)
        is_printable = False
    return is_printable
