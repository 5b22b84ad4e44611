"""The cheapest way is really the cheapest, and does not depend on what should not matter."""

from itertools import pairwise, product
from random import Random
from time import process_time

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engrave.fingering.cost import Asked, Link, grip_cost, least_beside_shift, move_cost
from engrave.fingering.grips import NoteChoice, find_grips
from engrave.fingering.hand import hand_names, load_hand
from engrave.fingering.moves import AllMoves, SomeMoves, costs_through, find_way
from engrave.fingering.neck import Neck
from engrave.fingering.solve import Solver
from tests.fingering.hands import EVEN_NECK, GUITAR, TRAVEL, USUAL, frets, melody, moment, positions, scale

SHORT_NECK = Neck((64, 59, 55), GUITAR.distances[:8])
"""Three strings and seven frets keep exhaustive search small."""
LONG_NECK = Neck((64, 59, 55), GUITAR.distances[:13])
"""Here the hand can be far away from the nut while open strings sound."""
low_pitch = st.integers(55, 71)


def asked(of):
    return Asked(tuple(want.struck for want in of.wants), tuple(want.bends for want in of.wants))


def links(of):
    return Link(tuple((want.held_from, i) for i, want in enumerate(of.wants) if want.held_from >= 0))


def cost_of(grips, moments, neck, hand):
    total = sum(sum(grip_cost(grip, asked(m), neck, hand)) for grip, m in zip(grips, moments))
    for before, now, old, new in zip(moments, moments[1:], grips, grips[1:]):
        total += sum(move_cost(old, new, links(now), (asked(before), asked(now)), now.seconds, neck, hand))
    return total


def every_grip(of, neck, hand):
    """All grips; over open strings the hand may wait at any fret."""
    grips = find_grips([NoteChoice(want.places, want.finger) for want in of.wants], neck, hand)
    waiting = [
        grip._replace(position=at) for grip in grips if not grip.position for at in range(1, neck.frets + 1)
    ]
    return [grip for grip in grips if grip.position] + waiting


def cheapest(moments, neck, hand):
    choices = [every_grip(m, neck, hand) for m in moments]
    return min(cost_of(grips, moments, neck, hand) for grips in product(*choices))


def draw_costs(draw, value):
    """Costs of the grips of a few moments, and of the moves between them: a row for each grip gone to."""
    sizes = [draw.randint(1, 4) for _ in range(draw.randint(1, 6))]
    tables = [[[value() for _ in range(a)] for _ in range(b)] for a, b in pairwise(sizes)]
    return [[value() for _ in range(size)] for size in sizes], tables


def test_the_search_finds_the_least_of_random_costs():  # three thousand cases by exhaustive search
    draw = Random(162)
    for _ in range(3000):
        own, tables = draw_costs(draw, lambda: draw.uniform(0, 9))
        forward, chosen = find_way(own, lambda number, tables=tables: AllMoves(tables[number]))

        def total(way, own=own, tables=tables):
            moves = sum(table[new][old] for table, old, new in zip(tables, way, way[1:]))
            return moves + sum(costs[at] for costs, at in zip(own, way))

        least = min(total(way) for way in product(*(range(len(costs)) for costs in own)))
        assert total(chosen) == pytest.approx(least)
        assert min(forward[-1]) == pytest.approx(least)


def test_moves_worked_out_when_needed_lead_the_same_way_as_all_of_them():
    draw = Random(163)
    for _ in range(1000):
        own, tables = draw_costs(draw, lambda: draw.randint(0, 3))  # many are equal
        asked = set()

        def some(number, tables=tables, asked=asked):
            table = tables[number]

            def cost(old, new):
                asked.add((number, old, new))
                return table[new][old]

            least = {
                at: [
                    max(0, min(row[old] for row in table) - draw.randint(0, 1))
                    for old in range(len(table[0]))
                ]
                for at in (1, 2)
            }
            return SomeMoves([1 + new % 2 for new in range(len(table))], least, cost)

        def all_moves(number, tables=tables):
            return AllMoves(tables[number])

        found = find_way(own, some)
        assert found == find_way(own, all_moves)
        assert len(asked) <= sum(len(row) for table in tables for row in table)
        assert costs_through(own, some, found[0]) == costs_through(own, all_moves, found[0])


@given(
    st.lists(st.sets(low_pitch, min_size=2, max_size=2), min_size=2, max_size=2),
    st.sampled_from(hand_names()),
    st.floats(0.05, 4),
)
def test_no_move_costs_less_than_its_bound(chords, name, seconds):
    hand = load_hand(name)
    moments = [moment(sorted(chord), SHORT_NECK, seconds=seconds) for chord in chords]
    before, now = (every_grip(m, SHORT_NECK, hand) for m in moments)
    beside = least_beside_shift(hand, seconds)
    for old, new in product(before[:20], now[:20]):
        _, *others = move_cost(
            old, new, Link(), (asked(moments[0]), asked(moments[1])), seconds, SHORT_NECK, hand
        )
        assert sum(others) >= beside


