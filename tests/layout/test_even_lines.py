"""Lines are alike, and space follows duration first (common practice, no source; the figures are house rules)."""

from statistics import pvariance

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.springs import decide_even_rods, decide_even_widths, decide_widths
from tests.layout.test_line_breaks import BARS, breaker_of, prepare

SLICES = st.lists(
    st.tuples(st.sampled_from([1.6, 2.5, 3.5, 5.0]), st.floats(0.5, 6)), min_size=1, max_size=10
)


def test_ink_within_its_natural_space_asks_for_nothing():
    assert decide_even_rods([2.5, 2.5, 3.5], [2.4, 1.0, 3.0], 0.85, 2.0) == (2.4, 1.0, 3.0)


def test_an_eighth_held_open_by_ink_takes_its_equals_and_the_quarters_along():
    even = decide_even_rods([2.5, 2.5, 3.5, 3.5], [4.0, 1.0, 1.0, 1.0], 0.85, 2.0)
    assert even == pytest.approx((4.0, 3.4, 4.0, 1.0))


def test_nothing_is_raised_beyond_its_limit():
    assert decide_even_rods([2.0, 2.0, 2.0], [9.0, 1.0, 1.0], 1.0, 2.0) == (9.0, 4.0, 1.0)


@given(SLICES)
def test_even_rods_never_turn_values_round(slices):
    natural, rods = [n for n, _ in slices], [r for _, r in slices]
    even = decide_even_rods(natural, rods, 0.85, 99.0)
    inner = range(len(rods) - 1)
    assert all(e >= r for e, r in zip(even, rods, strict=True))
    assert even[-1] == rods[-1]
    widths = [max(e, n) for e, n in zip(even, natural, strict=True)]
    assert all(widths[j] >= widths[i] - 1e-9 for i in inner for j in inner if natural[j] > natural[i])


@given(SLICES, st.floats(0, 60))
def test_even_widths_fill_the_line_and_keep_every_rod(slices, more):
    natural, rods = [n for n, _ in slices], [r for _, r in slices]
    even = list(decide_even_rods(natural, rods, 0.85, 2.0))
    target = sum(rods) + more
    force, widths = decide_even_widths(natural, rods, even, target, 0.85)
    assert sum(widths) == pytest.approx(target)
    assert all(width >= rod - 1e-9 for width, rod in zip(widths, rods, strict=True))
    assert force >= 0.85 or (force, widths) == decide_widths(natural, rods, target)


@given(SLICES)
def test_a_line_with_room_is_as_even_as_it_can_be(slices):
    natural, rods = [n for n, _ in slices], [r for _, r in slices]
    even = list(decide_even_rods(natural, rods, 0.85, 2.0))
    target = sum(max(e, n) for e, n in zip(even, natural, strict=True)) + 1.0
    force, widths = decide_even_widths(natural, rods, even, target, 0.85)
    assert force >= 1.0
    assert all(width >= e - 1e-9 for width, e in zip(widths, even, strict=True))


@pytest.mark.parametrize("count", [8, 12, 16, 24])
def test_equal_measures_stand_in_lines_of_equal_length(count):
    breaker, _ = breaker_of(f"  - notes: {BARS[3]}\n" * count)
    assert {stop - first for first, stop in breaker.decide_lines(0.62, 0.95)} == {4}


@given(st.lists(st.sampled_from(BARS), min_size=4, max_size=24))
def test_of_the_ways_that_were_tried_the_most_even_is_taken(measures):
    breaker, _ = breaker_of("".join(f"  - notes: {measure}\n" for measure in measures))

    def spread(lines):
        return pvariance([breaker.density(*line) for line in lines]) * len(lines)

    def allowed(lines):
        mean = sum(breaker.density(*line) for line in lines) / len(lines)
        crowded = any(breaker.looseness(*line) < 1 for line in lines)
        return 0.7 <= mean <= 0.95 and not crowded and lines[-1][1] - lines[-1][0] > 1

    taken = breaker.decide_lines(0.7, 0.95)
    others = [breaker.break_lines(density) for density in (0.7, 0.75, 0.8, 0.85, 0.9, 0.95)]
    if allowed(taken):
        assert spread(taken) <= min((spread(lines) for lines in others if allowed(lines)), default=9.9) + 0.03


def test_a_piece_of_many_lines_is_searched_once():
    breaker, _ = prepare(120)
    assert breaker.decide_lines(0.8, 0.95) == breaker.break_lines((0.8 + 0.95) / 2)
