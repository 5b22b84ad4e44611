"""The language in which a document says what is not its author's."""

from __future__ import annotations

from engrave.problems import Location, ProblemLog
from engrave.style.wordbook import has_table, table_languages


def warn_of_english(language: str, location: Location, log: ProblemLog) -> None:
    """Say in `log` when pages in `language` speak English for want of a table of words."""
    if not has_table(language):
        what = f'there is no table of words in "{language}", so what the page says of its own is English'
        log.warning(location, what, hint=f"languages with a table: {', '.join(table_languages())}")
