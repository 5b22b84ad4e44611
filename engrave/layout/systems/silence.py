"""Measures without music of their own: the rest of a whole measure, rests of many measures, signs of repetition."""

from __future__ import annotations

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.lines.frames import LineFrame, MeasureFrame
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.mark import Polygon, Source
from engrave.marks.role import Role
from engrave.style.sections import Style

_REPEATS = {1: "repeat1Bar", 2: "repeat2Bars", 4: "repeat4Bars"}


def place_silences(canvas: StaffCanvas, frame: LineFrame, face: MusicFace, style: Style) -> None:
    """Draw whole-measure rests, rests of several measures, and the signs of measures that repeat earlier ones."""
    for number, measure in enumerate(frame.measures):
        content = measure.ink.parts[canvas.plan.part]
        source = measure.ink.staves[canvas.plan.index].whole_rest
        if content.repeats:
            following = frame.measures[number + 1] if number + 1 < len(frame.measures) else None
            _place_repeat(canvas, measure, following, face, style)
        elif measure.measure.rests > 1:
            _place_many(canvas, measure, face, style, source or _source(canvas, measure))
        elif source is not None:
            y = canvas.plan.height / 2 + 1.0
            _place_centred(canvas, measure, "restWhole", Role.REST, y=y, face=face, source=source)


def _source(canvas: StaffCanvas, measure: MeasureFrame) -> Source:
    location = measure.ink.parts[canvas.plan.part].location
    return Source(location.line, location.column, "", measure.measure.index + 1, "1")


def _place_centred(
    canvas: StaffCanvas,
    measure: MeasureFrame,
    glyph: str,
    role: Role,
    y: float,
    face: MusicFace,
    source: Source,
) -> None:
    """A symbol in the middle between the measure's barlines."""
    box = face.glyph(glyph).box
    x = (measure.left + measure.right) / 2 - (box.left + box.right) / 2
    canvas.glyph(role, x, y, glyph, source)
    canvas.ink(x + box.left, x + box.right, y + box.bottom, y + box.top)


def _place_repeat(
    canvas: StaffCanvas,
    measure: MeasureFrame,
    following: MeasureFrame | None,
    face: MusicFace,
    style: Style,
) -> None:
    """One sign a group: inside a single measure, or on the barline in the middle of two or four."""
    content = measure.ink.parts[canvas.plan.part]
    source, middle = _source(canvas, measure), canvas.plan.height / 2
    glyph = _REPEATS[content.repeats]
    if content.repeats == 1:
        _place_centred(canvas, measure, glyph, Role.MEASURE_REPEAT, y=middle, face=face, source=source)
        return
    if content.repeat_index != content.repeats // 2 - 1:
        return
    box = face.glyph(glyph).box
    barline = (measure.right + (following.left if following is not None else measure.right)) / 2
    x = barline - (box.left + box.right) / 2
    canvas.glyph(Role.MEASURE_REPEAT, x, middle, glyph, source)
    canvas.ink(x + box.left, x + box.right, middle + box.bottom, middle + box.top)
    if canvas.plan.is_first:
        _place_number(canvas, barline, content.repeats, source, style)


def _place_many(
    canvas: StaffCanvas, measure: MeasureFrame, face: MusicFace, style: Style, source: Source
) -> None:
    """The bar of several measures of rest, and their number over the staff."""
    left, right = (
        measure.left + style.spacing.multiple_rest_inset,
        measure.right - style.spacing.multiple_rest_inset,
    )
    middle = canvas.plan.height / 2
    end = face.glyph("restHBarLeft").box
    beam = face.glyph("restHBarMiddle").box
    for x, glyph in ((left, "restHBarLeft"), (right - end.right, "restHBarRight")):
        canvas.glyph(Role.MULTIPLE_REST, x, middle, glyph, source)
    corners = (
        (left + end.right / 2, middle + beam.bottom),
        (right - end.right / 2, middle + beam.bottom),
        (right - end.right / 2, middle + beam.top),
        (left + end.right / 2, middle + beam.top),
    )
    canvas.marks.append(Polygon(Role.MULTIPLE_REST, corners, source))
    canvas.ink(left, right, middle + end.bottom, middle + end.top)
    if canvas.plan.is_first:
        _place_number(canvas, (left + right) / 2, measure.measure.rests, source, style)


def _place_number(canvas: StaffCanvas, middle: float, number: int, source: Source, style: Style) -> None:
    """A number of measures over the staff, in the digits of time signatures."""
    words = style.words.rest_count
    text = "".join(chr(_FIRST_DIGIT + int(digit)) for digit in str(number))
    face = text_face(words.face)
    width, ink = face.width(text, words.size), face.ink(text, words.size)
    left = middle - width / 2
    outline = max(canvas.upper.height(left, left + width), canvas.plan.height)
    y = outline + style.stacking.sign_gap - ink.bottom
    canvas.text(Role.MULTIPLE_REST, left, y, text, face=words.face, size=words.size, source=source)
    canvas.ink(left, left + width, y + ink.bottom, y + ink.top)


_FIRST_DIGIT = 0xE080
"""SMuFL: the digit 0 of time signatures; the others follow (fact)."""
