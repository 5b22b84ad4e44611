"""Changes of clef on the page (Gould, Behind Bars, from memory, where no other source is named)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.clefs import clefs_of_part
from engrave.marks.role import Role
from engrave.score.excerpt import excerpt
from engrave.theory.clef import Clef, staff_position
from tests.layout.placed_marks import boxes, place_text
from tests.reading.helpers import read

PLAIN = [Clef.TREBLE, Clef.ALTO, Clef.TENOR, Clef.BASS]


def voice(*measures, head=""):
    return f"score: 1\ninstrument: voice\n{head}measures:\n" + "".join(f"  - {{{m}}}\n" for m in measures)


def lefts(marks, role):
    return [box.left for mark, box in marks if mark.role is role]


def test_a_clef_that_holds_from_a_measure_on_stands_small_before_its_barline():  # size: SMuFL
    marks = place_text(voice("notes: [1/1: G4]", "clef: bass, notes: [1/1: G3]"))
    full, small = [mark for mark, _ in marks if mark.role is Role.CLEF]
    assert small.size < 0.7 * full.size
    _, clef = boxes(marks, Role.CLEF)
    first, *_ = sorted(boxes(marks, Role.BARLINE), key=lambda box: box.left)
    heads = boxes(marks, Role.NOTEHEAD)
    assert heads[0].right < clef.left
    assert clef.right < first.left


def test_a_clef_inside_a_measure_stands_between_the_notes():
    marks = place_text(voice("clef: {3: alto}, notes: [1/2: G4 C#4]"))
    clef = boxes(marks, Role.CLEF)[1]
    (sharp,) = boxes(marks, Role.ACCIDENTAL)
    assert boxes(marks, Role.NOTEHEAD)[0].right < clef.left
    assert clef.right < sharp.left


def test_a_new_line_starts_with_the_clef_that_the_line_before_has_announced():
    marks = place_text(voice("notes: [1/1: G4]", "new: line, clef: bass, notes: [1/1: G3]"))
    clefs = [(mark.name, mark.size) for mark, _ in marks if mark.role is Role.CLEF]
    assert [name for name, _ in clefs] == ["gClef", "fClef", "fClef"]
    assert clefs[0][1] == clefs[2][1] > clefs[1][1]


def test_a_clef_that_holds_already_is_not_repeated():
    marks = place_text(voice("clef: bass, notes: [1/1: G3]", "clef: {1: bass, 3: bass}, notes: [1/2: G3 G3]"))
    assert len(boxes(marks, Role.CLEF)) == 1


@given(
    st.lists(
        st.tuples(st.sampled_from(PLAIN), st.sampled_from(["C4", "F#4", "E3", "Bb3"])), min_size=1, max_size=6
    )
)
def test_heads_stand_where_the_clef_before_them_says(row):
    marks = place_text(voice(*(f"clef: {clef.value}, notes: [1/1: {pitch}]" for clef, pitch in row)))
    heads = [mark for mark, _ in marks if mark.role is Role.NOTEHEAD]
    for head, (clef, pitch) in zip(heads, row, strict=True):
        (note,) = read(voice(f"notes: [1/1: {pitch}]")).parts[0].measures[0].voices[0].events[0].notes
        assert head.y == staff_position(note.pitch, clef) / 2


@given(st.lists(st.sampled_from(PLAIN), min_size=2, max_size=6), st.integers(1, 5))
def test_an_excerpt_starts_in_the_clef_that_holds(row, first):
    score = read(voice(*(f"clef: {{3: {clef.value}}}, notes: [1/2: C4 C4]" for clef in row)))
    first = min(first, len(row) - 1)
    (part,) = excerpt(score, first, len(row)).parts
    assert clefs_of_part(part, [], 4, 20).at_start(0) is row[first - 1]


@pytest.mark.parametrize("clef", ["alto", "tenor", "treble"])
def test_no_clef_touches_a_head_an_accidental_or_a_barline(clef):
    notes = "1/16: C#4 D#4 C4 D4 C#4 D#4 C4 D4"
    marks = place_text(
        voice(
            f"notes: [{notes}]",
            f"clef: {{1: {clef}, 1.75: bass, 2.5: {clef}}}, notes: [{notes}]",
            "clef: bass, notes: rest",
            head="time: 2/4\n",
        )
    )
    others = boxes(marks, Role.NOTEHEAD, Role.ACCIDENTAL, Role.BARLINE, Role.TIME_SIGNATURE)
    clefs = boxes(marks, Role.CLEF)
    assert len(clefs) == (4 if clef == "treble" else 5)
    assert not [1 for small in clefs for other in others if small.overlaps(other)]
