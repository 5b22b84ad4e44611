"""Chord names and free text above a part."""

from __future__ import annotations

from fractions import Fraction

from engrave.fonts.text_face import text_face
from engrave.layout.lines.frames import LineFrame
from engrave.layout.measures.chord_names import ChordNameMeasurer, ChordNameShape
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.mark import Source
from engrave.marks.role import Role
from engrave.score.structure import Measure
from engrave.style.sections import Style


def beat_source(line: int, column: int, part: str, measure: Measure, onset: Fraction) -> Source:
    """The source of something that stands at `onset` of a measure."""
    beat = (onset + measure.metre_offset) * measure.metre.unit + 1
    return Source(line, column, part, measure.index + 1, str(beat))


def place_chord_names(
    canvas: StaffCanvas, frame: LineFrame, part: int, part_id: str, measurer: ChordNameMeasurer, style: Style
) -> None:
    """Draw the chord names of one line on one baseline, each starting at the left edge of its column's head."""
    placed: list[tuple[float, ChordNameShape, Source]] = []
    for measure in frame.measures:
        for chord in measure.ink.parts[part].chords:
            source = beat_source(chord.place.line, chord.place.column, part_id, measure.measure, chord.onset)
            placed.append((measure.x_at(chord.onset), measurer.measure(chord.name), source))
    if not placed:
        return
    stacking = style.stacking
    side = stacking.padding
    outline = max(canvas.upper.height(x - side, x + shape.width + side) for x, shape, _ in placed)
    y = max(outline + stacking.padding, canvas.plan.height + stacking.staff_padding)
    for x, shape, source in placed:
        for run in shape.runs:
            canvas.text(Role.CHORD_NAME, x + run.dx, y + run.dy, run.text, run.face, run.size, source)
        canvas.upper.add(x, x + shape.width, y + shape.top)


def place_texts(canvas: StaffCanvas, frame: LineFrame, part: int, part_id: str, style: Style) -> None:
    """Draw free text above the staff, each piece as near as it can stand."""
    words, stacking = style.words.text, style.stacking
    face = text_face(words.face)
    for measure in frame.measures:
        for text in measure.ink.parts[part].texts:
            width = face.width(text.text, words.size)
            x = max(0.0, min(measure.x_at(text.onset), frame.width - width))
            ink = face.ink(text.text, words.size)
            outline = canvas.upper.height(x, x + width)
            y = max(outline + stacking.padding, canvas.plan.height + stacking.staff_padding) - ink.bottom
            source = beat_source(text.place.line, text.place.column, part_id, measure.measure, text.onset)
            canvas.text(Role.TEXT, x, y, text.text, words.face, words.size, source)
            canvas.upper.add(x, x + width, y + ink.top)
