"""Pages filled with systems."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.breaking.pages import PageCosts, SystemBox, fill_pages

COSTS = PageCosts(1000, 800, 0.7)


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
