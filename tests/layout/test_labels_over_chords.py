"""Labels keep clear of chord names and grids (house rule)."""

import pytest

from engrave.marks.role import Role
from engrave.score.structure import View
from tests.layout.placed_marks import STYLE, boxes, place_text


@pytest.mark.parametrize("view", [View.STAFF_AND_TAB, View.RHYTHM_TAB, View.TAB])
@pytest.mark.parametrize("shapes", ["", "shapes: auto\n"])
@pytest.mark.parametrize("chord", ["G", "F#m7b5", "Bb"])
def test_a_label_keeps_its_white_over_a_chord(view, shapes, chord):
    marks = place_text(
        f"score: 1\n{shapes}measures:\n  - {{label: Long Bridge, tempo: Slower, chord: {chord}, notes: [1/1: 1:3]}}\n",
        view,
    )
    names = boxes(marks, Role.CHORD_NAME)
    over = boxes(marks, Role.LABEL_BOX, Role.TEMPO)
    top = max(box.top for box in names)
    assert min(box.bottom for box in over) - top >= STYLE.stacking.head_gap - STYLE.words.label_line
