"""The right hand: what is taught comes out, nothing is cheaper, what the author wrote stays."""

from itertools import pairwise, product
from random import Random
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.fingering.hand_files import WrongHand
from engrave.fingering.plucking.fingers import Above, Hold, hold_terms, move_terms
from engrave.fingering.plucking.fingers_way import FingerSolver
from engrave.fingering.plucking.pick_way import Way, find_swings, own_terms, solve_strokes
from engrave.fingering.plucking.pick_way import move_terms as stroke_terms
from engrave.fingering.plucking.right_hand import RANK, load_right_hand, right_hand_names
from engrave.fingering.plucking.struck import Plucked, Struck, find_struck
from engrave.score.joins import NoteAt
from engrave.score.techniques import RightFinger
from engrave.theory.duration import note_value
from engrave.theory.instrument import PRESETS
from tests.fingering.hands import USUAL
from tests.fingering.plucking import by_strings, plucked, say, score_of
from tests.fingering.scores import read
from tests.fingering.taught_plucking import FINGERS, STROKES

HAND = load_right_hand("fingers")
GUITAR = PRESETS["guitar"]
MISSED = {"scale over all strings", "alternating bass"}
"""Figures that come out otherwise: a run begins with p on its first bass, and string 1 gets a in a Travis pattern."""
P, I, M, A, C = RightFinger  # noqa: E741


@pytest.mark.parametrize("figure", [f for f in FINGERS if f.name not in MISSED], ids=lambda f: f.name)
def test_fingers_are_those_that_are_taught(figure):
    assert say(plucked(score_of(figure), figure.hand)) in figure.ways, figure.source


@pytest.mark.parametrize("figure", STROKES, ids=lambda f: f.name)
def test_strokes_are_those_that_are_taught(figure):
    assert say(plucked(score_of(figure), figure.hand)) in figure.ways, figure.source


def test_strings_alone_would_say_less_than_the_search():
    figures = (*FINGERS, *STROKES)
    assert sum(by_strings(figure) in figure.ways for figure in figures) < len(figures) / 2


def moments_of(rows, seconds=0.3):
    """Moments on the strings of each row."""
    return [
        Struck(
            seconds,
            0,
            note_value(8).length * number,
            tuple(Plucked(string, NoteAt(0, 0, number, at)) for at, string in enumerate(sorted(row)[::-1])),
            ((0, 0, number),),
        )
        for number, row in enumerate(rows)
    ]


def in_order(count, allowed):
    """Fingers of `count` strings from the thickest on: none nearer the thumb than the one before, p alone several times."""
    for row in product(allowed, repeat=count):
        if all(RANK[a] < RANK[b] or a is b is P for a, b in pairwise(row)):
            yield row


def chain(rows, moments):
    """The fingers of each moment as ways that know the hand of the stroke before, worked out from all that went before."""
    holds = []
    for row, moment in zip(rows, moments, strict=True):
        upper = [(f, s) for f, s in zip(row, moment.strings, strict=True) if f is not P]
        places = [string + RANK[finger] - 1 for finger, string in upper]
        own = (
            Above(tuple(f for f, _ in upper), tuple(s for _, s in upper), min(places), max(places))
            if upper
            else None
        )
        before = holds[-1] if holds else None
        kept = before.above if own is None and before is not None and not before.is_carried else None
        holds.append(Hold(row, moment.strings, own or kept, kept is not None))
    return holds


def total(terms):
    return sum(value for _, value in terms)


def cost_of(rows, moments, solver):
    tasks, holds = solver.prepare(moments), chain(rows, moments)
    cost = sum(
        total(hold_terms(hold, task.moment, task.figure, HAND, HAND.border(GUITAR)))
        for hold, task in zip(holds, tasks)
    )
    for (old, new), task in zip(pairwise(holds), tasks[1:]):
        cost += total(move_terms(old, new, task.moment.seconds, HAND, task.figure.in_run))
    return cost


def cheapest(moments, solver, allowed=(P, I, M, A)):
    choices = [list(in_order(len(moment.notes), allowed)) for moment in moments]
    return min(cost_of(rows, moments, solver) for rows in product(*choices))


strings = st.sets(st.integers(1, 6), min_size=1, max_size=2)


