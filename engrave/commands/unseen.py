"""Scores for readers who cannot see a page: in words and in braille."""

from __future__ import annotations

from dataclasses import replace

from engrave.exchange.braille.signs import as_ascii
from engrave.exchange.braille.writer import Sheet, write_braille
from engrave.exchange.words.as_file import as_html, as_text
from engrave.exchange.words.writer import tell_score
from engrave.requests.exchange import Foreign, WriteRequest
from engrave.score.excerpt import excerpt
from engrave.score.structure import Score
from engrave.style.wordbook import has_table, table_languages

Losses = list[tuple[str, str]]
"""What is not told, and where in the music."""


def write_words(score: Score, first: int, stop: int, request: WriteRequest) -> tuple[bytes, Losses]:
    """The measures (indices) from `first` up to `stop` in words. Raises ValueError for a language without words."""
    _refuse_unknown(request.language)
    outline, lost = tell_score(_cut(score, first, stop), request.depth, request.language)
    text = as_html(outline) if request.form is Foreign.HTML else as_text(outline)
    return text.encode("utf-8"), lost


def write_in_braille(score: Score, first: int, stop: int, request: WriteRequest) -> tuple[bytes, Losses]:
    """The measures (indices) from `first` up to `stop` in braille. Raises ValueError for a language without words."""
    _refuse_unknown(request.language)
    sheet = Sheet(request.cells, request.lines, request.strings)
    text, lost = write_braille(_cut(score, first, stop), sheet, request.language)
    return as_ascii(text).encode("ascii") if request.form is Foreign.BRF else text.encode("utf-8"), lost


def _refuse_unknown(language: str) -> None:
    if not has_table(language):
        raise ValueError(f'there are no words in "{language}"; there are {", ".join(table_languages())}')


def _cut(score: Score, first: int, stop: int) -> Score:
    """The measures that are wanted, under the titles of the whole."""
    if (first, stop) == (0, len(score.measures)):
        return score
    return replace(excerpt(score, first, stop), title=score.title, subtitle=score.subtitle)
