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