@settings(max_examples=80, deadline=None)
@given(st.lists(strings, min_size=1, max_size=4), st.floats(0.05, 2))
def test_no_fingers_are_cheaper_by_exhaustive_search(rows, seconds):
    moments, solver = moments_of(rows, seconds), FingerSolver(HAND, GUITAR)
    assert solver.solve(moments).cost == pytest.approx(cheapest(moments, solver))


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(1, 6), min_size=5, max_size=6), st.floats(0.05, 2))
def test_no_fingers_of_a_longer_line_are_cheaper_by_exhaustive_search(line, seconds):
    moments, solver = moments_of([{string} for string in line], seconds), FingerSolver(HAND, GUITAR)
    assert solver.solve(moments).cost == pytest.approx(cheapest(moments, solver))


@settings(max_examples=60, deadline=None)
@given(st.lists(strings, min_size=2, max_size=5), st.floats(0.05, 2))
def test_the_next_best_way_costs_what_is_said(rows, seconds):
    moments, solver = moments_of(rows, seconds), FingerSolver(HAND, GUITAR)
    way = solver.solve(moments, explained=True)
    for index, step in enumerate(way.steps):
        fixed = list(moments)
        notes = zip(moments[index].notes, step.rival.fingers, strict=True)
        fixed[index] = moments[index]._replace(notes=tuple(n._replace(finger=f) for n, f in notes))
        assert solver.solve(fixed).cost == pytest.approx(way.cost + step.rival.more)
        assert step.rival.more >= -1e-9


@settings(max_examples=80, deadline=None)
@given(
    st.lists(strings, min_size=1, max_size=7),
    st.floats(0.05, 2),
    st.sampled_from(["pick", "economy"]),
    st.sampled_from(["4/4", "6/8", "7/8", "cut C"]),
)
def test_no_strokes_are_cheaper_by_exhaustive_search(rows, seconds, name, time):
    costs = load_right_hand(name).strokes
    measures = read("  - notes: rest\n", f"time: {time}").measures
    moments = moments_of(rows, seconds)
    swings = find_swings(moments, measures)

    def cost(ways):
        moved = sum(
            total(stroke_terms(a, b, *pair, costs)) for (a, b), pair in zip(pairwise(ways), pairwise(moments))
        )
        return moved + sum(total(own_terms(way, swing, costs)) for way, swing in zip(ways, swings))

    found = solve_strokes(moments, measures, costs, explained=True)
    assert found.cost == pytest.approx(min(map(cost, product(Way, repeat=len(moments)))))
    assert found.cost == pytest.approx(cost([step.way for step in found.steps]))
    assert all(step.more >= -1e-9 for step in found.steps)


@given(st.lists(st.integers(1, 4), min_size=2, max_size=40), st.sampled_from(["guitar", "bass"]))
def test_no_finger_plucks_single_notes_twice_running(line, name):
    """Carcassi, Méthode op. 59, from memory; basses of the thumb are another matter."""
    moments = moments_of([{string} for string in line], 0.15)
    steps = FingerSolver(HAND, PRESETS[name]).solve(moments).steps
    for before, after in pairwise(step.fingers[0] for step in steps):
        assert before is not after or after is P


@given(st.lists(st.sets(st.integers(1, 6), min_size=1), min_size=1, max_size=12))
def test_the_thumb_is_under_the_fingers_and_they_lie_in_order(rows):
    for step in FingerSolver(HAND, GUITAR).solve(moments_of(rows)).steps:
        assert all(RANK[a] < RANK[b] or a is b is P for a, b in pairwise(step.fingers))


def test_time_grows_in_proportion_to_the_notes():
    draw = Random(7)
    rows = [set(draw.sample(range(1, 7), draw.randint(1, 4))) for _ in range(8000)]
    moments = moments_of(rows)
    start = process_time()
    FingerSolver(HAND, GUITAR).solve(moments[:2000])
    middle = process_time()
    FingerSolver(HAND, GUITAR).solve(moments)
    assert process_time() - middle < 9 * (middle - start) + 0.1


def test_most_ways_of_a_moment_are_bounded_however_long_the_piece():
    for rows in ([{6}, {5}] * 200, [{3}, {2}, {1}] * 200, [{6, 1}, {2}, {4}] * 200):
        tasks = FingerSolver(HAND, GUITAR).prepare(moments_of(rows))
        assert max(len(task.holds) for task in tasks) < 20