def test_a_piece_of_thousands_of_different_chords_is_placed_in_seconds():
    draw = Random(5)
    chords = [sorted({draw.randint(52, 58), draw.randint(59, 63), draw.randint(64, 71)}) for _ in range(4000)]
    moments = [moment(chord, GUITAR, seconds=0.2) for chord in chords]
    start = process_time()
    few = Solver(GUITAR, USUAL).solve(moments[:1000])
    middle = process_time()
    many = Solver(GUITAR, USUAL).solve(moments)
    assert process_time() - middle < 9 * (middle - start) + 0.1
    assert len([step for step in many.steps if step]) > 3 * len([step for step in few.steps if step])


@settings(max_examples=150)
@given(st.lists(low_pitch, min_size=1, max_size=3), st.sampled_from(["beginner", "intermediate", "advanced"]))
def test_no_way_of_a_melody_is_cheaper_by_exhaustive_search(pitches, name):
    hand = load_hand(name)
    moments = melody(pitches, SHORT_NECK, seconds=0.3)
    way = Solver(SHORT_NECK, hand).solve(moments)
    if all(step.grip.is_open for step in way.steps):
        return  # a hand that stops nothing is nowhere
    assert way.cost == pytest.approx(cheapest(moments, SHORT_NECK, hand))


@settings(max_examples=120)
@given(st.lists(st.lists(low_pitch, min_size=1, max_size=2, unique=True), min_size=2, max_size=3))
def test_no_way_of_chords_is_cheaper_by_exhaustive_search(chords):
    moments = [moment(chord, SHORT_NECK, seconds=0.5) for chord in chords]
    solver = Solver(SHORT_NECK, USUAL)
    way = solver.solve(moments)
    if None in way.steps or all(step.grip.is_open for step in way.steps):
        return  # a hand that stops nothing is nowhere
    assert way.cost == pytest.approx(cheapest(moments, SHORT_NECK, USUAL))


def cheapest_waiting_anywhere(moments, neck, hand):
    """Step by step over every grip, the hand waiting at any fret: as `cheapest`, for longer melodies."""
    grips = every_grip(moments[0], neck, hand)
    reached = [cost_of([grip], moments[:1], neck, hand) for grip in grips]
    for pair in pairwise(moments):
        after = every_grip(pair[1], neck, hand)
        first = [cost_of([grip], pair[:1], neck, hand) for grip in grips]
        before = [cost - own for cost, own in zip(reached, first)]
        reached = [
            min(cost + cost_of([old, new], pair, neck, hand) for old, cost in zip(grips, before))
            for new in after
        ]
        grips = after
    return min(reached)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.sampled_from([55, 59, 64, 74, 76]), min_size=5, max_size=7), st.sampled_from(hand_names()))
@example([76, 59, 59, 59, 76], "intermediate")
def test_a_hand_may_wait_through_any_number_of_open_strings(pitches, name):
    hand = load_hand(name)
    moments = melody(pitches, LONG_NECK, seconds=0.3)
    way = Solver(LONG_NECK, hand).solve(moments)
    if all(step.grip.is_open for step in way.steps):
        return  # a hand that stops nothing is nowhere
    assert way.cost == pytest.approx(cheapest_waiting_anywhere(moments, LONG_NECK, hand))


@settings(max_examples=100)
@given(st.lists(low_pitch, min_size=2, max_size=4), st.floats(0.05, 3))
def test_a_way_costs_what_its_steps_cost(pitches, seconds):
    way = Solver(GUITAR, USUAL).solve(melody(pitches, GUITAR, seconds=seconds), explain=True)
    assert way.cost == pytest.approx(sum(value for step in way.steps for _, value in step.terms))


@settings(max_examples=60)
@given(st.lists(st.integers(40, 80), min_size=2, max_size=12), st.integers(-9, 9))
def test_moving_notes_and_strings_together_changes_nothing(pitches, steps):  # follows from the model
    other = GUITAR._replace(open_midi=tuple(pitch + steps for pitch in GUITAR.open_midi))
    here = Solver(GUITAR, USUAL).solve(melody(pitches, GUITAR))
    there = Solver(other, USUAL).solve(melody([pitch + steps for pitch in pitches], other))
    assert here.cost == pytest.approx(there.cost)
    assert frets(here) == frets(there)


