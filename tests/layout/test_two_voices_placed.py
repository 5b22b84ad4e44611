"""What two voices on one staff leave each other (common practice, no source)."""

import pytest

from engrave.marks.role import Role
from tests.layout.placed_marks import STYLE, boxes, place_text


def placed(upper, lower, time="4/4"):
    return place_text(
        f"score: 1\ninstrument: voice\ntime: {time}\nmeasures:\n  - notes: [{upper}]\n    lower: [{lower}]\n"
    )


@pytest.mark.parametrize("second", ["A5+B5", "E5+F5", "B5+C6"])
def test_a_dot_stands_beside_its_own_head_under_a_second_of_the_other_voice(second):
    marks = placed(f"1/4: {second}, 1/2: D6", "1/2.: E4", "3/4")
    (dot,) = boxes(marks, Role.DOT)
    head = min(boxes(marks, Role.NOTEHEAD), key=lambda box: box.bottom)
    assert dot.left - head.right == pytest.approx(STYLE.notes.dot_gap, abs=0.01)


@pytest.mark.parametrize("lower", ["A4", "B4", "C5", "D5", "A4+B4"])
@pytest.mark.parametrize("upper", ["C5", "D5", "C5+D5", "B4+C5"])
def test_no_dot_touches_a_head_of_either_voice(upper, lower):
    marks = placed(f"1/2.: {upper}", f"1/2.: {lower}", "3/4")
    heads = boxes(marks, Role.NOTEHEAD)
    assert not [1 for dot in boxes(marks, Role.DOT) for head in heads if dot.overlaps(head)]


@pytest.mark.parametrize(("one", "two"), [("G4", "G#4"), ("Bb4", "B4"), ("C#5", "Cb5")])
def test_both_notes_of_an_augmented_unison_have_their_accidental(one, two):
    for marks in (
        place_text(f"score: 1\ninstrument: voice\nmeasures:\n  - notes: [1/1: {one}+{two}]\n"),
        placed(f"1/1: {one}", f"1/1: {two}"),
    ):
        first, second = boxes(marks, Role.ACCIDENTAL)
        assert not first.overlaps(second)
        assert len(boxes(marks, Role.NOTEHEAD)) == 2


def test_the_note_after_an_augmented_unison_says_what_it_is():
    for after in ("G4", "G#4"):
        text = f"score: 1\ninstrument: voice\nmeasures:\n  - notes: [1/2: G4+G#4 {after}]\n"
        assert len(boxes(place_text(text), Role.ACCIDENTAL)) == 3


def test_a_rest_stays_by_the_staff_where_the_other_voice_only_holds_its_note():
    for upper in ("A3", "A4"):
        rests = boxes(placed(f"1/1: {upper}", "1/4: C4 rest, 1/2: rest"), Role.REST)
        assert min(box.bottom for box in rests) > -2.0


@pytest.mark.parametrize("lower", ["1/8: G3 A3 B3 C4", "1/4: G3 A3", "1/16: G3 A3 B3 C4 D4 E4 F4 G4"])
def test_grace_notes_after_a_note_stand_between_the_last_note_under_it_and_the_next(lower):
    marks = placed("1/2: D5, closing-grace 1/16: E5 D5, 1/2: C5", f"{lower}, 1/2: C4")
    heads = sorted(boxes(marks, Role.NOTEHEAD), key=lambda box: box.left)
    sizes = [round(box.right - box.left, 2) for box in heads]
    small = [index for index, size in enumerate(sizes) if size < 1.0]
    assert small == [len(heads) - 4, len(heads) - 3]
