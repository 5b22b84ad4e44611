"""Paragraphs broken into lines, all lines of a paragraph weighed at once (Knuth and Plass 1981)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

from engrave.breaking import break_optimally
from engrave.layout.text.words import Char, Segment, cut, cut_wide, stretches
from engrave.score.rich_text import Run
from engrave.style.sheets import ParagraphStyle

_WORST = 10_000.0
"""No line is worse than this (algorithm: Knuth 1984, from memory)."""
_SLACK = 1e-7
"""Share of the font size by which sums of widths may differ without meaning (algorithm)."""


class TextFaces(NamedTuple):
    """The names of the faces of a text, as `text_face` knows them. Code is set upright and never bold."""

    regular: str
    bold: str
    italic: str
    bold_italic: str
    code: str


class Piece(NamedTuple):
    """Characters to draw at one go, `x` from the line's left edge to their origin, in the unit of the size.

    `width` reaches to the next piece: a blank at the end of `text` may be wider in the line than in the face.
    A narrow no-break space that the face lacks is a no-break space in `text`.
    """

    text: str
    face: str
    x: float
    width: float
    link: str


class TextLine(NamedTuple):
    """One line, ready to be drawn at one baseline.

    `natural_width` is that of its ink and unstretched spaces, without the indent. `is_last` says that the line
    ends the paragraph or stands before a forced end of line, so it is not stretched. `text` is what the line
    holds of the paragraph: with the blank or newline where it was cut, without the added hyphen.
    """

    pieces: tuple[Piece, ...]
    natural_width: float
    is_last: bool
    text: str
    is_hyphenated: bool


def break_paragraph(
    runs: Sequence[Run],
    width: float,
    faces: TextFaces,
    size: float,
    language: str,
    style: ParagraphStyle,
    justified: bool,
    first_indent: float = 0.0,
) -> tuple[TextLine, ...]:
    """The lines of a paragraph, none wider than `width`; a part that is wider is cut where the line is full.

    Widths have the unit of `size`, the font size. `language` is a BCP 47 tag that chooses the hyphenation; there is
    none where its patterns are lacking. Blanks in a row count as one. The first line starts at `first_indent`.
    Soft hyphens are dropped where no line ends; a word that has them is hyphenated nowhere else. Raises `UnknownFace`.
    """
    lines: list[TextLine] = []
    parts = list(stretches([(run, _face(run, faces)) for run in runs], size))
    for number, chars in enumerate(parts):
        indent = 0.0 if lines else first_indent
        segments = list(cut_wide(cut(chars, language, size, style), width - max(0.0, indent), size))
        end = "\n" if number < len(parts) - 1 else ""
        if not segments:
            # A forced end makes a line even of nothing; what follows the last one does not.
            lines += [TextLine((), 0.0, True, end, False)] if end else []
            continue
        stops = _Costs(segments, width, indent, size, style, justified=justified).best_stops()
        for start, stop in zip([0, *stops[:-1]], stops, strict=True):
            is_last = stop == len(segments)
            x = 0.0 if start else indent
            lines.append(
                _line(segments[start:stop], x, width - x, style.shrink if justified else None, is_last, end)
            )
    return tuple(lines)


class _Costs:
    """What a line from one segment to another costs, in constant time."""

    def __init__(
        self,
        segments: list[Segment],
        width: float,
        indent: float,
        size: float,
        style: ParagraphStyle,
        justified: bool,
    ) -> None:
        self._style = style
        self._segments = segments
        self._width, self._indent, self._size, self._justified = width, indent, size, justified
        self._ends = [0.0, *accumulate(_width((*s.chars, *_some(s.blank))) for s in segments)]
        self._blanks = [0.0, *accumulate(_blank((*s.chars, *_some(s.blank))) for s in segments)]

    def best_stops(self) -> list[int]:
        """After which segments the lines end."""
        count = len(self._segments)
        return break_optimally(count, self.cost, frozenset(), self._longest())[0]

    def cost(self, start: int, stop: int) -> float | None:
        """Demerits of the line of segments `start` to `stop` - 1; None when it is too wide."""
        last = self._segments[stop - 1]
        is_last = stop == len(self._segments)
        badness = self._badness(start, stop, is_last)
        if badness is None:
            return None
        at_hyphen = last.inside_word and not is_last
        demerits = (1 + badness + (self._style.hyphen_penalty if at_hyphen else 0.0)) ** 2
        follows_hyphen = start > 0 and self._segments[start - 1].inside_word
        return demerits + (self._style.two_hyphens if at_hyphen and follows_hyphen else 0.0)

    def _badness(self, start: int, stop: int, is_last: bool) -> float | None:
        spare, blank = self._spare(start, stop)
        if spare < -_SLACK * self._size:
            most = blank * self._style.shrink if self._justified else 0.0
            if -spare > most + _SLACK * self._size:
                return None
            return float(100 * (-spare / most) ** 3) if most else 0.0
        if is_last or spare <= 0:
            return 0.0
        stretch = blank * self._style.stretch if self._justified else self._style.ragged_stretch * self._size
        return min(_WORST, 100 * (spare / stretch) ** 3) if stretch else _WORST

    def _spare(self, start: int, stop: int) -> tuple[float, float]:
        """How much wider the column is than the line, and the width of the line’s spaces."""
        last = self._segments[stop - 1]
        end = _some(last.blank)
        natural = self._ends[stop] - self._ends[start] - _width(end) + _width(_some(last.hyphen))
        room = self._width - (0.0 if start else self._indent)
        blank = self._blanks[stop] - self._blanks[start] - _blank(end)
        # What is left of sums that cancel is no blank: the line would count as endlessly loose.
        return room - natural, blank if blank > _SLACK * self._size else 0.0

    def _longest(self) -> int:
        """The most segments that any line can hold when its spaces shrink; at least 1."""
        longest, start = 1, 0
        for stop in range(1, len(self._segments) + 1):
            # The hyphen and the last blank are left out: no line that could be set is ruled out by this.
            while start < stop - 1:
                natural = self._ends[stop - 1] - self._ends[start] + _width(self._segments[stop - 1].chars)
                blank = self._blanks[stop] - self._blanks[start]
                if (
                    natural - blank * self._style.shrink
                    <= self._width - min(0.0, self._indent) + self._size * _SLACK
                ):
                    break
                start += 1
            longest = max(longest, stop - start)
        return longest


def _line(
    segments: Sequence[Segment], x: float, room: float, shrink: float | None, is_last: bool, end: str
) -> TextLine:
    """The line of these segments, its left end at `x`.

    Its spaces are set so that it fills `room`, and lose the share `shrink` at most; None for a ragged line.
    """
    final = segments[-1]
    inner = [char for s in segments[:-1] for char in (*s.chars, *_some(s.blank))] + list(final.chars)
    hyphen = () if is_last else _some(final.hyphen)
    chars = [*inner, *hyphen]
    natural, blank = _width(chars), _blank(chars)
    scale = 1.0
    if shrink is not None and blank and (not is_last or natural > room):
        scale = max(1 - shrink, 1 + (room - natural) / blank)
    text = "".join(char.source for char in inner) + (
        end if is_last else "".join(" " for _ in _some(final.blank))
    )
    return TextLine(tuple(_pieces(chars, x, scale)), natural, is_last, text, bool(hyphen))


def _pieces(chars: Sequence[Char], x: float, scale: float) -> Iterator[Piece]:
    """Characters of one face and link together; a piece ends after a blank that is not as wide as in the face."""
    piece: Piece | None = None
    is_open = False
    for char in chars:
        width = char.width + char.blank * (scale - 1)
        if piece is not None and is_open and (piece.face, piece.link) == (char.face, char.link):
            piece = piece._replace(text=piece.text + char.text, width=piece.width + width)
        else:
            if piece is not None:
                yield piece
            piece = Piece(char.text, char.face, x, width, char.link)
        x += width
        is_open = char.text == char.source and (scale == 1 or not char.blank)
    if piece is not None:
        yield piece


def _face(run: Run, faces: TextFaces) -> str:
    if run.code:
        return faces.code
    if run.bold:
        return faces.bold_italic if run.italic else faces.bold
    return faces.italic if run.italic else faces.regular


def _some(char: Char | None) -> tuple[Char, ...]:
    return () if char is None else (char,)


def _width(chars: Sequence[Char]) -> float:
    return sum(char.width for char in chars)


def _blank(chars: Sequence[Char]) -> float:
    return sum(char.blank for char in chars)
