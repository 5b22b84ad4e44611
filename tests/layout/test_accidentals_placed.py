"""Accidentals on the page keep clear of ledger lines, of their own voice and of the other one (common practice, no source)."""

import pytest

from engrave.marks.role import Role
from tests.layout.placed_marks import boxes, place_text


def placed(notes, bass, key="C major"):
    return place_text(
        f"score: 1\ntime: 1/4\nkey: {key}\nmeasures:\n  - notes: [1/4: {notes}]\n    lower: [1/4: {bass}]\n"
    )


@pytest.mark.parametrize("key", ["C major", "F# minor", "Eb major"])
@pytest.mark.parametrize("upper", ["{4: 0}", "{4: 1}", "{4: 2}", "{3: 1}", "{1: 11}", "{1: 12, 2: 11}"])
@pytest.mark.parametrize("lower", ["{6: 1}", "{5: 1}", "{5: 2}", "{5: 4}", "{6: 4, 5: 4}", "{6: 16}"])
def test_no_accidental_touches_a_ledger_line(upper, lower, key):
    marks = placed(upper, lower, key)
    for accidental in boxes(marks, Role.ACCIDENTAL):
        assert not [line for line in boxes(marks, Role.LEDGER_LINE) if line.overlaps(accidental)]


def test_an_accidental_that_meets_no_ledger_line_stands_at_its_head():
    (far,), (near,) = (boxes(placed(upper, "{6: 3}"), Role.ACCIDENTAL) for upper in ("{4: 1}", "{2: 2}"))
    assert near.right > far.right
