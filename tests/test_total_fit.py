"""The search for lines against exhaustive search; the printed example of ragged text (programming exercise, 2017)."""

import random
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.breaking import break_optimally


def all_partitions(count):
    for size in range(count):
        for cuts in combinations(range(1, count), size):
            yield [*cuts, count]


def exhaustive(count, cost, forced, longest):
    best = None
    for stops in all_partitions(count):
        lines = list(zip([0, *stops[:-1]], stops, strict=True))
        if not forced <= set(stops) or any(stop - start > longest for start, stop in lines):
            continue
        prices = [cost(*line) for line in lines]
        if None in prices:
            continue
        total = sum(prices)
        if best is None or total < best:
            best = total
    return best


@settings(max_examples=80, deadline=None)
@given(st.integers(1, 9), st.integers(0, 10**6), st.integers(2, 9), st.sets(st.integers(1, 8), max_size=2))
def test_it_finds_the_true_minimum(count, seed, longest, forced):
    rng = random.Random(seed)
    prices = {
        (i, j): (None if rng.random() < 0.25 and j - i > 1 else rng.random() * 100)
        for i in range(count)
        for j in range(i + 1, count + 1)
    }
    forced = frozenset(f for f in forced if f < count)
    stops, total = break_optimally(count, lambda i, j: prices[i, j], forced, longest)
    assert stops[-1] == count
    assert forced <= set(stops)
    assert total == pytest.approx(exhaustive(count, lambda i, j: prices[i, j], forced, longest))


def test_the_printed_example_of_ragged_text():
    words, width = ["aaa", "bb", "cc", "ddddd"], 6

    def cost(i, j):
        used = sum(map(len, words[i:j])) + (j - i - 1)
        return None if used > width else (width - used) ** 2

    assert break_optimally(4, cost, frozenset(), 4) == ([1, 3, 4], 11)


def test_an_item_that_fits_nowhere_still_gets_a_line():
    stops, _ = break_optimally(3, lambda i, j: None if i <= 1 < j else 1.0, frozenset(), 3)
    assert stops == [1, 2, 3]


def test_the_cost_is_asked_for_a_linear_number_of_times():
    calls = {}
    for count in (100, 200, 400):
        number = 0

        def cost(i, j):
            nonlocal number
            number += 1
            return (j - i - 4) ** 2

        break_optimally(count, cost, frozenset(), 12)
        calls[count] = number
    assert calls[200] < 2.1 * calls[100]
    assert calls[400] < 2.1 * calls[200]


def test_nothing_to_break():
    assert break_optimally(0, lambda i, j: 1.0, frozenset(), 5) == ([], 0.0)
