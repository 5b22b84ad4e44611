"""Pages filled with systems."""

from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.breaking import PageCosts, SystemBox, fill_pages

page_costs = partial(PageCosts, last_foot=0.1, overfull=4.0)
"""The weights of the base style."""
COSTS = page_costs(1000, 800, 0.7)


def fill(heights, first=700, other=760, forced=frozenset(), most=60):
    return fill_pages([SystemBox(h, 10, 25) for h in heights], first, other, most, forced, COSTS)


heights = st.lists(st.floats(40, 300), max_size=30)


@given(heights)
def test_every_system_stands_on_one_page_in_order_and_no_page_overflows(row):
    pages = fill(row)
    assert [i for page in pages for i in range(page.first, page.stop)] == list(range(len(row)))
    for number, page in enumerate(pages):
        used = sum(row[page.first : page.stop]) + sum(page.gaps)
        assert used <= (700 if number == 0 else 760) + 1e-6
        assert all(gap >= 10 - 1e-9 for gap in page.gaps[1:])


def test_full_pages_fill_to_their_foot_and_the_last_stays_ragged():
    pages = fill([120] * 14)
    assert len(pages) == 3
    first = pages[0]
    assert sum([120] * (first.stop - first.first)) + sum(first.gaps) == pytest.approx(700)
    assert pages[-1].gaps[1:] == (25,) * (len(pages[-1].gaps) - 1)


def test_forced_pages():
    assert [page.stop for page in fill([100] * 4, forced=frozenset({1}))] == [1, 4]


def test_a_lone_system_on_the_last_page_is_avoided():
    pages = fill([130] * 11)
    assert pages[-1].stop - pages[-1].first > 1


def test_a_system_taller_than_the_page_stands_alone():
    assert len(fill([100, 900, 100])) == 3


def test_the_last_system_stands_alone_rather_than_that_a_page_before_it_ends_half_empty():
    """No page with one system except the last (common practice, no source)."""
    assert [page.stop for page in fill([190] * 4)] == [3, 4]


def test_pages_that_do_not_reach_their_foot_have_the_gaps_of_those_that_do():
    first, second, last = fill([200, 200, 200, 340, 340, 340], first=650)
    assert first.gaps[1:] == pytest.approx((25, 25))
    assert sum(second.gaps) + 680 == pytest.approx(705)  # 760 would need a gap of 80, and 60 is the most
    assert last.gaps == (0.0,)
    stretched = fill([200] * 8, other=700)
    assert [page.gaps[1] for page in stretched] == pytest.approx([50, 50, 50])


def test_without_any_filled_page_the_gaps_are_ideal():
    assert fill([200, 200])[0].gaps == (0.0, 25)


def test_white_that_does_not_grow_stays_when_a_page_is_filled():
    boxes = [SystemBox(100, 0, 0, keeps_next=True), SystemBox(120, 10, 20, grows=False)] + [
        SystemBox(120, 10, 25)
    ] * 3
    page = fill_pages(boxes, 720, 720, 60, frozenset(), COSTS)[0]
    assert page.gaps == pytest.approx((0, 20, 40, 40, 40))


def test_little_on_the_last_page_moves_the_break_up_unless_all_fits_one_page():
    rows = [SystemBox(60, 10, 20)] * 10
    shared = page_costs(1000, 0, 0.7, sparse_last=250, sparse_fill=0.25)
    assert [page.stop for page in fill_pages(rows, 680, 760, 60, frozenset(), page_costs(1000, 0, 0.7))] == [
        8,
        10,
    ]
    assert [page.stop for page in fill_pages(rows, 680, 760, 60, frozenset(), shared)] == [7, 10]
    assert [page.stop for page in fill_pages(rows, 700, 760, 60, frozenset(), shared)] == [10]


def test_a_lone_last_system_takes_one_along_where_the_page_before_keeps_two_thirds():
    """Two and two rather than three and one (house rule); never where that leaves a page half empty."""
    boxes = [SystemBox(80, 0, 0, keeps_next=True), SystemBox(180, 10, 20, grows=False)] + [
        SystemBox(160, 10, 35)
    ] * 3
    lone = page_costs(1000, 800, 0.7, sparse_last=250, sparse_fill=0.25, lone_last=400)
    assert [page.stop for page in fill_pages(boxes, 750, 750, 80, frozenset(), lone)] == [3, 5]
    assert [
        page.stop for page in fill_pages([SystemBox(190, 10, 25)] * 4, 700, 760, 60, frozenset(), lone)
    ] == [3, 4]


def test_the_less_stands_on_the_last_page_the_more_it_costs():
    """Rows that nearly fill a quarter of the last page leave the page before full (house rule)."""
    shared = page_costs(1000, 0, 0.7, sparse_last=300, sparse_fill=0.25)
    music = [SystemBox(65, 0, 0, keeps_next=True), SystemBox(100, 10, 20, grows=False), SystemBox(73, 10, 22)]
    boxes = [*music, *(SystemBox(height, 5, 8) for height in (53, 53, 46, 47, 47, 52, 52, 50, 51, 46))]
    first, last = fill_pages(boxes, 757, 747, 55, frozenset(), shared)
    assert last.stop - last.first == 3
    assert sum(box.height for box in boxes[: first.stop]) + sum(first.gaps) == pytest.approx(757)
