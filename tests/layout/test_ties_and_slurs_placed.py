"""Ties keep clear of flags; slurs of one chain stand on one side (common practice, no source)."""

import pytest

from engrave.marks.role import Role
from tests.layout.placed_marks import STYLE, boxes, place_text


def placed(notes, time="2/4", bass=""):
    lower = f"\n    lower: {bass}" if bass else ""
    return place_text(f"score: 1\ntime: {time}\nmeasures:\n  - notes: {notes}{lower}\n")


@pytest.mark.parametrize(
    ("notes", "bass"),
    [
        ("[1/8: [rest, {1: 0}], 1/4: tie]", "[1/2: {5: 3}]"),
        ("[1/8: [rest, {1: 0, 5: 3}], 1/4: tie]", ""),
        ("[1/8.: rest, 1/16: {1: 3}, 1/4: tie]", "[1/8: [{5: 3}, {5: 2}], 1/4: {5: 0}]"),
        ("[1/8: [rest, {1: 0, 2: 1}], 1/4: tie]", "[1/2: {5: 3}]"),
    ],
)
def test_a_tie_above_starts_clear_of_its_own_flag(notes, bass):
    marks = placed(notes, bass=bass)
    ties, flags = boxes(marks, Role.TIE), boxes(marks, Role.FLAG)
    assert flags
    assert not [tie for tie in ties for flag in flags if tie.overlaps(flag)]
    assert min(tie.right - tie.left for tie in ties) >= STYLE.notes.tie_shortest


def test_a_tie_below_still_starts_at_its_head_under_the_flag():
    marks = placed("[1/8: [rest, {3: 2}], 1/4: tie]")
    (tie,), (flag,) = boxes(marks, Role.TIE), boxes(marks, Role.FLAG)
    assert tie.left < flag.right
    assert tie.top < flag.bottom


@pytest.mark.parametrize(
    "notes",
    [
        "[1/8: [{1: 0, 6: 3}, {1: 1 hammer-on}], 1/4: {1: 0 pull-off}]",
        "[1/8: [{3: 0}, {3: 4 hammer-on}], 1/4: {3: 0 pull-off}]",
        "[1/8: [{3: 4}, {3: 2 pull-off}], 1/4: {3: 0 pull-off}]",
        "[1/8: [{3: 2}, {3: 4 hammer-on}], 1/4: {3: 5 slurred-slide}]",
    ],
)
def test_slurs_of_one_chain_stand_on_one_side(notes):
    first, second = (mark for mark, _ in placed(notes) if mark.role is Role.SLUR)
    bends = [mark.outer[1][1] - mark.outer[0][1] for mark in (first, second)]
    assert bends[0] * bends[1] > 0


def test_a_slur_on_the_side_of_a_stem_starts_beyond_it():
    marks = placed("[1/8: [{1: 0, 6: 3}, {1: 1 hammer-on}], 1/4: {1: 0 pull-off}]")
    _, second = boxes(marks, Role.SLUR)
    stems = [box for box in boxes(marks, Role.STEM) if box.top > 4 and box.left < second.right]
    assert not [stem for stem in stems if stem.overlaps(second)]


@pytest.mark.parametrize(
    "chord", ["{6: 8, 5: 8, 4: 8}", "{5: 3, 4: 2, 3: 0, 2: 1, 1: 0}", "{4: 0, 3: 2, 2: 3}"]
)
@pytest.mark.parametrize("value", ["1/16", "1/8", "1/4"])
def test_every_note_of_a_tied_chord_has_a_tie_of_its_own(chord, value):
    marks = placed(
        f"[{value}: [{chord}, tie], 1/4: rest]", time={"1/16": "3/8", "1/8": "2/4", "1/4": "3/4"}[value]
    )
    staff = [box for mark, box in marks if mark.role is Role.TIE]
    assert len({(round(box.bottom, 3), round(box.top, 3)) for box in staff}) == len(staff)
    heads = boxes(marks, Role.NOTEHEAD)
    assert len(staff) >= len(heads) // 2
