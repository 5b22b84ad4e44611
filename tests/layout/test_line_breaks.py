"""Lines of real scores: the breaks are the true minimum of the stated cost, and no lone measure is left when it can be helped."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.fonts.symbols import music_face
from engrave.layout.lines.breaks import LineBreaker, frame_lines
from engrave.layout.lines.frames import LineFramer
from engrave.layout.lines.signs import SignPlanner
from engrave.layout.measures.measure_ink import MeasureInkBuilder
from engrave.layout.staves import plan_staves
from engrave.score.joins import resolve_joins
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]
DENSITY = 0.88
BARS = [
    "[1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]",
    "[1/1: {3: 0}]",
    "[1/16: [{3: 0}, {3: 2}, {2: 0}, {2: 1}], 1/2.: {1: 0}]",
    "[1/8: [{3: 0}, {3: 2}, {2: 0}, {2: 1}, {1: 0}, {1: 1}, {1: 3}, {1: 5}]]",
]


SUNG = "  - notes: [1/2: {2: 0}, 1/8: [{2: 0}, {2: 0}], 1/4: {4: 4}]\n    lyrics: {1: wide green fields of}\n"


def prepare(count, extra="", width=107.0):
    return breaker_of(
        "".join(f"  - notes: {BARS[(i * 7) % 4]}\n{extra if i == count // 2 else ''}" for i in range(count)),
        width,
    )


def breaker_of(measures, width=107.0):
    score = read("score: 1\nmeasures:\n" + measures)
    plans = plan_staves(score, None, STYLE.staff)
    face = music_face()
    joins = [resolve_joins(part.measures) for part in score.parts]
    inks = MeasureInkBuilder(score, plans, joins, STYLE, face).build_all()
    framer = LineFramer(inks, SignPlanner(plans, STYLE.spacing, face), 0.44, STYLE)
    return LineBreaker(inks, framer, width, 0.0, STYLE.breaking), framer


@pytest.mark.parametrize("count", [1, 2, 5, 8, 11])
@pytest.mark.parametrize("extra", ["", "    new: line\n", "    barline: double\n"])
def test_breaks_are_the_true_minimum(count, extra):
    breaker, _ = prepare(count, extra)
    lines = breaker.break_lines(DENSITY)
    total = sum(breaker.cost(*line) for line in lines)
    forced = {count // 2} if "new" in extra and count > 1 and count // 2 else set()
    best = None
    for size in range(count):
        for cuts in combinations(range(1, count), size):
            if not forced <= set(cuts):
                continue
            costs = [breaker.cost(a, b) for a, b in zip([0, *cuts], [*cuts, count], strict=True)]
            if None not in costs and (best is None or sum(costs) < best):
                best = sum(costs)
    assert total == pytest.approx(best)


@pytest.mark.parametrize("count", range(5, 30))
def test_no_lone_bar_on_the_last_line(count):
    breaker, _ = prepare(count)
    first, stop = breaker.break_lines(DENSITY)[-1]
    assert stop - first > 1


def test_lines_that_syllables_hold_open_are_as_loose_as_they_look():
    """Their slices hardly shrink, so a great force takes little room: only the width tells (house rule)."""
    breaker, framer = breaker_of(SUNG * 4)
    assert breaker.force(0, 4) > 1.2 * breaker.looseness(0, 4) > 1.2
    ideal = sum(measure.ink.rest for measure in framer.frame(0, 4, 1.0, 0.0, 1.0).measures)
    justified = sum(m.right - m.xs[0] for m in framer.frame(0, 4, 107.0, 0.0, None).measures)
    assert breaker.looseness(0, 4) == pytest.approx(justified / ideal, rel=0.02)


def test_six_sung_measures_stand_in_two_lines_of_three_rather_than_of_four_and_two():
    breaker, _ = breaker_of(SUNG * 6)
    assert breaker.cost(0, 4) < breaker.cost(0, 3)  # the first line alone would rather hold four
    assert breaker.break_lines(DENSITY) == [(0, 3), (3, 6)]


@pytest.mark.parametrize("count", [7, 16, 23])
def test_justified_lines_are_exactly_as_wide_as_the_page(count):
    breaker, framer = prepare(count)
    for first, stop in breaker.break_lines(DENSITY)[:-1]:
        frame = framer.frame(first, stop, 107.0, 0.0, None)
        assert frame.width == pytest.approx(107.0)
        assert frame.force == pytest.approx(breaker.force(first, stop), rel=0.02)


@given(st.lists(st.sampled_from([*BARS, SUNG]), min_size=2, max_size=16), st.booleans())
def test_a_ragged_last_line_is_as_loose_as_the_line_before_it(measures, starts_anew):
    """Or justified, where it would nearly be full; never tighter than at rest (house rule)."""
    rows = [measure if measure == SUNG else f"  - notes: {measure}\n" for measure in measures]
    if starts_anew:
        rows[-1] += "    new: line\n"
    breaker, framer = breaker_of("".join(rows))
    *_, before, last = [None, *frame_lines(breaker.break_lines(DENSITY), breaker, framer, 107.0, 0.0)]
    is_full = last.width == pytest.approx(107.0)
    if before is not None:
        assert last.force >= before.force - 1e-9 or is_full
    assert is_full or (last.force >= 1.0 and last.width < 107.0)


def test_equal_notes_are_equally_wide_on_a_ragged_last_line():
    breaker, framer = breaker_of(
        f"  - notes: {BARS[0]}\n" * 5 + f"  - notes: {BARS[0]}\n    new: line\n" + f"  - notes: {BARS[0]}\n"
    )
    *_, before, last = frame_lines(breaker.break_lines(DENSITY), breaker, framer, 107.0, 0.0)
    assert last.width < 0.7 * 107.0
    first, second = before.measures[1].xs[:2]
    here, there = last.measures[1].xs[:2]
    assert there - here == pytest.approx(second - first)
    assert before.force > 1.05


def test_columns_never_come_nearer_than_their_rods():
    breaker, framer = prepare(12)
    for first, stop in breaker.break_lines(DENSITY):
        for measure in framer.frame(first, stop, 107.0, 0.0, None).measures:
            ends = [*measure.xs[1:], measure.right]
            for x, end, rod in zip(measure.xs, ends, measure.ink.rods, strict=True):
                assert end - x >= rod - 1e-6


def test_a_bar_too_wide_for_the_page_still_gets_a_line():
    breaker, _ = prepare(3, width=25.0)
    assert breaker.break_lines(DENSITY) == [(0, 1), (1, 2), (2, 3)]


def test_a_pickup_starts_the_line_of_its_phrase():
    """Common practice, no source."""
    plain = "  - notes: [1/8: [{3: 0}, {3: 2}, {2: 0}, {2: 1}, {1: 0}, {1: 1}, {1: 3}, {1: 5}]]\n"
    pickup = "  - pickup: true\n    notes: [1/8: 3:0]\n"
    for before in range(2, 7):
        end = plain.replace("  - notes", "  - barline: final\n    notes")
        breaker, _ = breaker_of(plain * before + end + pickup + plain * 5)
        assert all(stop != before + 2 for _, stop in breaker.break_lines(DENSITY))
