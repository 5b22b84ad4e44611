"""Tempo marks: words, and a note value with its number a minute."""

from __future__ import annotations

from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.mark import Glyph, Source
from engrave.marks.role import Role
from engrave.score.structure import Tempo
from engrave.style.sections import Style
from engrave.style.words import TextStyle

_NOTES = {
    1: "metNoteWhole",
    2: "metNoteHalfUp",
    4: "metNoteQuarterUp",
    8: "metNote8thUp",
    16: "metNote16thUp",
    32: "metNote32ndUp",
    64: "metNote64thUp",
}
_DOT = "metAugmentationDot"


class _Piece(NamedTuple):
    """Text, or a symbol when `glyph` is set; x from the start of the mark."""

    x: float
    text: str
    glyph: str
    face: str
    size: float


def measure_tempo(tempo: Tempo, style: Style, face: MusicFace) -> float:
    """The width of a tempo mark in staff spaces."""
    return _pieces(tempo, style, face)[1]


def place_tempo(
    canvas: StaffCanvas, tempo: Tempo, x: float, y: float, style: Style, face: MusicFace, source: Source
) -> float:
    """Draw a tempo mark from (x, y), its baseline; the top of its ink."""
    top = y
    for piece in _pieces(tempo, style, face)[0]:
        if piece.glyph:
            canvas.marks.append(Glyph(Role.TEMPO, x + piece.x, y, piece.glyph, source, piece.size))
            top = max(top, y + face.glyph(piece.glyph).box.top * piece.size)
        else:
            canvas.text(
                Role.TEMPO, x + piece.x, y, piece.text, face=piece.face, size=piece.size, source=source
            )
            top = max(top, y + text_face(piece.face).ink(piece.text, piece.size).top)
    return top


def _pieces(tempo: Tempo, style: Style, face: MusicFace) -> tuple[list[_Piece], float]:
    words, plain = style.words.tempo, style.words.metronome
    pieces: list[_Piece] = []
    pen = 0.0

    def add_text(text: str, kind: TextStyle) -> None:
        nonlocal pen
        pieces.append(_Piece(pen, text, "", kind.face, kind.size))
        pen += text_face(kind.face).width(text, kind.size)

    if tempo.words:
        add_text(tempo.words, words)
    if tempo.value is not None and tempo.per_minute is not None:
        add_text("  (" if tempo.words else "", plain)
        size = style.words.metronome_note * plain.size
        pen += style.words.metronome_note_gap if tempo.words else 0.0
        glyph = _NOTES[tempo.value.denominator]
        pieces.append(_Piece(pen, "", glyph, "", size))
        pen += face.glyph(glyph).advance * size + style.words.metronome_note_gap
        gap = style.words.metronome_dot_gap
        for _ in range(tempo.value.dots):
            pieces.append(_Piece(pen + gap, "", _DOT, "", size))
            pen += gap + face.glyph(_DOT).advance * size
        number = tempo.per_minute
        shown = str(number.numerator) if number.denominator == 1 else f"{float(number):g}"
        add_text(f" = {shown}" + (")" if tempo.words else ""), plain)
    return [piece for piece in pieces if piece.text or piece.glyph], pen
