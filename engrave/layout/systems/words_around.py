"""Chord names and free text above a part, and the count under it, "1 e & a 2 &"."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import wrap
from engrave.layout.chord_grid import place_grid
from engrave.layout.lines.frames import LineFrame
from engrave.layout.measures.chord_names import ChordBlock
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.text.apostrophes import printed_words
from engrave.marks.mark import Source
from engrave.marks.role import Role
from engrave.score.structure import ChordAt, Measure
from engrave.style.sections import Style

if TYPE_CHECKING:  # loaded for music that has necks
    from engrave.layout.titled_neck import NeckItem


def beat_source(line: int, column: int, part: str, measure: Measure, onset: Fraction) -> Source:
    """The source of something that stands at `onset` of a measure."""
    beat = (onset + measure.metre_offset) * measure.metre.unit + 1
    return Source(line, column, part, measure.index + 1, str(beat))


def place_chord_names(
    canvas: StaffCanvas, frame: LineFrame, part: int, part_id: str, left_handed: bool, style: Style
) -> None:
    """Draw the chord names of one line on one baseline, and the grids under them with their nuts in line.

    A name without a grid starts at the left edge of its column's head.
    """
    placed: list[tuple[float, ChordAt, ChordBlock, Source]] = []
    for measure in frame.measures:
        for chord, block in measure.ink.words[part].chords:
            source = beat_source(
                chord.location.line, chord.location.column, part_id, measure.measure, chord.onset
            )
            placed.append((measure.x_at(chord.onset), chord, block, source))
    if not placed:
        return
    stacking = style.stacking
    side = stacking.sign_gap
    has_grids = any(block.grid for _, _, block, _ in placed)
    has_letters = any(
        mark.role is Role.SPAN_TEXT for mark in canvas.marks
    )  # strokes come near notes, not words
    y = canvas.plan.height + stacking.first_sign_gap
    for x, _, block, _ in placed:
        outline = canvas.upper.height(x - block.left - side, x + block.right + side)
        gap = style.grids.apart if has_grids else stacking.first_sign_gap
        if has_letters and block.grid is None and outline > canvas.plan.height:
            gap = max(gap, stacking.sign_gap - block.name.bottom)
        y = max(y, outline + gap)
    below = max(
        (block.grid.height - block.grid.above for _, _, block, _ in placed if block.grid), default=0.0
    )
    above = max((block.grid.above for _, _, block, _ in placed if block.grid), default=0.0)
    names = y + below + above + (style.grids.name_gap if above else 0.0)
    for x, chord, block, source in placed:
        if block.grid is not None and chord.shape is not None:
            at = x + block.grid_dx
            canvas.marks.extend(place_grid(chord.shape, style.grids, at, y + below, source, left_handed))
        for run in block.name.runs:
            at = x + block.name_dx + run.dx
            canvas.text(
                Role.CHORD_NAME, at, names + run.dy, run.text, face=run.face, size=run.size, source=source
            )
        canvas.upper.add(x - block.left, x + block.right, names + block.name.top)


def place_necks(canvas: StaffCanvas, frame: LineFrame, part: int, part_id: str, style: Style) -> None:
    """Draw the neck diagrams of one line, each over the start of its measure, their upper edges in line."""
    placed: list[tuple[float, NeckItem, Source]] = []
    for measure in frame.measures:
        item, over = measure.ink.words[part].neck, measure.ink.parts[part].neck
        if item is not None and over is not None:
            x = max(0.0, min(measure.x_at(Fraction(0)), frame.width - item.width))
            line, column = over.location
            placed.append((x, item, beat_source(line, column, part_id, measure.measure, Fraction(0))))
    if not placed:
        return
    from engrave.layout.titled_neck import place_item, title_height

    side, numbers = style.stacking.sign_gap, style.necks
    outline = max(canvas.upper.height(x - side, x + item.width + side) for x, item, _ in placed)
    foot = max(outline + style.grids.apart, canvas.plan.height + style.stacking.first_sign_gap)
    corner = foot + max(item.extent.height - item.extent.above for _, item, _ in placed)
    baseline = corner + max(item.extent.above for _, item, _ in placed) + numbers.title_gap
    for x, item, source in placed:
        canvas.marks.extend(place_item(item, x, corner, baseline, style, source=source))
        top = baseline - numbers.title_gap + title_height(len(item.title), style)
        canvas.upper.add(x, x + item.width, top)


def place_texts(canvas: StaffCanvas, frame: LineFrame, part: int, part_id: str, style: Style) -> None:
    """Draw free text above the staff, each piece as near as it can stand."""
    words, stacking = style.words.text, style.stacking
    face = text_face(words.face)
    for measure in frame.measures:
        for text in measure.ink.parts[part].texts:
            lines = wrap(printed_words(text.text), words.face, words.size, frame.width) or [""]
            width = max(face.width(line, words.size) for line in lines)
            x = max(0.0, min(measure.x_at(text.onset), frame.width - width))
            pitch = words.size * style.words.line_pitch
            outline = canvas.upper.height(x, x + width)
            lowest = max(outline + stacking.sign_gap, canvas.plan.height + stacking.first_sign_gap)
            y = lowest - face.ink(lines[-1], words.size).bottom
            source = beat_source(
                text.location.line, text.location.column, part_id, measure.measure, text.onset
            )
            for number, line in enumerate(reversed(lines)):
                at = y + number * pitch
                canvas.text(Role.TEXT, x, at, line, face=words.face, size=words.size, source=source)
            top = y + (len(lines) - 1) * pitch + face.ink(lines[0], words.size).top
            canvas.upper.add(x, x + width, top)


def place_count(canvas: StaffCanvas, frame: LineFrame, part: int, part_id: str, style: Style) -> None:
    """Draw the count of one part's line under the staff; its syllables are measured."""
    words, stacking = style.words.counting, style.stacking
    face = text_face(words.face)
    placed: list[tuple[float, float, str, Source]] = []
    for measure in frame.measures:
        for onset, syllable, start, width in measure.ink.words[part].counted:
            location = measure.ink.parts[part].location
            source = beat_source(location.line, location.column, part_id, measure.measure, onset)
            placed.append((measure.x_at(onset) + start, width, syllable, source))
    if not placed:
        return
    outline = min(canvas.lower.height(x, x + width) for x, width, _, _ in placed)
    y = min(outline - stacking.sign_gap, -stacking.first_sign_gap) - face.ink("1", words.size).top
    for x, width, syllable, source in placed:
        canvas.text(Role.COUNTING, x, y, syllable, face=words.face, size=words.size, source=source)
        canvas.lower.add(x, x + width, y)
