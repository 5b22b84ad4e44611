"""What hangs to the left of a line's first note has room beside the clef (common practice, no source)."""

import pytest

from engrave.marks.role import Role
from engrave.score.structure import View
from tests.layout.placed_marks import STYLE, boxes, place_text

HEAD = "score: 1\ntime: 4/4\n"


def place(first, second, head=HEAD, view=View.STAFF):
    return place_text(f"{head}measures:\n  - {first}\n  - new: line\n    {second}\n", view)


def clef_edge(marks):
    return boxes(marks, Role.CLEF)[-1].right


def in_second_line(marks, role):
    """The boxes of `role` from the second clef on."""
    start = max(i for i, (mark, _) in enumerate(marks) if mark.role is Role.CLEF)
    return boxes(marks[start:], role)


@pytest.mark.parametrize("view", [View.STAFF, View.TAB])
def test_an_arriving_half_tie_is_long_and_clear_of_the_clef(view):
    marks = place("notes: [1/1: 3:2]", "notes: [1/2: tie, 1/2: 2:3]", view=view)
    tie = in_second_line(marks, Role.TIE)[0]
    assert tie.left >= clef_edge(marks) + STYLE.notes.half_tie_gap - 1e-6
    assert tie.right - tie.left >= STYLE.notes.tie_shortest - 1e-6


def test_an_arriving_half_tie_is_clear_of_a_sharp_beside_it():
    marks = place("notes: [1/1: 2:3]", "notes: [1/1: tie]\n    lower: [1/1: 3:1]")
    tie = in_second_line(marks, Role.TIE)[0]
    assert tie.left >= clef_edge(marks) + STYLE.notes.half_tie_gap - 1e-6
    assert not any(tie.overlaps(sharp) for sharp in in_second_line(marks, Role.ACCIDENTAL))


@pytest.mark.parametrize(("mark", "role"), [("slide", Role.SLIDE), ("hammer-on", Role.SLUR)])
def test_the_half_of_a_technique_starts_right_of_the_clef(mark, role):
    marks = place("notes: [1/1: 2:3]", f"notes: [1/1: 2:5 {mark}]")
    half = in_second_line(marks, role)[0]
    assert half.left >= clef_edge(marks) + STYLE.notes.half_tie_gap - 1e-6
    assert half.right - half.left > 1.0


def test_the_half_of_a_slur_starts_right_of_the_clef():
    marks = place("notes: [1/2: 2:1, 1/2: 2:3 slur]", "notes: [1/1: 2:5 end-slur]")
    assert in_second_line(marks, Role.SLUR)[0].left >= clef_edge(marks) + STYLE.notes.half_tie_gap - 1e-6


def test_a_long_first_syllable_does_not_move_the_words_down():
    def drop(words):
        marks = place("{lyrics: a, notes: [1/1: 2:1]}", f"lyrics: {words}\n    notes: [1/1: 2:1]")
        return in_second_line(marks, Role.LYRIC)[0].bottom

    assert drop("nnnnnnnnnn") == pytest.approx(drop("n"))


def test_a_long_first_syllable_stands_right_of_the_clef():
    marks = place("{lyrics: a, notes: [1/1: 2:1]}", "lyrics: through\n    notes: [1/1: 2:1]")
    assert in_second_line(marks, Role.LYRIC)[0].left > clef_edge(marks)


def test_the_number_of_a_verse_stands_right_of_the_clef():
    head = HEAD + "key: C major\n"
    marks = place("notes: [1/1: 2:1]", "lyrics: [through, streams]\n    notes: [1/1: 2:1]", head)
    numbers = in_second_line(marks, Role.VERSE_NUMBER)
    assert len(numbers) == 2
    assert min(number.left for number in numbers) > clef_edge(marks)


def test_a_grid_stands_beside_the_clef_not_over_it():
    marks = place(
        "notes: [1/1: 2:1]",
        "chord: {1: C}\n    notes: [1/1: 2:1]",
        HEAD + "grids: above\nshapes: {C: x32010}\n",
    )
    assert min(box.left for box in in_second_line(marks, Role.GRID_LINE)) > clef_edge(marks)


def test_a_plain_line_starts_as_near_as_ever():
    marks = place("notes: [1/1: 2:1]", "notes: [1/1: 2:1]")
    assert in_second_line(marks, Role.NOTEHEAD)[0].left == pytest.approx(
        clef_edge(marks) + STYLE.spacing.clef_to_note
    )