def fingers(measures, head="", **more):
    return say(plucked(read(measures, head), **more))


def test_what_the_author_wrote_stays_and_the_rest_follows():
    assert fingers("  - notes: [1/4: 5:3 3:0 m 2:1 1:0]\n").split()[1] == "m"
    assert fingers("  - notes: [1/2: {5: 3 i, 1: 0 p}, 1/2: 2:1]\n").startswith("i+p")


def test_a_pattern_goes_on_over_another_bass():
    """Patterns are kept through an arpeggio: common practice, no source."""
    figure = "1/8: [{0}, 3:0, 2:1, 1:0, 2:1, 3:0, 2:1, 3:0]"
    rows = "".join(f"  - notes: [{figure.format(bass)}]\n" for bass in ("5:3", "6:3", "4:2", "5:0"))
    words = fingers(rows).split()
    assert words == words[:8] * 4


def test_one_finger_of_the_author_changes_every_measure_that_repeats():
    measure = "  - notes: [1/4: 5:3 2:1{} 5:3 2:1]\n"
    assert fingers(measure.format(" a") + measure.format("")).split()[:2] == ["p", "a"]


def test_what_the_left_hand_sounds_is_not_plucked():
    assert fingers("  - notes: [1/4: [3:0, 3:2 hammer-on, 3:0 pull-off, tie]]\n") == "i"


def test_grace_notes_are_plucked_and_tapped_ones_are_not():
    words = fingers("  - notes: [grace 1/8: 2:1, 1/2: 2:3, 1/2: 2:8 tap]\n").split()
    assert len(words) == 2
    assert words[0] != words[1]


def test_a_string_that_two_voices_share_is_plucked_once():
    result = plucked(read("  - {notes: [1/1: 3:0], lower: [1/1: 3:0]}\n"))
    assert len(result.plucked[0].notes) == 1
    both = [voice.events[0].notes[0].techniques for voice in result.part.measures[0].voices]
    assert both[0] == both[1] != ()


def test_a_pick_leaves_the_author_strokes_and_plucked_notes():
    result = plucked(
        read("  - notes: [1/4: [3:0 pick-up, 3:2, {5: 3, 2: 1 m}, 5:3+4:2+3:0 arpeggiate]]\n"), "pick"
    )
    assert say(result) == "u d d"
    assert result.struck[2].strings == (5,)


def test_chords_and_slashes_are_strummed_and_single_notes_picked():
    result = plucked(read("  - notes: [1/4: 5:3 4:2+3:0 5:3+4:2+3:0 slash]\n"), "pick")
    events = result.part.measures[0].voices[0].events
    found = [next(sign for sign in event.signs if sign.value.endswith("down")).value for event in events]
    assert found == ["pick-down", "pick-down", "strum-down", "strum-down"]


def test_hands_of_ones_own_are_based_on_others(tmp_path):
    path = tmp_path / "mine.yaml"
    path.write_text("right-hand: 1\nbased-on: fingers\nfinger: {a: 100}\n", "utf-8")
    moments = find_struck(score := score_of(FINGERS[1]), score.parts[0], USUAL.pace)
    steps = FingerSolver(load_right_hand(str(path)), GUITAR).solve(moments).steps
    assert all(A not in step.fingers for step in steps)


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("right-hand: 1\nbased-on: fingers\nfingers: {usual: p i m x}\n", "not fingers of the right hand"),
        ("right-hand: 1\nbased-on: fingers\nplays: spoon\n", "what a hand plays with"),
        ("hand: 1\n", "this is not a right hand file"),
        ("right-hand: 1\n", "is missing"),
    ],
)
def test_wrong_hands_are_told(tmp_path, text, what):
    path = tmp_path / "mine.yaml"
    path.write_text(text, "utf-8")
    with pytest.raises(WrongHand) as raised:
        load_right_hand(str(path))
    assert any(what in problem.what for problem in raised.value.problems), raised.value.problems


def test_the_shipped_hands_are_fingers_pick_and_economy():
    assert right_hand_names() == ("economy", "fingers", "pick")
