"""Tempo marks: words, and a note value with its number a minute."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import wrap
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.mark import NO_SOURCE, Glyph, Source, Text
from engrave.marks.role import Role
from engrave.score.structure import Tempo
from engrave.style.sections import Style

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
    """Text, or a symbol when `glyph` is set; x from the start of the mark, `rise` from the baseline of its last line."""

    x: float
    rise: float
    text: str
    glyph: str
    face: str
    size: float


def measure_tempo(tempo: Tempo, style: Style, face: MusicFace, most: float = inf) -> float:
    """The width of a tempo mark in staff spaces, its words broken into lines no wider than `most`."""
    return _pieces(tempo, style, face, most)[1]


def decide_tempo_room(tempo: Tempo, room: float, style: Style, face: MusicFace) -> float:
    """How wide the lines of a tempo mark may be that has `room` to its right: so wide that its words stay whole.

    It takes no more than `tempo_lines_most` lines, about; where those are too wide it starts further to the left.
    """
    words = style.words.tempo
    measured = text_face(words.face)
    widest = max((measured.width(word, words.size) for word in tempo.words.split()), default=0.0)
    return max(room, widest, measure_tempo(tempo, style, face) / style.words.tempo_lines_most)


def place_tempo(
    canvas: StaffCanvas,
    tempo: Tempo,
    x: float,
    y: float,
    style: Style,
    face: MusicFace,
    source: Source,
    most: float = inf,
) -> float:
    """Draw a tempo mark from (x, y), the baseline of its last line; the top of its ink. No line is wider than `most`."""
    marks, rise = decide_tempo_marks(tempo, most, style, face, source)
    for mark in marks:
        canvas.marks.append(mark._replace(x=mark.x + x, y=mark.y + y))
    return y + rise


def decide_tempo_marks(
    tempo: Tempo, most: float, style: Style, face: MusicFace, source: Source = NO_SOURCE
) -> tuple[tuple[Glyph | Text, ...], float]:
    """The marks of a tempo from (0, 0), the baseline of its last line, and the top of their ink, in staff spaces."""
    marks: list[Glyph | Text] = []
    top = 0.0
    for piece in _pieces(tempo, style, face, most)[0]:
        if piece.glyph:
            marks.append(Glyph(Role.TEMPO, piece.x, piece.rise, piece.glyph, source, piece.size))
            top = max(top, piece.rise + face.glyph(piece.glyph).box.top * piece.size)
        else:
            marks.append(
                Text(Role.TEMPO, piece.x, piece.rise, piece.text, piece.face, piece.size, source=source)
            )
            top = max(top, piece.rise + text_face(piece.face).ink(piece.text, piece.size).top)
    return tuple(marks), top


def _pieces(tempo: Tempo, style: Style, face: MusicFace, most: float) -> tuple[list[_Piece], float]:
    """The words line by line, and the note value behind the last line or, where it has no room there, under it."""
    words = style.words.tempo
    measured = text_face(words.face)
    natural = measured.width(tempo.words, words.size)
    number, wide = _metronome(tempo, style, face)
    if natural + wide <= most:
        lines = [tempo.words] if tempo.words else []
    else:
        lines = wrap(tempo.words, words.face, words.size, most)
    ends = measured.width(lines[-1], words.size) if lines else 0.0
    below = bool(lines and number) and ends + wide > most
    if below:
        number, wide = _metronome(tempo._replace(words=""), style, face)
    tallest = max(
        (face.glyph(piece.glyph).box.top * piece.size for piece in number if piece.glyph), default=0
    )
    pitch = max(words.size * style.words.line_pitch, tallest - measured.descent * words.size)
    count = len(lines) + below
    pieces = [
        _Piece(0.0, (count - 1 - index) * pitch, line, "", words.face, words.size)
        for index, line in enumerate(lines)
    ]
    pen = 0.0 if below else ends
    pieces.extend(piece._replace(x=pen + piece.x) for piece in number)
    widths = [measured.width(line, words.size) for line in lines]
    return pieces, max([pen + wide, *widths])


def _metronome(tempo: Tempo, style: Style, face: MusicFace) -> tuple[list[_Piece], float]:
    """The note value and its number, in parentheses behind words, from x = 0; and their width."""
    plain = style.words.metronome
    pieces: list[_Piece] = []
    pen = 0.0

    def add_text(text: str) -> None:
        nonlocal pen
        pieces.append(_Piece(pen, 0.0, text, "", plain.face, plain.size))
        pen += text_face(plain.face).width(text, plain.size)

    if tempo.value is None or tempo.per_minute is None:
        return [], 0.0
    add_text("  (" if tempo.words else "")
    size = style.words.metronome_note * plain.size
    pen += style.words.metronome_note_gap if tempo.words else 0.0
    glyph = _NOTES[tempo.value.denominator]
    pieces.append(_Piece(pen, 0.0, "", glyph, "", size))
    pen += face.glyph(glyph).advance * size + style.words.metronome_note_gap
    gap = style.words.metronome_dot_gap
    for _ in range(tempo.value.dots):
        pieces.append(_Piece(pen + gap, 0.0, "", _DOT, "", size))
        pen += gap + face.glyph(_DOT).advance * size
    number = tempo.per_minute
    shown = str(number.numerator) if number.denominator == 1 else f"{float(number):g}"
    add_text(f" = {shown}" + (")" if tempo.words else ""))
    return [piece for piece in pieces if piece.text or piece.glyph], pen
