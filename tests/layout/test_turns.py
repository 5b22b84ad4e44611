"""Pages end where the hands are free, when a leaf is turned there and no page is added."""

from functools import partial

import pytest

from engrave.breaking import PageCosts, SystemBox, ease_turns, fill_pages
from engrave.layout.pages.turns import hands_are_free
from engrave.score.seen import seen_in
from engrave.score.structure import View
from tests.reading.helpers import read

page_costs = partial(PageCosts, last_foot=0.1, overfull=4.0)
"""The weights of the base style."""
COSTS = page_costs(1000, 800, 0.7)


def filler(count, height=10.0):
    boxes = [SystemBox(1.0, 0.2, 0.5)] * count
    return lambda breaks: fill_pages(boxes, height, height, 3.0, breaks, COSTS)


def stops(pages):
    return [page.stop for page in pages]


def test_a_turn_moves_back_to_where_the_hands_are_free():
    fill = filler(12)
    usual = fill(set())
    assert len(usual) == 2
    end = usual[0].stop
    free = [index == end - 2 for index in range(12)]
    assert stops(ease_turns(usual, 1, free, set(), fill, look_back=3)) == [end - 1, 12]


def test_a_good_turn_and_a_page_that_is_not_turned_stay_as_they_are():
    fill = filler(12)
    usual = fill(set())
    assert ease_turns(usual, 1, [True] * 12, set(), fill, look_back=3) is usual
    assert ease_turns(usual, 2, [False] * 12, set(), fill, look_back=3) is usual


def test_no_page_is_added_for_the_sake_of_a_turn():
    fill = filler(16)
    usual = fill(set())
    free = [index == usual[0].stop - 3 for index in range(16)]
    assert len(ease_turns(usual, 1, free, set(), fill, look_back=3)) == len(usual)


@pytest.mark.parametrize(
    ("view", "notes", "free"),
    [
        (View.STAFF, "[1/1: C5]", True),
        (View.LEAD_SHEET, "[1/1: C5]", False),
        (View.LEAD_SHEET, "[1/2.: C5, 1/4: rest]", True),
    ],
)
def test_singers_turn_whenever_they_like_and_players_of_lead_sheets_where_they_rest(view, notes, free):
    score = read(f"score: 1\ninstrument: voice\nmeasures: [{{notes: {notes}}}, {{notes: [1/1: C5]}}]\n")
    assert hands_are_free(seen_in(score, view), 0, 1 / 4) is free
