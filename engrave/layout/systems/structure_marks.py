"""Repeat and navigation signs above the top staff: endings, labels, tempo, signs, D.C. and D.S., measure numbers."""

from __future__ import annotations

from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.lines.frames import LineFrame, MeasureFrame
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.section_heads import place_section_heads, structure_source
from engrave.marks.mark import Line, Source
from engrave.marks.role import Role
from engrave.score.structure import Measure
from engrave.style.sections import Style
from engrave.style.words import TextStyle


class _Span(NamedTuple):
    """An ending's bracket on one line: from, to, number text, and which hooks it has."""

    left: float
    right: float
    text: str
    starts: bool
    closes: bool
    source: Source


def place_structure(
    canvas: StaffCanvas,
    frame: LineFrame,
    before: Measure | None,
    after: Measure | None,
    style: Style,
    face: MusicFace,
) -> None:
    """Draw everything of one line, from the staff outwards. `before` and `after` are the neighbouring lines' measures."""
    _place_bar_number(canvas, frame, style)
    for measure in frame.measures:
        _place_roadmap_words(canvas, measure, style, face)
    _place_endings(canvas, frame, before, after, style)
    for measure in frame.measures:
        _place_signs(canvas, measure, face, style)
        _place_repeat_count(canvas, measure, style)
    place_section_heads(canvas, frame, style, face)


def _above(canvas: StaffCanvas, left: float, right: float, style: Style) -> float:
    """The lowest free y over the staff between `left` and `right`."""
    stacking = style.stacking
    outline = canvas.upper.height(left, right)
    return max(outline + stacking.sign_gap, canvas.plan.height + stacking.first_sign_gap)


def _place_words(
    canvas: StaffCanvas, role: Role, text: str, words: TextStyle, left: float, style: Style, source: Source
) -> float:
    """Draw words as low as they can stand; the top of their ink."""
    face = text_face(words.face)
    width, ink = face.width(text, words.size), face.ink(text, words.size)
    y = _above(canvas, left, left + width, style) - min(0.0, ink.bottom)
    canvas.text(role, left, y, text, face=words.face, size=words.size, source=source)
    canvas.upper.add(left, left + width, y + ink.top)
    return y + ink.top


def _place_bar_number(canvas: StaffCanvas, frame: LineFrame, style: Style) -> None:
    words = style.words.measure_number
    wanted = style.words.measure_numbers
    if wanted == "none":
        return
    for index, measure in enumerate(frame.measures):
        number = measure.measure.number
        if number < 1 or (index and wanted != "all"):
            continue
        x = frame.indent if index == 0 else measure.left
        if number > 1:
            _place_words(
                canvas,
                Role.MEASURE_NUMBER,
                str(number),
                words,
                left=x,
                style=style,
                source=structure_source(measure.measure),
            )


def _place_roadmap_words(canvas: StaffCanvas, measure: MeasureFrame, style: Style, face: MusicFace) -> None:
    """D.C., D.S., Fine and To Coda end at the right barline."""
    repeat = measure.measure.repeat
    words = style.words.go_back
    pieces = []
    if repeat.fine:
        pieces.append("Fine")
    if repeat.go_back is not None:
        pieces.append(repeat.go_back.value)
    end = measure.right + measure.barline.width
    if pieces:
        text = ", ".join(pieces)
        width = text_face(words.face).width(text, words.size)
        _place_words(
            canvas,
            Role.ROADMAP,
            text,
            words,
            left=end - width,
            style=style,
            source=structure_source(measure.measure),
        )
    if repeat.to_coda:
        _place_to_coda(canvas, measure, end, style, face)


def _place_to_coda(
    canvas: StaffCanvas, measure: MeasureFrame, end: float, style: Style, face: MusicFace
) -> None:
    words = style.words.go_back
    text_width = text_face(words.face).width("To Coda ", words.size)
    box = face.glyph("coda").box
    left = end - text_width - box.right
    source = structure_source(measure.measure)
    y = _above(canvas, left, end, style)
    canvas.text(Role.ROADMAP, left, y, "To Coda ", face=words.face, size=words.size, source=source)
    lift = y - box.bottom - style.stacking.coda_drop
    canvas.glyph(Role.ROADMAP, left + text_width, lift, "coda", source)
    canvas.upper.add(left, end, lift + box.top)


