"""Syllables lean off their notes before spacing widens (common practice, no source; the limits are a house rule)."""

from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.measures.lanes import LaneItem, chain_rods, neighbour_rods
from engrave.layout.measures.words import decide_lean
from engrave.layout.springs import apply_long_rods
from engrave.layout.systems.leaning import decide_leaning

FAR = 1000.0


def lefts(*ideals, needs, leans=None, steady=None, stop=FAR):
    count = len(ideals)
    return decide_leaning(ideals, needs, leans or [9.0] * count, steady or [False] * count, stop)


def test_syllables_with_room_stand_under_their_notes():
    assert lefts(0.0, 5.0, 9.0, needs=[4.0, 4.0, 4.0]) == [0.0, 5.0, 9.0]


def test_two_that_are_too_near_share_the_way():
    assert lefts(0.0, 3.0, needs=[4.0, 1.0]) == pytest.approx([-0.5, 3.5])


def test_a_row_that_is_pushed_moves_together():
    assert lefts(0.0, 3.0, 6.0, needs=[4.0, 4.0, 1.0]) == pytest.approx([-1.0, 3.0, 7.0])


def test_the_first_of_a_measure_gives_no_way_to_the_left():
    assert lefts(0.0, 3.0, needs=[4.0, 1.0], steady=[True, False]) == pytest.approx([0.0, 4.0])


def test_the_last_of_a_line_ends_with_it():
    assert lefts(0.0, 8.0, needs=[4.0, 3.0], stop=10.0) == pytest.approx([0.0, 7.0])


@pytest.mark.parametrize(("width", "lean"), [(2.0, 0.5), (4.0, 1.0), (8.0, 1.2)])
def test_a_syllable_leans_a_quarter_of_its_width_and_no_further_than_the_limit(width, lean):
    assert decide_lean(width, 0.25, 1.2) == pytest.approx(lean)


ITEMS = st.lists(
    st.tuples(st.floats(0.2, 4), st.floats(0.2, 4), st.floats(0.1, 1.5), st.floats(0.01, 1.2)),
    min_size=1,
    max_size=8,
)


def lane_of(rows):
    return tuple(
        LaneItem(column, left, right, gap, lean) for column, (left, right, gap, lean) in enumerate(rows)
    )


def rods_of(lane, natural=0.0):
    """All rods of a lane, one column a word; no slice is ever narrower than `natural`."""
    least = [natural] * len(lane)
    for start, _, width in neighbour_rods(lane, (), len(lane), 1.2):
        least[start] = max(least[start], width)
    reach = [0.0, *accumulate(least)]
    return [*neighbour_rods(lane, (), len(lane), 1.2), *chain_rods(lane, (), 1.2, reach)]


@given(ITEMS, st.floats(0, 3), st.floats(0, 4))
def test_measures_as_wide_as_their_rods_hold_their_syllables_within_their_leans(rows, extra, natural):
    """The rods of a lane ask for just enough: syllables keep their white and lean no further than they may."""
    lane = lane_of(rows)
    rods = rods_of(lane, natural)
    widths = apply_long_rods([1.0] * len(lane), [natural] * len(lane), rods)
    xs = [sum(widths[:i]) + extra * i for i in range(len(lane))]
    stop = sum(widths) + extra * len(lane)
    ideals = [x - item.left for x, item in zip(xs, lane, strict=True)]
    needs = [item.left + item.right + item.gap for item in lane[:-1]] + [lane[-1].left + lane[-1].right]
    leans = [item.lean for item in lane]
    found = decide_leaning(ideals, needs, leans, [i == 0 for i in range(len(lane))], stop)
    for left, need, after in zip(found, needs, [*found[1:], stop], strict=True):
        assert left + need <= after + 1e-6
    for index, (left, ideal, lean) in enumerate(zip(found, ideals, leans, strict=True)):
        assert ideal - (lean if index else 0.0) - 1e-6 <= left <= ideal + lean + 1e-6


@given(ITEMS)
def test_leaning_never_asks_for_more_room(rows):
    lane = lane_of(rows)
    straight = tuple(item._replace(lean=0.0) for item in lane)
    zero = [0.0] * len(lane)
    natural = [1.0] * len(lane)
    least = sum(apply_long_rods(natural, zero, rods_of(lane)))
    assert least <= sum(apply_long_rods(natural, zero, rods_of(straight))) + 1e-6


@given(
    st.lists(st.tuples(st.floats(0, 20), st.floats(0.5, 5)), min_size=2, max_size=6),
    st.lists(st.floats(-3, 3), min_size=6, max_size=6),
)
def test_no_other_way_of_keeping_apart_moves_them_less(rows, moves):
    ideals = sorted(x for x, _ in rows)
    needs = [need for _, need in rows]
    found = lefts(*ideals, needs=needs, leans=[500.0] * len(rows))
    other = [left + move for left, move in zip(found, moves, strict=False)]
    if all(a + need <= b for a, need, b in zip(other, needs, other[1:], strict=False)):
        assert sum((a - b) ** 2 for a, b in zip(found, ideals, strict=True)) <= 1e-6 + sum(
            (a - b) ** 2 for a, b in zip(other, ideals, strict=True)
        )