@settings(max_examples=60)
@given(st.lists(st.integers(40, 76), min_size=2, max_size=10))
def test_a_string_of_no_use_changes_nothing(pitches):  # follows from the model
    wider = GUITAR._replace(open_midi=(*GUITAR.open_midi, 120))
    here = Solver(GUITAR, USUAL).solve(melody(pitches, GUITAR))
    assert Solver(wider, USUAL).solve(melody(pitches, wider)).cost == pytest.approx(here.cost)


@settings(max_examples=60)
@given(st.lists(st.integers(41, 76), min_size=2, max_size=10))
def test_the_hand_travels_as_far_backwards_as_forwards(
    pitches,
):  # holds because the cost is a sum of distances
    def cost(row):
        return Solver(EVEN_NECK, TRAVEL, extensions=False).solve(melody(row, EVEN_NECK, seconds=1.0)).cost

    assert cost(pitches) == cost(pitches[::-1])


@settings(max_examples=40)
@given(st.lists(st.integers(45, 76), min_size=3, max_size=12))
def test_dearer_shifts_are_never_more_shifts(pitches):  # follows from the model
    def shifts(each):
        hand = USUAL._replace(shift=USUAL.shift._replace(each=each))
        at = positions(Solver(GUITAR, hand).solve(melody(pitches)))
        return sum(1 for old, new in pairwise(at) if old != new and old and new)

    assert shifts(200.0) <= shifts(14.0)


@settings(max_examples=60)
@given(st.lists(st.lists(st.integers(40, 76), min_size=1, max_size=5, unique=True), min_size=1, max_size=5))
def test_nothing_unplayable_is_ever_chosen(chords):
    for name in hand_names():
        hand = load_hand(name)
        for chord, step in zip(chords, Solver(GUITAR, hand).solve([moment(c) for c in chords]).steps):
            if step is None:
                continue
            spots = step.grip.spots
            assert [GUITAR.open_midi[spot.string - 1] + spot.fret for spot in spots] == chord
            assert len({spot.string for spot in spots}) == len(spots)
            stopped = [spot for spot in spots if spot.fret]
            assert all((spot.finger > 0) == (spot.fret > 0) for spot in spots)
            for one in stopped:
                for other in stopped:
                    assert GUITAR.reach(one.fret, other.fret) <= hand.reach.hard
                    assert one.fret >= other.fret or one.finger < other.finger
                    if one.finger == other.finger:
                        assert one.fret == other.fret
                        low, high = sorted((one.string, other.string))
                        assert all(s.fret >= one.fret for s in spots if low < s.string < high)


@settings(max_examples=60)
@given(st.tuples(st.integers(40, 80), st.integers(40, 80)), st.floats(0.05, 2), st.booleans(), st.booleans())
def test_the_short_way_for_melodies_costs_the_same_as_the_long_one(pair, seconds, struck, bends):
    before, now = melody(pair, GUITAR, seconds=seconds)
    now = now._replace(wants=(now.wants[0]._replace(struck=struck, bends=bends),))
    solver = Solver(GUITAR, USUAL)
    olds, news = (every_grip(m, GUITAR, USUAL) for m in (before, now))
    for grip, cost in zip(news, solver._costs(news, asked(now))):
        assert cost == pytest.approx(sum(grip_cost(grip, asked(now), GUITAR, USUAL)))
    both = (Asked((True,), (False,)), Asked((True,), (False,)))
    for new, row in zip(news, solver._single_rows(olds, news, seconds)):
        for old, cost in zip(olds, row):
            assert cost == pytest.approx(sum(move_cost(old, new, Link(), both, seconds, GUITAR, USUAL)))


@settings(max_examples=60)
@given(st.lists(st.integers(40, 76), min_size=2, max_size=8))
def test_the_next_best_is_another_way_and_never_cheaper(pitches):
    way = Solver(GUITAR, USUAL).solve(melody(pitches), explain=True)
    for step in way.steps:
        assert step.rival is None or (step.rival.more >= -1e-9 and step.rival.grip.spots != step.grip.spots)


def test_the_time_grows_with_the_length_alone():
    """Counted in moves that are worked out: equal questions are asked once."""
    solver = Solver(GUITAR, USUAL)
    solver.solve(melody(scale(48) * 4))
    known = len(solver._between)
    solver.solve(melody(scale(48) * 40))
    assert len(solver._between) == known


@pytest.mark.parametrize("side", [0, 1, 2])
def test_the_first_finger_reaches_back_as_far_as_its_hand_does(side):
    hand = USUAL._replace(reach=USUAL.reach._replace(side=side))
    grips = find_grips([NoteChoice(((1, 5),), 1)], GUITAR, hand)
    assert [(grip.position, grip.outside) for grip in grips] == [(5 + back, back) for back in range(side + 1)]
