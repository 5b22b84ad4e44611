"""Arrows of bends and what stands about them. Rows and whole dashes are common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.fonts.text_face import text_face
from engrave.layout.document import place_score
from engrave.layout.staves import plan_staves
from engrave.layout.systems.canvas import StaffCanvas
from engrave.marks.mark import NO_SOURCE
from engrave.marks.role import Role
from engrave.score.structure import View
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]
VIEWS = pytest.mark.parametrize("view", [View.STAFF_AND_TAB, View.RHYTHM_TAB, View.TAB])
BENDS = (
    "[1/4: [{1: {fret: 8, bend: full}}, {3: {fret: 7, bend: 1/2}}], 1/8.: {2: {fret: 8, bend: '1 1/2'}}, 1/16: {2: 5},"
    " 1/8: {4: {fret: 5, bend: pre full}}, 1/8: {3: {fret: 7, bend: full}}]"
)
HELD = "[1/4: {2: {fret: 8, bend: full}}, 1/4: tie, 1/4: tie, 1/4: {2: {fret: tie, bend: release}}]"


def marks(notes, role, view):
    text = f"score: 1\nmeasures:\n  - notes: {notes}\n"
    placed = [
        mark
        for page in place_score(read(text), STYLE, view).pages
        for group in page.groups
        for mark in group.marks
    ]
    return [mark for mark in placed if mark.role is role]


def tips(notes, view):
    """The tips of arrow heads that point up."""
    heads = [mark.points for mark in marks(notes, Role.BEND_ARROW, view) if hasattr(mark, "points")]
    return [points[2] for points in heads if points[2][1] > points[0][1]]


def amounts_of(notes, view):
    """The amounts of bends from left to right, each with its pieces."""
    rows = []
    for mark in marks(notes, Role.BEND_AMOUNT, view):
        if rows and mark.x == pytest.approx(2 * middle(rows[-1][-1]) - rows[-1][-1].x):
            rows[-1].append(mark)
        else:
            rows.append([mark])
    return rows


def middle(text):
    return text.x + text_face(text.face).width(text.text, text.size) / 2


@VIEWS
def test_the_tips_of_a_line_stand_in_one_row_with_their_amounts_over_them(view):
    found, amounts = tips(BENDS, view), amounts_of(BENDS, view)
    assert ["".join(mark.text for mark in row) for row in amounts] == ["full", "½", "1½", "full", "full"]
    assert len({round(y, 6) for _, y in found}) == 1
    assert len({round(mark.y, 6) for row in amounts for mark in row if mark.text.isascii()}) == 1
    for row, (x, y) in zip(amounts, found, strict=True):
        beside_a_stem = view is View.RHYTHM_TAB and row is amounts[3]  # of the arrow over its digit
        left, right = row[0].x, 2 * middle(row[-1]) - row[-1].x
        assert left > x if beside_a_stem else (left + right) / 2 == pytest.approx(x)
        assert all(mark.y > y for mark in row)


def pre_bend(string, length="1/2"):
    rest = {
        "1/2": "1/2: rest",
        "1/4": "1/2.: rest",
        "1/8": "1/8: rest, 1/2.: rest",
        "1/16": "1/16: rest, 1/8: rest, 1/2.: rest",
    }[length]
    return f"[{length}: {{{string}: {{fret: 15, bend: pre full}}}}, {rest}]"


@VIEWS
@pytest.mark.parametrize("string", range(1, 7))
def test_the_arrow_of_a_string_bent_first_stands_over_the_middle_of_its_digit(view, string):
    notes = pre_bend(string)
    ((x, y),), digit = tips(notes, view), marks(notes, Role.FRET, view)[0]
    (shaft,) = [mark for mark in marks(notes, Role.BEND_ARROW, view) if hasattr(mark, "y2")]
    assert x == pytest.approx(middle(digit))
    above = min(shaft.y1, shaft.y2) - (digit.y + STYLE.staff.fret_height)
    assert 0 < above < 0.2
    assert y - min(shaft.y1, shaft.y2) >= STYLE.stacking.bend_arrow


@pytest.mark.parametrize("string", range(1, 7))
@pytest.mark.parametrize("length", ["1/2", "1/4", "1/8", "1/16"])
def test_the_stem_gives_way_to_an_arrow_over_the_digit_and_halves_stay_shorter(string, length):
    notes = pre_bend(string, length)
    ((_, tip),), stem = tips(notes, View.RHYTHM_TAB), marks(notes, Role.STEM, View.RHYTHM_TAB)[0]
    low, high = sorted((stem.y1, stem.y2))
    assert low - tip >= 0.4
    assert high - low == pytest.approx(1.0 if length == "1/2" else 1.9)


@VIEWS
@pytest.mark.parametrize("notes", ["1/2: rest, 1/2", "1/1"])
def test_an_arrow_with_a_digit_above_stands_at_its_side_on_a_hook(view, notes):
    notes = f"[{notes}: {{2: {{fret: 7, bend: pre full}}, 1: 7}}]"
    ((x, _),), digits = tips(notes, view), marks(notes, Role.FRET, view)
    ends = [mark.x + text_face(mark.face).width(mark.text, mark.size) for mark in digits]
    assert x > max(ends) + 0.5
    (hook,) = [
        mark for mark in marks(notes, Role.BEND_ARROW, view) if hasattr(mark, "y2") and mark.y1 == mark.y2
    ]
    assert hook.x1 < max(ends) + 0.2
    assert hook.x2 == pytest.approx(x, abs=0.1)


def test_amounts_keep_clear_of_the_stems_beside_them():
    stems = [mark.x1 for mark in marks(BENDS, Role.STEM, View.RHYTHM_TAB)]
    for amount in marks(BENDS, Role.BEND_AMOUNT, View.RHYTHM_TAB):
        left, right = amount.x, 2 * middle(amount) - amount.x
        assert all(x <= left - 0.4 or x >= right + 0.2 for x in stems)


def test_the_line_of_a_bend_that_is_held_stops_on_each_side_of_a_stem():
    lines = [mark for mark in marks(HELD, Role.BEND_ARROW, View.RHYTHM_TAB) if hasattr(mark, "dash")]
    stems = marks(HELD, Role.STEM, View.RHYTHM_TAB)
    assert len(lines) == len(stems) - 1
    for line in lines:
        assert all(stem.x1 <= line.x1 - 0.4 or stem.x1 >= line.x2 + 0.4 for stem in stems)


def test_a_bend_that_is_held_over_several_ties_has_one_line():
    assert (
        len([mark for mark in marks(HELD, Role.BEND_ARROW, View.STAFF_AND_TAB) if hasattr(mark, "dash")]) == 1
    )


@given(st.floats(0.6, 60), st.floats(0.2, 2), st.floats(0.2, 2))
def test_a_dashed_line_ends_with_a_whole_dash(length, dash, gap):
    (plan, *_) = plan_staves(read("score: 1\nmeasures: [{notes: [1/1: {1: 0}]}]\n"), None, STYLE.staff)
    canvas = StaffCanvas(plan, 80)
    canvas.dashed_line(Role.SPAN_LINE, 3, 3 + length, 0, 0.1, dash, gap, NO_SOURCE)
    (line,) = canvas.marks
    if line.dash is None:  # one dash
        assert length < 2 * dash + gap
        return
    on, off = line.dash
    assert on / off == pytest.approx(dash / gap)
    assert 0.6 < on / dash < 1.5
    count = (length + off) / (on + off)
    assert count == pytest.approx(round(count), abs=1e-6)
