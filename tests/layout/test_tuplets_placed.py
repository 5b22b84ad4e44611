"""Tuplets on the page. Brackets on each level of tuplets in tuplets, the outer one further out: common practice, no source."""

import pytest

from engrave.marks.role import Role
from tests.layout.placed_marks import boxes, place_text

THREE_IN_THREE = (
    "3 in 2 of 1/8: [{1/8: {4: 0}}, {3 in 2 of 1/16: [{1/16: [{4: 2}, {4: 3}, {3: 0}]}]}, {1/8: {3: 2}}]"
)
THREE_IN_FIVE = "5 in 4 of 1/8: [{1/8: [{4: 0}, {4: 2}]}, {3 in 2 of 1/8: [{1/8: [{3: 0}, {3: 2}, {2: 0}]}]}, {1/8: {2: 1}}]"
ONE_NOTE_IN_NINE = "9 in 4 of 1/16: [{1/8: [{2: 3}, {2: 1}, {2: 0}]}, {2 in 3 of 1/16: [{1/8: {3: 2}}]}]"


def placed(notes, time):
    return place_text(f"score: 1\ntime: {time}\nmeasures:\n  - notes: [{notes}]\n")


@pytest.mark.parametrize(("notes", "time"), [(THREE_IN_THREE, "1/4"), (THREE_IN_FIVE, "2/4")])
def test_tuplets_in_tuplets_have_a_bracket_on_each_level_the_outer_one_further_out(notes, time):
    marks = placed(notes, time)
    strokes, (inner, outer) = boxes(marks, Role.TUPLET_BRACKET), boxes(marks, Role.TUPLET_NUMBER)
    assert len(strokes) == 8
    assert outer.bottom >= inner.top
    assert min(box.bottom for box in strokes[4:6]) > max(box.top for box in strokes[:4])
    assert strokes[4].left < strokes[0].left
    assert strokes[5].right > strokes[1].right


def test_the_number_over_a_single_note_of_a_tuplet_has_no_hooks():
    marks = placed(ONE_NOTE_IN_NINE, "1/4")
    strokes, (inner, outer) = boxes(marks, Role.TUPLET_BRACKET), boxes(marks, Role.TUPLET_NUMBER)
    assert len(strokes) == 4
    assert not any(stroke.overlaps(number) for stroke in strokes for number in (inner, outer))
    assert abs(outer.bottom - 2) > abs(inner.bottom - 2)


def test_a_tuplet_under_its_own_beam_has_a_number_alone():
    marks = placed("3 in 2 of 1/8: [{4: 0}, {4: 2}, {4: 3}]", "1/4")
    assert len(boxes(marks, Role.TUPLET_NUMBER)) == 1
    assert boxes(marks, Role.TUPLET_BRACKET) == []
