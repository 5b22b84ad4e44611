"""The count under a part: "1 e & a 2 &", on one height along the line."""

from __future__ import annotations

from engrave.fonts.text_face import text_face
from engrave.layout.lines.frames import LineFrame
from engrave.layout.measures.counts import measure_count
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.words_above import beat_source
from engrave.marks.mark import Source
from engrave.marks.role import Role
from engrave.style.sections import Style


def place_count(
    canvas: StaffCanvas, frame: LineFrame, part: int, part_id: str, centre: float, style: Style
) -> None:
    """Draw the count of one part's line under the staff; each syllable is centred under its column's heads."""
    words, stacking = style.words.counting, style.stacking
    face = text_face(words.face)
    placed: list[tuple[float, float, str, Source]] = []
    for measure in frame.measures:
        for onset, syllable in measure_count(
            measure.measure, measure.ink.parts[part], style.wordbook.counting
        ):
            width = face.width(syllable, words.size)
            place = measure.ink.parts[part].place
            source = beat_source(place.line, place.column, part_id, measure.measure, onset)
            placed.append((measure.x_at(onset) + centre - width / 2, width, syllable, source))
    if not placed:
        return
    outline = min(canvas.lower.height(x, x + width) for x, width, _, _ in placed)
    y = min(outline - stacking.sign_gap, -stacking.first_sign_gap) - face.ink("1", words.size).top
    for x, width, syllable, source in placed:
        canvas.text(Role.COUNTING, x, y, syllable, face=words.face, size=words.size, source=source)
        canvas.lower.add(x, x + width, y)
