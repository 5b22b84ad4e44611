"""The block of titles at the head of a piece: title, subtitle, credits, tuning and capo."""

from __future__ import annotations

from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.pages.grid_rows import place_grid_rows
from engrave.marks.mark import Mark, Text
from engrave.marks.role import Role
from engrave.score.structure import Credits, Grids, Part, Score
from engrave.style.sections import Style
from engrave.style.wordbook import PageWords, fill
from engrave.style.words import TextStyle
from engrave.theory.instrument import letter_name
from engrave.theory.numbering import roman


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

    def row(self, pieces: list[tuple[Role, str, TextStyle, float]]) -> None:
        """One line; each piece stands at a share of the free width: 0 left, 0.5 centred, 1 right."""
        pieces = [piece for piece in pieces if piece[1]]
        if not pieces:
            return
        self.y -= max(style.size for _, _, style, _ in pieces) * self._pitch
        for role, text, style, share in pieces:
            self._set(role, text, style, share)

    def _set(self, role: Role, text: str, style: TextStyle, share: float) -> None:
        width = text_face(style.face).width(text, style.size)
        size = style.size * min(1.0, self._width / width) if width else style.size
        x = (self._width - width * size / style.size) * share
        self.marks.append(Text(role, x, self.y, text, style.face, size))


def place_heading(score: Score, width: float, style: Style) -> Heading:
    """The titles of `score` over `width` staff spaces. Height 0 when there is nothing to say."""
    words = style.words
    block = _Block(width, words.line_pitch)
    title = score.title.upper() if words.upper_case_titles else score.title
    block.row([(Role.TITLE, title, words.title, 0.5)])
    block.row([(Role.SUBTITLE, score.subtitle, words.subtitle, 0.5)])
    if block.marks:
        block.y -= words.credit.size * 0.5
    left, right, arrangement = _credit_lines(score.credits, style.wordbook.page)
    block.row([(Role.CREDIT, left, words.credit, 0.0), (Role.CREDIT, right, words.credit, 1.0)])
    block.row([(Role.CREDIT, arrangement, words.credit, 1.0)])
    for line in tuning_lines(score.parts, style):
        block.row([(Role.TUNING_TEXT, line, words.tuning, 0.0)])
    height = -block.y + (0.4 * words.credit.size if block.marks else 0.0)
    if score.grids is Grids.TOP and score.shapes:
        marks, room = place_grid_rows(score.shapes, score.left_handed, width, -height, style)
        return Heading((*block.marks, *marks), height + room)
    return Heading(tuple(block.marks), height)


def _credit_lines(credits: Credits, say: PageWords) -> tuple[str, str, str]:
    """What stands at the left and the right of one line, and under them at the right; "" for nothing."""
    arrangement = fill(say.arranged_by, credits.arrangement) if credits.arrangement else ""
    if not credits.words:
        return "", credits.music, arrangement
    if credits.words == credits.music:
        return "", fill(say.words_and_music_by, credits.music), arrangement
    music = fill(say.music_by, credits.music) if credits.music else ""
    return fill(say.words_by, credits.words), music, arrangement


def tuning_lines(parts: tuple[Part, ...], style: Style) -> list[str]:
    """What a player must know before starting: unusual tunings (thickest string first) and capos."""
    lines = []
    book, words = style.wordbook, style.words
    for part in parts:
        phrases = []
        instrument = part.instrument
        if words.show_tuning and part.is_fretted and instrument.names_its_strings:
            letters = (letter_name(pitch, words.says_h) for pitch in reversed(instrument.tuning))
            phrases.append(fill(book.page.tuning, " ".join(letters)))
        if instrument.capo:
            phrases.append(fill(book.page.capo, roman(instrument.capo)))
        if phrases:
            line = ",  ".join(phrases)
            lines.append(book.labelled(book.part_name(part), line) if len(parts) > 1 else line)
    return lines
