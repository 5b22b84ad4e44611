"""The block of titles at the head of a piece: title, subtitle, credits, tuning and capo."""

from __future__ import annotations

from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import wrap_evenly
from engrave.layout.pages.grid_rows import place_grid_rows
from engrave.layout.text.heading_words import HeadingPiece, decide_heading
from engrave.marks.mark import Mark, Text
from engrave.marks.role import Role
from engrave.score.structure import Grids, Score
from engrave.style.sections import Style
from engrave.style.words import TextStyle, WordsStyle


class Heading(NamedTuple):
    """Marks in staff spaces with y = 0 at the top of the block, and the block's height."""

    marks: tuple[Mark, ...]
    height: float


class _Block:
    """Lays lines of text from the top down; y is the lowest ink so far."""

    def __init__(self, width: float, words: WordsStyle) -> None:
        self.marks: list[Mark] = []
        self.y = 0.0
        self._width = width
        self._words = words

    def row(self, pieces: tuple[HeadingPiece, ...]) -> None:
        """One line; more where the pieces do not stand beside each other, or one does not fit the width."""
        taken = sum(text_face(piece.style.face).width(piece.text, piece.style.size) for piece in pieces)
        if len(pieces) > 1 and taken + self._words.heading_apart > self._width:
            for piece in pieces:
                self.row((piece,))
            return
        lines = [decide_heading_lines(piece.text, piece.style, self._width, self._words) for piece in pieces]
        for number in range(max(len(found) for found, _ in lines)):
            self.y -= max(size for _, size in lines) * self._words.line_pitch
            for piece, (found, size) in zip(pieces, lines, strict=True):
                if number < len(found):
                    self._set(piece, found[number], size)

    def _set(self, piece: HeadingPiece, text: str, size: float) -> None:
        face = piece.style.face
        x = (self._width - text_face(face).width(text, size)) * piece.share
        self.marks.append(Text(piece.role, x, self.y, text, face, size))


def decide_heading_lines(
    text: str, kind: TextStyle, width: float, words: WordsStyle
) -> tuple[list[str], float]:
    """The lines of `text` over `width` staff spaces, and their size: a little smaller on one line, else on several.

    It is made no smaller than `heading_shrink` of its size, so that a title stays larger than what stands under it.
    """
    natural = text_face(kind.face).width(text, kind.size)
    if natural * words.heading_shrink <= width:
        return [text], kind.size * min(1.0, width / natural) if natural else kind.size
    return wrap_evenly(text, kind.face, kind.size, width), kind.size


def place_heading(score: Score, width: float, style: Style, says_key: bool = False) -> Heading:
    """The titles of `score` over `width` staff spaces. Height 0 when there is nothing to say.

    `says_key`: a capo comes with the key that sounds.
    """
    words = style.words
    block = _Block(width, words)
    lines = decide_heading(score, style, says_key)
    titles = [line for line in lines if line[0].role in (Role.TITLE, Role.SUBTITLE)]
    for line in titles:
        block.row(line)
    if titles:
        block.y -= words.credit.size * words.credit_gap
    for line in lines[len(titles) :]:
        block.row(line)
    height = -block.y + (words.heading_foot * words.credit.size if block.marks else 0.0)
    if score.grids is Grids.TOP and score.shapes:
        marks, room = place_grid_rows(score.shapes, score.left_handed, width, -height, style)
        return Heading((*block.marks, *marks), height + room)
    return Heading(tuple(block.marks), height)
