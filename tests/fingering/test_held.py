"""Chords are kept down, grids agree with the notes, and what repeats is held alike."""

import pytest

from engrave.fingering.moments import Limits
from engrave.fingering.place import place_part, release
from engrave.fingering.why import explain_way
from tests.fingering.hands import USUAL
from tests.fingering.scores import notes_of, placed, read

AM = "[{5: 0}, {4: 2}, {3: 2}, {2: 1}, {1: 0}, {2: 1}, {3: 2}, {4: 2}]"


def fingers(part):
    return [note[2] for event in notes_of(part) for note in event]


@pytest.mark.parametrize("over", ["spans: {1: let-ring for 1/1}", "chord: Am"])
def test_the_fingers_of_an_arpeggio_lie_as_in_its_chord(over):
    """2 3 1, not 2 2 1 (right-hand studies of all methods)."""
    score = read(f"  - {over}\n    notes: [1/8: {AM}]")
    assert fingers(placed(score).part) == ["", "2", "3", "1", "", "1", "3", "2"]


def test_half_a_measure_may_be_a_chord():
    score = read("  - notes: [1/8: [{3: 2}, {2: 3}, {1: 2}, {2: 3}, {1: 0}, {1: 1}, {1: 3}, {1: 0}]]")
    assert fingers(placed(score).part)[:4] == ["1", "3", "2", "3"]


def test_ringing_notes_leave_each_other_their_strings():
    """On a ukulele A4 then has the open string and G4 the fourth, so that both ring."""
    score = read("  - {spans: {1: let-ring for 1/1}, notes: [1/4: [G4, C4, E4, C5]]}", "instrument: ukulele")
    places = [event[0][:2] for event in notes_of(score.parts[0])]
    assert places == [(4, 0), (3, 0), (2, 0), (1, 3)]


def test_a_tune_on_a_ukulele_keeps_off_the_high_fourth_string():
    score = read("  - notes: [1/4: [C4, G4, A4, G4]]", "instrument: ukulele")
    assert [event[0][:2] for event in notes_of(score.parts[0])] == [(3, 0), (2, 3), (1, 0), (2, 3)]


@pytest.mark.parametrize("name", ["C", "D", "Em", "G", "F", "A7"])
def test_the_grid_and_the_notes_under_it_agree_on_the_fingers(name):
    score = read(f"  - {{chord: {name}, notes: [1/1: {{1: 0}}]}}", "shapes: auto")
    shape = score.parts[0].measures[0].chords[0].shape
    spots = {
        (6 - at, fret): finger
        for at, (fret, finger) in enumerate(zip(shape.frets, shape.fingers))
        if fret is not None
    }
    chord = ", ".join(f"{string}: {fret}" for string, fret in spots)
    struck = read(f"  - {{chord: {name}, notes: [1/1: {{{chord}}}]}}", "shapes: auto")
    assert {note[:2]: note[2] for note in notes_of(placed(struck).part)[0]} == spots


def test_a_chord_written_in_pitches_lies_where_its_grid_shows_it():
    head = "shapes: {C: 8 10 10 9 8 8}"
    score = read("  - {chord: C, notes: [1/1: {6: 8, 5: 10, 4: 10}]}", head)
    (chord,) = notes_of(place_part(score, release(score.parts[0]), USUAL).part)
    assert [note[:2] for note in chord] == [(6, 8), (5, 10), (4, 10)]


def test_what_is_struck_twice_is_held_by_the_same_fingers():
    score = read(
        "  - notes: [1/8: [{6: 3, 4: 0}, {6: 3, 4: 0}, {6: 3, 4: 2}, {6: 3, 4: 2}, {6: 3, 4: 2}]]",
        "time: 5/8",
    )
    held = notes_of(placed(score).part)
    assert held[0] == held[1]
    assert held[2] == held[3] == held[4]


def test_measures_that_repeat_are_held_alike():
    riff = "[{4: 5}, {4: 7}, {3: 5}, {3: 7}]"
    low, high = "[{6: 1}, {5: 3}, {6: 1}, {5: 3}]", "[{1: 12}, {1: 15}, {1: 12}, {1: 15}]"
    score = read("".join(f"  - notes: [1/4: {row}]\n" for row in (low, riff, high, riff, low, riff)))
    held = notes_of(placed(score).part)
    assert held[4:8] == held[12:16] == held[20:24]


def test_notes_that_move_together_keep_their_strings():
    """Sixths on strings 3 and 1, thirds on one pair (common practice, no source)."""
    score = read("  - notes: [1/4: [{3: 2, 1: 1}, {3: 4, 1: 3}, {3: 5, 1: 5}, {3: 7, 1: 7}]]")
    held = notes_of(place_part(score, release(score.parts[0]), USUAL).part)
    assert [[note[0] for note in event] for event in held] == [[3, 1]] * 4


def test_the_position_that_is_asked_for_has_no_open_strings_where_it_can_be():
    found = placed(read("  - notes: [1/4: [A4, B4, E5, A5]]"), limits=Limits(position=5))
    assert all(spot.fret for step in found.way.steps for spot in step.grip.spots)


def test_a_full_bend_is_made_with_the_third_finger():
    score = read("  - notes: [1/4: [{2: 8 bend full}, {2: 5}, {1: 8 bend full}, {1: 5}]]")
    assert fingers(placed(score).part) == ["3", "1", "3", "1"]


def test_every_moment_of_a_held_chord_is_explained():
    score = read(f"  - chord: Am\n    notes: [1/8: {AM}]")
    lines = list(explain_way(score, placed(score, explained=True)))
    assert len(lines) == 9
    assert all("held as one chord" in line for line in lines[2:])


def test_a_finger_of_the_author_is_obeyed_below_its_own_fret():
    score = read("  - notes: [1/1: {2: {fret: 1, finger: 3}}]")
    assert fingers(placed(score).part) == ["3"]
    assert placed(score).way.steps[0] is not None


def test_a_mandolin_has_two_frets_to_a_finger():
    """0 2 4 5 are open, first, second, third finger (mandolin methods, from memory)."""
    score = read("  - notes: [1/4: [{2: 0}, {2: 2}, {2: 4}, {2: 5}]]", "instrument: mandolin")
    assert fingers(placed(score).part) == ["", "1", "2", "3"]
