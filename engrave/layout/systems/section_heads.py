"""Labels in their boxes, tempo marks and signs of swing: outermost above the top staff."""

from __future__ import annotations

from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.lines.frames import LineFrame, MeasureFrame
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.swing_marks import decide_swing_sign, place_swing
from engrave.layout.systems.tempo_marks import decide_tempo_room, measure_tempo, place_tempo
from engrave.marks.mark import NO_SOURCE, Source
from engrave.marks.role import Role
from engrave.score.structure import Measure
from engrave.style.sections import Style


class _Head(NamedTuple):
    """A label, a tempo mark and a sign of swing, those that there are side by side, over one measure."""

    measure: Measure
    x: float
    label_width: float
    width: float
    tempo_most: float
    """No line of the tempo mark is wider."""


def structure_source(measure: Measure) -> Source:
    """The source of what stands over a whole measure."""
    return Source(measure.location.line, measure.location.column, "", measure.index + 1)


def place_section_heads(canvas: StaffCanvas, frame: LineFrame, style: Style, face: MusicFace) -> None:
    """Draw the labels and tempo marks of a line on one baseline; one that finds no room there stands higher."""
    row: list[_Head] = []
    raised: list[_Head] = []
    for measure in frame.measures:
        if not (measure.measure.label or measure.measure.tempo or measure.measure.swing_changes):
            continue
        head = _measure(frame, measure, style, face)
        free = row[-1].x + row[-1].width + style.words.label_gap if row else head.x
        if head.x >= free:
            row.append(head)
        elif free - head.x <= style.words.label_push_most and free + head.width <= frame.room:
            row.append(head._replace(x=free))
        else:
            raised.append(head)
    if row:
        y = max(_free_baseline(canvas, head, style) for head in row)
        for head in row:
            _draw(canvas, head, y, style, face)
    for head in raised:
        _draw(canvas, head, _free_baseline(canvas, head, style), style, face)


def _measure(frame: LineFrame, measure: MeasureFrame, style: Style, face: MusicFace) -> _Head:
    words = style.words
    label, tempo = measure.measure.label, measure.measure.tempo
    label_width = 0.0
    if label:
        label_width = text_face(words.label.face).width(label, words.label.size) + 2 * words.label_pad
    widths = [label_width] if label else []
    swing = measure.measure.swing_changes
    after = [decide_swing_sign(measure.measure.swing, style, face, NO_SOURCE).width] if swing else []
    start, most = _head_x(frame, measure), 0.0
    if tempo:
        taken = sum([*widths, *after]) + words.label_gap * (len(widths) + len(after))
        most = decide_tempo_room(tempo, frame.room - start - taken, style, face)
        widths.append(measure_tempo(tempo, style, face, most))
    widths.extend(after)
    width = sum(widths) + words.label_gap * (len(widths) - 1)
    x = max(0.0, min(start, frame.room - width))
    return _Head(measure.measure, x, label_width, width, most)


def _free_baseline(canvas: StaffCanvas, head: _Head, style: Style) -> float:
    """The lowest baseline at which a head is clear of everything under it."""
    stacking = style.stacking
    outline = canvas.upper.height(head.x - style.words.label_gap, head.x + head.width + style.words.label_gap)
    return (
        max(canvas.plan.height + stacking.first_sign_gap, outline + stacking.head_gap) + style.words.label_pad
    )


def _draw(canvas: StaffCanvas, head: _Head, y: float, style: Style, face: MusicFace) -> None:
    words = style.words
    source = structure_source(head.measure)
    top = y
    if head.measure.label:
        text = head.measure.label
        canvas.text(
            Role.LABEL,
            head.x + words.label_pad,
            y,
            text,
            face=words.label.face,
            size=words.label.size,
            source=source,
        )
        top = y + text_face(words.label.face).ink("H", words.label.size).top + words.label_pad
        _draw_box(
            canvas,
            head.x,
            y - words.label_pad,
            head.x + head.label_width,
            top=top,
            line=words.label_line,
            source=source,
        )
    start = head.x + head.label_width + (style.words.label_gap if head.measure.label else 0.0)
    if head.measure.tempo:
        tempo = place_tempo(
            canvas,
            head.measure.tempo,
            start,
            y,
            style=style,
            face=face,
            source=source,
            most=head.tempo_most,
        )
        top = max(top, tempo)
        start += measure_tempo(head.measure.tempo, style, face, head.tempo_most) + style.words.label_gap
    if head.measure.swing_changes:
        top = max(
            top, place_swing(canvas, head.measure.swing, start, y, style=style, face=face, source=source)
        )
    canvas.upper.add(head.x, head.x + head.width, top)


def _head_x(frame: LineFrame, measure: MeasureFrame) -> float:
    """Left-aligned with the barline, or with the time signature at the start of a line (common practice, no source)."""
    if measure is frame.measures[0]:
        for row in frame.start.metres:
            if row:
                return frame.indent + row[0].x
        return frame.indent
    return measure.left - measure.signs.width


def _draw_box(
    canvas: StaffCanvas, left: float, bottom: float, right: float, top: float, line: float, source: Source
) -> None:
    half = line / 2
    for x1, y1, x2, y2 in (
        (left - half, bottom, right + half, bottom),
        (left - half, top, right + half, top),
        (left, bottom, left, top),
        (right, bottom, right, top),
    ):
        canvas.line(Role.LABEL_BOX, x1, y1, x2, y2=y2, width=line, source=source)
