"""How a move of the vibrato bar is shown over a note, and how much room that takes."""

from __future__ import annotations

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.score.sign_list import SignName
from engrave.score.structure import Note
from engrave.style.sections import Style
from engrave.theory.bends import BarMove, BarMoveKind, amount_label

_GLYPHS = {BarMoveKind.DIP: "guitarVibratoBarDip", BarMoveKind.VIBRATO: "guitarVibratoStroke"}


def bar_glyph(move: BarMove) -> str:
    """The symbol of a move; "" for dives and scoops, which are falling and rising lines."""
    return _GLYPHS.get(move.kind, "")


def bar_amount(move: BarMove) -> str:
    """How far down the bar goes, in whole steps; "" where that is not said."""
    return f"-{amount_label(move.semitones, '1')}" if move.semitones else ""


def bar_move_width(move: BarMove, style: Style, face: MusicFace) -> float:
    """The width of symbol and amount side by side, and of the letters over them, in staff spaces."""
    words = style.words.technique
    text = text_face(words.face)
    glyph, amount = bar_glyph(move), bar_amount(move)
    width = style.stacking.bar_dive
    if glyph:
        box = face.glyph(glyph).box
        width = box.right - box.left
    if amount:
        width += style.stacking.sign_gap / 2 + text.width(amount, words.size)
    return max(width, text.width(style.signs[SignName.VIBRATO_BAR].letters, words.size))


def bar_reach(notes: tuple[Note, ...], style: Style, face: MusicFace) -> float:
    """How far a chord's moves of the bar reach to each side of its middle, in staff spaces; 0 without one."""
    for note in notes:
        move = note.bar_move
        if move is not None:
            return bar_move_width(move, style, face) / 2
    return 0.0