def _place_repeat_count(canvas: StaffCanvas, measure: MeasureFrame, style: Style) -> None:
    times = measure.measure.repeat.end_times
    if times is None or times == 2 or measure.measure.repeat.ending:
        return
    text = f"×{times}"
    words = style.words.go_back
    width = text_face(words.face).width(text, words.size)
    end = measure.right + measure.barline.width
    _place_words(
        canvas,
        Role.REPEAT_COUNT,
        text,
        words,
        left=end - width,
        style=style,
        source=structure_source(measure.measure),
    )


def _place_signs(canvas: StaffCanvas, measure: MeasureFrame, face: MusicFace, style: Style) -> None:
    """Segno and coda stand at the left of their measure."""
    repeat = measure.measure.repeat
    x = measure.left
    for wanted, glyph in ((repeat.segno, "segno"), (repeat.coda, "coda")):
        if wanted:
            box = face.glyph(glyph).box
            y = _above(canvas, x, x + box.right, style) - box.bottom
            canvas.glyph(Role.ROADMAP, x, y, glyph, structure_source(measure.measure))
            canvas.upper.add(x, x + box.right, y + box.top)
            x += box.right + style.stacking.sign_gap


def _find_endings(frame: LineFrame, before: Measure | None, after: Measure | None) -> list[_Span]:
    spans: list[_Span] = []
    measures = frame.measures
    index = 0
    while index < len(measures):
        ending = measures[index].measure.repeat.ending
        if not ending:
            index += 1
            continue
        stop = index
        while (
            stop + 1 < len(measures)
            and measures[stop + 1].measure.repeat.ending == ending
            and measures[stop].measure.repeat.end_times is None
        ):
            stop += 1
        last = measures[stop]
        continues = stop + 1 == len(measures) and after is not None and after.repeat.ending == ending
        resumes = index == 0 and before is not None and before.repeat.ending == ending
        text = f"{ending[0]}." if len(ending) == 1 else f"{ending[0]}.–{ending[-1]}."
        spans.append(
            _Span(
                measures[index].left,
                last.right + last.barline.width,
                text,
                not resumes,
                last.measure.repeat.end_times is not None and not continues,
                structure_source(measures[index].measure),
            )
        )
        index = stop + 1
    return spans


def _place_endings(
    canvas: StaffCanvas, frame: LineFrame, before: Measure | None, after: Measure | None, style: Style
) -> None:
    """All brackets of a line at one height."""
    spans = _find_endings(frame, before, after)
    if not spans:
        return
    stacking, words = style.stacking, style.words.ending
    outline = max(canvas.upper.height(span.left, span.right) for span in spans)
    y = max(outline + stacking.sign_gap + stacking.ending_hook, canvas.plan.height + stacking.ending_height)
    half = stacking.ending_line / 2
    for span in spans:
        left, right = span.left + half, span.right - half - stacking.ending_gap
        marks = [
            Line(
                role=Role.ENDING_BRACKET,
                x1=left - half,
                y1=y,
                x2=right + half,
                y2=y,
                width=stacking.ending_line,
                source=span.source,
            )
        ]
        if span.starts:
            marks.append(
                Line(
                    role=Role.ENDING_BRACKET,
                    x1=left,
                    y1=y,
                    x2=left,
                    y2=y - stacking.ending_hook,
                    width=stacking.ending_line,
                    source=span.source,
                )
            )
            top = text_face(words.face).ink("1", words.size).top
            canvas.text(
                Role.ENDING_NUMBER,
                left + stacking.ending_number_inset,
                y - top - stacking.ending_number_drop,
                span.text,
                face=words.face,
                size=words.size,
                source=span.source,
            )
        if span.closes:
            marks.append(
                Line(
                    role=Role.ENDING_BRACKET,
                    x1=right,
                    y1=y,
                    x2=right,
                    y2=y - stacking.ending_hook,
                    width=stacking.ending_line,
                    source=span.source,
                )
            )
        canvas.marks.extend(marks)
        canvas.upper.add(span.left, span.right, y + half)
