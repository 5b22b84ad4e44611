"""Stems that strokes of a tremolo cross are long enough for them (common practice, no source)."""

import pytest

from engrave.marks.role import Role
from tests.layout.placed_marks import STYLE, boxes, place_text


@pytest.mark.parametrize("note", ["1:5", "1:12", "6:0", "1:7+2:8+3:7", "5:7+4:6+3:7+2:8"])
@pytest.mark.parametrize("sign", ["tremolo", "tremolo-sixteenths"])
def test_tremolo_strokes_have_white_on_both_sides(note, sign):
    marks = place_text(f"score: 1\nmeasures:\n  - notes: [1/2: {note} {sign}, 1/2: rest]\n")
    (strokes,) = boxes(marks, Role.TREMOLO)
    stem = boxes(marks, Role.STEM)[0]
    heads = boxes(marks, Role.NOTEHEAD)
    white = STYLE.stacking.tremolo_clearance - 0.02  # heads are a little higher than a space
    assert all(head.bottom - strokes.top > white or strokes.bottom - head.top > white for head in heads)
    assert strokes.bottom - stem.bottom > white or stem.top - strokes.top > white


def test_stems_without_tremolo_are_no_longer():
    def stem_of(sign):
        text = f"score: 1\nmeasures:\n  - notes: [1/2: 1:5{sign}, 1/2: rest]\n"
        return boxes(place_text(text), Role.STEM)[0]

    plain, struck = stem_of(""), stem_of(" tremolo")
    assert struck.top - struck.bottom > plain.top - plain.bottom
