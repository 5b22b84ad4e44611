"""Lines of slides on a staff keep clear of what stands before the note that is reached (common practice, no source)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.marks.role import Role
from tests.layout.placed_marks import boxes, place_text


def placed(events):
    return place_text(f"score: 1\ntime: 2/4\nview: staff\nmeasures:\n  - notes: [{events}]\n")


@given(st.integers(1, 12), st.integers(1, 12), st.sampled_from(["slide", "slurred-slide"]))
def test_a_slide_touches_no_accidental_and_no_head(first, second, word):
    marks = placed(f"1/4: 3:{first} 3:{second} {word}")
    (line,) = boxes(marks, Role.SLIDE)
    for other in boxes(marks, Role.ACCIDENTAL, Role.NOTEHEAD):
        assert not line.overlaps(other)
    assert line.right - line.left > 0.5


@pytest.mark.parametrize(("frets", "rises"), [((0, 1), True), ((1, 0), False)])
def test_a_slide_between_heads_of_one_height_leans_as_the_frets_do(frets, rises):
    first, second = frets
    marks = placed(f"1/4: 3:{first} 3:{second} slide")
    (line,) = [mark for mark, _ in marks if mark.role is Role.SLIDE]
    assert (line.y2 > line.y1) is rises


def test_a_slide_with_nothing_before_it_on_its_string_is_not_drawn():
    assert not boxes(placed("1/4: 4:2 3:5 slide"), Role.SLIDE)


def test_there_is_room_for_the_line_however_short_the_notes():
    marks = placed("1/64: 3:2 3:4 slide 3:5 3:7 slide, 1/16: rest, 1/8: rest, 1/4: rest")
    for line in boxes(marks, Role.SLIDE):
        assert not [1 for head in boxes(marks, Role.NOTEHEAD) if line.overlaps(head)]
