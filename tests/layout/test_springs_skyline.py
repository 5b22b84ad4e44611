"""Springs and rods (Gourlay 1987, from memory; values computed from the square-root-of-two law) and outlines."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.skyline import Skyline, measure_distance
from engrave.layout.springs import apply_long_rods, decide_phi, decide_widths, ideal_space

ROOT = 2**0.5
QUARTER, EIGHTH, HALF = 0.25, 0.125, 0.5
IDEAL = [ideal_space(d, 3.5, ROOT, 1.9) for d in (QUARTER, EIGHTH, EIGHTH, HALF)]


def test_ideal_spaces():
    assert pytest.approx([3.5, 2.475, 2.475, 4.950], abs=5e-4) == IDEAL
    assert sum(IDEAL) == pytest.approx(13.399, abs=1e-3)
    assert ideal_space(1.0, 3.5, ROOT, 1.9) == pytest.approx(7.0)
    assert ideal_space(1 / 64, 3.5, ROOT, 1.9) == 1.9


def test_a_wider_line_stretches_everything_alike():
    force, widths = decide_widths(IDEAL, [0.0] * 4, 20)
    assert force == pytest.approx(1.4926, abs=1e-4)
    assert widths == pytest.approx([n * force for n in IDEAL])


def test_a_rod_holds_while_the_others_shrink():
    force, widths = decide_widths(IDEAL, [0, 3.2, 0, 0], 13.0)
    assert widths == pytest.approx([3.1397, 3.2, 2.2201, 4.4402], abs=5e-5)
    assert force == pytest.approx(0.89706, abs=5e-6)


def test_three_against_two_is_even_in_both_voices():
    onsets = [Fraction(0), Fraction(1, 6), Fraction(1, 4), Fraction(1, 3)]
    third, quarter = Fraction(1, 6), Fraction(1, 4)
    voices = [[(third * i, third) for i in range(3)], [(quarter * i, quarter) for i in range(2)]]
    phi = decide_phi(onsets, voices, Fraction(1, 2))
    ends = [*onsets[1:], Fraction(1, 2)]
    widths = [
        float((e - o) / p) * ideal_space(float(p), 3.5, ROOT, 1.9)
        for o, e, p in zip(onsets, ends, phi, strict=True)
    ]
    s = ideal_space(1 / 6, 3.5, ROOT, 1.9)
    assert widths == pytest.approx([s, s / 2, s / 2, s])


slices = st.lists(st.tuples(st.floats(0.1, 10), st.floats(0, 8)), min_size=1, max_size=20)


@given(slices, st.floats(0.5, 200))
def test_widths_add_up_and_respect_every_rod(parts, target):
    natural, rods = [p[0] for p in parts], [p[1] for p in parts]
    force, widths = decide_widths(natural, rods, target)
    assert all(w >= r - 1e-9 for w, r in zip(widths, rods, strict=True))
    if sum(rods) < target:
        assert sum(widths) == pytest.approx(target)
        assert force > 0
    else:
        assert widths == pytest.approx(rods)


@given(slices, st.floats(1, 100), st.floats(1, 100))
def test_more_room_never_makes_a_slice_narrower(parts, first, second):
    natural, rods = [p[0] for p in parts], [p[1] for p in parts]
    narrow, wide = sorted((first, second))
    a, b = decide_widths(natural, rods, narrow)[1], decide_widths(natural, rods, wide)[1]
    assert all(x <= y + 1e-6 for x, y in zip(a, b, strict=True))


@given(slices.filter(lambda s: len(s) > 2), st.floats(0, 60))
def test_long_rods_are_satisfied(parts, width):
    natural, rods = [p[0] for p in parts], [p[1] for p in parts]
    result = apply_long_rods(natural, rods, [(0, len(parts), width), (1, len(parts), width / 2)])
    assert sum(result) >= width - 1e-6
    assert sum(result[1:]) >= width / 2 - 1e-6
    assert all(w >= r - 1e-9 for w, r in zip(result, rods, strict=True))


boxes = st.lists(st.tuples(st.floats(0, 90), st.floats(0, 8), st.floats(-5, 12)), max_size=30)


@given(boxes, st.floats(0, 90), st.floats(0, 9))
def test_nothing_placed_on_a_skyline_collides(added, left, width):
    skyline = Skyline(True, 4.0, 100.0)
    for x, w, y in added:
        skyline.add(x, x + w, y)
    height = skyline.height(left, left + width)
    assert height >= max([4.0] + [y for x, w, y in added if x < left + width and x + w > left])
    assert height <= max([4.0] + [y for x, w, y in added if x < left + width + 0.5 and x + w > left - 0.5])


@given(boxes, boxes)
def test_staves_at_their_distance_do_not_touch(above, below):
    lower, upper = Skyline(False, 0.0, 100.0), Skyline(True, 4.0, 100.0)
    for x, w, y in above:
        lower.add(x, x + w, y)
    for x, w, y in below:
        upper.add(x, x + w, y)
    distance = measure_distance(lower, upper)
    for x, w, y in above:
        for x2, w2, y2 in below:
            if x < x2 + w2 and x2 < x + w:
                assert min(y, 0.0) + distance >= y2 - 1e-9
