"""Strum patterns and slashes as they sound."""

import pytest

from engrave.playing.performance import perform
from engrave.playing.unheard import UNHEARD, find_unheard
from tests.reading.helpers import read


def notes(measures, head=""):
    rows = "".join(f"  - {measure}\n" for measure in measures)
    return perform(read(f"score: 1\n{head}measures:\n{rows}")).notes


def strokes(found):
    """Moment, length and the MIDI numbers in the order in which they are struck."""
    rows = {}
    for note in sorted(found, key=lambda note: (note.start, note.delay)):
        rows.setdefault((str(note.start), str(note.length)), []).append(note.midi)
    return rows


def test_a_pattern_strums_the_chord_down_and_up():
    """G as 3 2 0 0 0 3; down begins with the thickest string (common practice, no source)."""
    found = strokes(notes(["{chord: G, strum: d u r r}"], "shapes: {G: 3 2 0 0 0 3}\n"))
    chord = [43, 47, 50, 55, 59, 67]
    assert found == {("0", "1/4"): chord, ("1/4", "1/4"): chord[::-1]}


def test_what_the_hand_swings_past_sounds_on():
    found = strokes(notes(["{chord: G, strum: d - d u - u d u}"]))
    assert list(found)[:3] == [("0", "1/4"), ("1/4", "1/8"), ("3/8", "1/4")]


def test_chords_change_inside_a_measure():
    found = list(
        strokes(
            notes(["{chord: {1: C, 3: G}, strum: d d}"], "shapes: {C: x 3 2 0 1 0, G: 3 2 0 0 0 3}\n")
        ).values()
    )
    assert [row[0] for row in found] == [48, 43]


@pytest.mark.parametrize("instrument", ["guitar", "ukulele", "mandolin", "banjo"])
def test_a_chord_without_a_shape_sounds_as_a_player_would_take_it(instrument):
    found = notes(["{chord: Am, notes: [1/1: slash]}"], f"instrument: {instrument}\n")
    assert {note.midi % 12 for note in found} == {9, 0, 4}


def test_slashes_without_a_chord_are_told():
    score = read(
        "score: 1\nmeasures:\n  - notes: [1/1: slash]\n  - {chord: N.C., notes: [1/1: slash]}\n  - {chord: D, notes: [1/1: slash]}\n"
    )
    (told,) = find_unheard(score, 0, 3, UNHEARD)
    assert "slashes are silent" in told.what
    assert told.measures == ("1", "2")
