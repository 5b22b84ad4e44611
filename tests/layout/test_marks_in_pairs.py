"""Every pair of marks on one note: order, side and distance as the style's table of signs says, and nothing touches.

Common practice, no source; what each kind's place is stands in styles/base.yaml.
"""

import gc
from itertools import permutations

import pytest

from engrave.layout.direction import Direction
from engrave.layout.document import place_score
from engrave.layout.systems.stacked_signs import decide_free_space
from engrave.marks.role import Role
from engrave.score.structure import View
from tests.layout.mark_pairs import NAMES, STYLE, Note, PairReader
from tests.reading.helpers import read

STEM_UP, STEM_DOWN, LOWER = Note(4, 5, 4), Note(2, 7, 8), Note(4, 5, 4, lower=True)
HIGH_STRING = Note(1, 7, 8)


@pytest.fixture
def without_collector():
    """Placing makes trees, which counts free; the program pauses the cyclic collector too."""
    gc.disable()
    yield
    gc.enable()


@pytest.mark.usefixtures("without_collector")
@pytest.mark.parametrize(
    ("view", "note"),
    [
        (View.STAFF, STEM_UP),
        (View.STAFF, STEM_DOWN),
        (View.STAFF, LOWER),
        (View.STAFF_AND_TAB, STEM_UP),
        (View.RHYTHM_TAB, STEM_UP),
        (View.RHYTHM_TAB, HIGH_STRING),
        (View.RHYTHM_TAB, LOWER),
        (View.TAB, STEM_UP),
        (View.TAB, LOWER),
    ],
)
def test_any_two_marks_on_a_note_stand_in_order_and_touch_nothing(view, note):
    count, faults = PairReader(note, view).faults()
    assert count > 1500
    assert faults == []


def test_the_pairs_are_made_of_all_marks_that_have_ink():
    drawn_otherwise = {"ghost", "dead", "slur", "harmonic-ring", "count", "lyric"}
    assert set(NAMES) == set(STYLE.signs) - drawn_otherwise


@pytest.mark.parametrize("position", range(-3, 12))
@pytest.mark.parametrize("direction", Direction)
def test_a_dot_in_the_staff_stands_a_space_or_a_space_and_a_half_from_its_head(position, direction):
    head = position / 2
    space = decide_free_space(head + direction * 0.5, direction, 4.0)
    if space is None:
        assert not 0.0 < head + direction * (1.5 if position % 2 == 0 else 1.0) < 4.0
    else:
        assert 0.0 < space < 4.0
        assert space % 1.0 == 0.5
        if 0.0 <= head <= 4.0:
            assert direction * (space - head) == (1.5 if position % 2 == 0 else 1.0)


def test_a_space_that_is_taken_is_passed_over():
    assert decide_free_space(1.5, Direction.UP, 4.0) == 2.5
    assert decide_free_space(1.5, Direction.UP, 4.0, {2.5}) == 3.5
    assert decide_free_space(1.5, Direction.UP, 4.0, {2.5, 3.5}) is None


HEIGHTS = {
    "accent": Role.ARTICULATION,
    "finger": Role.FINGER,
    "tuplet": Role.TUPLET_NUMBER,
    "fermata": Role.FERMATA,
}


@pytest.mark.parametrize("orders", list(permutations(HEIGHTS)))
@pytest.mark.parametrize("view", [View.STAFF, View.RHYTHM_TAB])
def test_no_order_is_hidden_in_code(view, orders):
    """Whatever order a style gives to marks on one side of a note, they stand in it."""
    changed = {
        name: STYLE.signs[name]._replace(order=3.0 + number, side="above")
        for number, name in enumerate(orders)
    }
    style = STYLE._replace(signs={**STYLE.signs, **changed})
    carrier = "{4: 2 accent finger 2 fermata}"
    text = f"score: 1\nmeasures:\n  - notes: [3 in 2 of 1/8: [4:2, {carrier}, 4:2], 1/2.: rest]\n"
    placed = [mark for group in place_score(read(text), style, view).pages[0].groups for mark in group.marks]
    feet = [next(mark.y for mark in placed if mark.role is HEIGHTS[name]) for name in orders]
    assert feet == sorted(feet)
