"""The block of titles at the head of a piece: title, subtitle, credits, tuning and capo."""

from __future__ import annotations

from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.pages.grid_rows import place_grid_rows
from engrave.layout.text.heading_words import HeadingPiece, decide_heading
from engrave.marks.mark import Mark, Text
from engrave.marks.role import Role
from engrave.score.structure import Grids, Score
from engrave.style.sections import Style
from engrave.style.words import TextStyle


class Heading(NamedTuple):
    """Marks in staff spaces with y = 0 at the top of the block, and the block's height."""

    marks: tuple[Mark, ...]
    height: float


class _Block:
    """Lays lines of text from the top down; y is the lowest ink so far."""

    def __init__(self, width: float, pitch: float) -> None:
        self.marks: list[Mark] = []
        self.y = 0.0
        self._width = width
        self._pitch = pitch

    def row(self, pieces: tuple[HeadingPiece, ...]) -> None:
        """One line."""
        self.y -= max(piece.style.size for piece in pieces) * self._pitch
        for piece in pieces:
            self._set(piece.role, piece.text, piece.style, piece.share)

    def _set(self, role: Role, text: str, style: TextStyle, share: float) -> None:
        width = text_face(style.face).width(text, style.size)
        size = style.size * min(1.0, self._width / width) if width else style.size
        x = (self._width - width * size / style.size) * share
        self.marks.append(Text(role, x, self.y, text, style.face, size))


def place_heading(score: Score, width: float, style: Style) -> Heading:
    """The titles of `score` over `width` staff spaces. Height 0 when there is nothing to say."""
    words = style.words
    block = _Block(width, words.line_pitch)
    lines = decide_heading(score, style)
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
