"""The sign of swing: an equation of notes, a pair written alike and a pair long and short under a 3."""

from __future__ import annotations

from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.mark import Glyph, Line, Polygon, Source, Text
from engrave.marks.role import Role
from engrave.style.sections import Style
from engrave.theory.swing import Swing

_HEAD, _SINGLE, _FLAGGED = "noteheadBlack", "metNoteQuarterUp", "metNote8thUp"
_HEAD_MIDDLE = 0.5
"""The middle of a small note's head over its foot, in its own staff spaces (fact of the music face)."""
_THREE = "3"

SwingMark = Glyph | Line | Polygon | Text


class SwingSign(NamedTuple):
    """A sign drawn from (0, 0), its baseline: its marks, its width and its height in staff spaces."""

    marks: tuple[SwingMark, ...]
    width: float
    height: float


class _Pair(NamedTuple):
    """Two notes of an equation: their marks, the right edge and the top of their ink."""

    marks: list[SwingMark]
    right: float
    top: float


def decide_swing_sign(swing: Swing, style: Style, face: MusicFace, source: Source) -> SwingSign:
    """The equation that says what is swung; where swing ends, the pair with the word for even.

    Two beamed notes = a triplet of a long and a short one, in the size of the notes of metronome marks (common practice, no source).
    """
    words = style.words.metronome
    is_sixteenths = swing is Swing.SIXTEENTHS
    pair = _beamed(0.0, 2 if is_sixteenths else 1, 2 if is_sixteenths else 1, style, face, source)
    ending = f" {style.wordbook.page.even}" if swing is Swing.NONE else " = "
    gap = style.words.metronome_note_gap
    text = Text(Role.SWING, pair.right + gap, 0.0, ending, words.face, words.size, source=source)
    pen = text.x + text_face(words.face).width(ending, words.size)
    if swing is Swing.NONE:
        return SwingSign((*pair.marks, text), pen, pair.top)
    pen += gap
    long_short = (
        _beamed(pen, 1, 2, style, face, source) if is_sixteenths else _single(pen, style, face, source)
    )
    three = _three(pen, long_short, not is_sixteenths, style, source)
    return SwingSign((*pair.marks, text, *long_short.marks, *three.marks), three.right, three.top)


def place_swing(
    canvas: StaffCanvas, swing: Swing, x: float, y: float, style: Style, face: MusicFace, source: Source
) -> float:
    """Draw the sign of swing from (x, y), its baseline; the top of its ink."""
    sign = decide_swing_sign(swing, style, face, source=source)
    canvas.marks.extend(_moved(mark, x, y) for mark in sign.marks)
    return y + sign.height


def _size(style: Style) -> float:
    """The size of the notes of a metronome mark."""
    return style.words.metronome_note * style.words.metronome.size


def _stem_tip(style: Style, face: MusicFace) -> float:
    return face.glyph(_SINGLE).box.top * _size(style)


def _beamed(x: float, beams: int, last: int, style: Style, face: MusicFace, source: Source) -> _Pair:
    """Two notes under level beams from `x` on: `beams` over both, `last` at the second note."""
    size, head = _size(style), face.glyph(_HEAD).box
    stem, thick = style.notes.stem * size, style.beams.thickness * size
    step, top = style.words.swing_step * size, _stem_tip(style, face)
    marks: list[SwingMark] = []
    stems = [x + head.right * size - stem / 2 + number * step for number in range(2)]
    for number, at in enumerate(stems):
        foot = _HEAD_MIDDLE * size
        marks.append(Glyph(Role.SWING, x + number * step, foot, _HEAD, source, size))
        marks.append(Line(Role.SWING, at, foot, at, top, stem, source=source))
    left, right = stems[0] - stem / 2, stems[1] + stem / 2
    for number in range(max(beams, last)):
        upper = top - number * (thick + style.words.swing_beam_gap * size)
        start = left if number < beams else right - style.words.swing_short_beam * size
        corners = ((start, upper), (right, upper), (right, upper - thick), (start, upper - thick))
        marks.append(Polygon(Role.SWING, corners, source))
    return _Pair(marks, right, top)


def _single(x: float, style: Style, face: MusicFace, source: Source) -> _Pair:
    """A quarter and an eighth from `x` on, each with a stem of its own."""
    size = _size(style)
    second = x + (style.words.swing_step + style.words.swing_flag_room) * size
    marks: list[SwingMark] = [
        Glyph(Role.SWING, x, 0.0, _SINGLE, source, size),
        Glyph(Role.SWING, second, 0.0, _FLAGGED, source, size),
    ]
    return _Pair(marks, second + face.glyph(_FLAGGED).box.right * size, _stem_tip(style, face))


def _three(x: float, pair: _Pair, has_bracket: bool, style: Style, source: Source) -> _Pair:
    """The 3 of a triplet over `pair`, in a bracket where no beam joins its notes."""
    size, kind = _size(style), style.words.tuplet
    figure, digit = kind.size * size, text_face(kind.face)
    width, height = digit.width(_THREE, figure), digit.ink(_THREE, figure).top
    middle = (x + pair.right) / 2
    foot = pair.top + style.words.swing_three_gap * size
    marks: list[SwingMark] = [
        Text(Role.SWING, middle - width / 2, foot, _THREE, kind.face, figure, source=source),
    ]
    if has_bracket:
        line, y = style.beams.tuplet_line * size, foot + height / 2
        hook, gap = style.words.swing_hook * size, style.beams.tuplet_digit_gap * size
        for end, inner in ((x, middle - width / 2 - gap), (pair.right, middle + width / 2 + gap)):
            side = line / 2 if end == x else -line / 2
            marks.append(Line(Role.SWING, end, y, inner, y, line, source=source))
            marks.append(
                Line(Role.SWING, end + side, y + line / 2, end + side, y - hook, line, source=source)
            )
    return _Pair(marks, pair.right, foot + height)


def _moved(mark: SwingMark, x: float, y: float) -> SwingMark:
    match mark:
        case Line():
            return mark._replace(x1=mark.x1 + x, x2=mark.x2 + x, y1=mark.y1 + y, y2=mark.y2 + y)
        case Polygon():
            return mark._replace(points=tuple((a + x, b + y) for a, b in mark.points))
        case _:
            return mark._replace(x=mark.x + x, y=mark.y + y)
