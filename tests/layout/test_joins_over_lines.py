"""What joins two notes over a line break is drawn in two halves."""

import pytest

from engrave.layout.document import place_score
from engrave.marks.role import Role
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]


def joined(mark, extra=""):
    text = f"score: 1\nmeasures:\n  - notes: [1/1: {{2: 5}}]\n  - new: line\n    notes: [{extra}1/1: {{2: 7{mark}}}]\n"
    return [m for page in place_score(read(text), STYLE).pages for group in page.groups for m in group.marks]


@pytest.mark.parametrize(
    ("mark", "role"), [(" hammer-on", Role.SLUR), (" slide", Role.SLIDE), (" slurred-slide", Role.SLUR)]
)
def test_bows_and_slides_have_a_half_on_each_line_of_staff_and_tab(mark, role):
    assert len([m for m in joined(mark) if m.role is role]) == 4


def test_the_letter_stands_once_on_the_second_line():
    assert len([m for m in joined(" hammer-on") if m.role is Role.TECHNIQUE_LETTER]) == 1


def test_notes_that_are_not_joined_have_no_halves():
    assert [m for m in joined("") if m.role in (Role.SLUR, Role.SLIDE)] == []


def waves(marks):
    """The x of the waves of each line, line by line."""
    lines = []
    for mark in marks:
        if mark.role is Role.STAFF_LINE and (not lines or lines[-1]):
            lines.append([])
        if mark.role is Role.VIBRATO:
            lines[-1].append(mark.x)
    return lines


def place_lines(first, *others):
    text = f"score: 1\nmeasures:\n  - notes: {first}\n"
    text += "".join(f"  - new: line\n    notes: {notes}\n" for notes in others)
    return [m for page in place_score(read(text), STYLE).pages for group in page.groups for m in group.marks]


def test_a_vibrato_goes_on_over_lines_as_long_as_ties_hold_its_note():
    """Common practice, no source."""
    first, middle, last = waves(place_lines("[1/1: 2:8 vibrato]", "[1/1: tie]", "[1/2: tie, 1/2: 2:3]"))
    assert len(first) == pytest.approx(len(middle), rel=0.1)
    assert 0 < len(last) < len(middle)


@pytest.mark.parametrize("second", ["[1/1: 2:8]", "[1/1: {2: {fret: tie, bend: full}}]", "[1/1: 2:5]"])
def test_a_vibrato_ends_with_its_line_where_no_tie_holds_it_as_it_was(second):
    """House rule."""
    lines = waves(place_lines("[1/1: 2:8 vibrato]", second))
    assert len(lines[0]) > 3
    assert [line for line in lines[1:] if line] == []


def test_the_line_of_a_held_bend_ends_with_the_note_that_a_tie_holds():
    """Common practice, no source."""
    marks = place_lines("[1/2: 2:8 bend full, 1/4: tie, 1/4: 1:3]")
    dashes = [m for m in marks if m.role is Role.BEND_ARROW and getattr(m, "dash", None)]
    digits = [m.x for m in marks if m.role is Role.FRET]
    assert max(m.x2 for m in dashes) == pytest.approx(max(digits), abs=1.0)
    assert max(m.x2 for m in dashes) < max(digits)
