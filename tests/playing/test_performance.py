"""What sounds, when and how loud: repeats, ties, graces, harmonics, capos, dynamics."""

from fractions import Fraction

import pytest

from engrave.playing.performance import perform
from tests.reading.helpers import read


def notes(text, **wish):
    return perform(read(text), **wish).notes


def score(measures, head=""):
    return f"score: 1\n{head}measures:\n" + "".join(f"  - {measure}\n" for measure in measures)


def times(found):
    return [(str(note.start), str(note.length), note.midi) for note in found]


def test_notes_sound_at_their_moments_an_octave_below_where_they_are_written():
    assert times(notes(score(["notes: [1/4: {1: 0}, 1/2: {6: 3}, 1/4: rest]"]))) == [
        ("0", "1/4", 64),
        ("1/4", "1/2", 43),
    ]


def test_tied_notes_are_one_note_over_the_barline():
    assert times(notes(score(["notes: [1/2: rest, 1/2: {2: 1}]", "notes: [1/4: tie, 1/2.: rest]"]))) == [
        ("1/2", "3/4", 60)
    ]


def test_repeats_and_endings_are_played():
    measures = [
        "{repeat: start, notes: [1/1: {1: 0}]}",
        "{ending: 1, repeat: end, notes: [1/1: {1: 1}]}",
        "{ending: 2, notes: [1/1: {1: 2}]}",
    ]
    assert [n.midi for n in notes(score(measures))] == [64, 65, 64, 66]
    assert [n.midi for n in notes(score(measures), repeats=False)] == [64, 65, 66]


def test_bar_repeats_sound_and_many_rests_last():
    text = score(["notes: [1/1: {1: 0}]", "measure-repeat: 1", "multiple-rest: 3", "notes: [1/1: {1: 5}]"])
    assert times(notes(text)) == [("0", "1", 64), ("1", "1", 64), ("5", "1", 69)]
    assert perform(read(text)).length == 6


def test_a_range_of_measures_starts_at_nothing():
    text = score([f"notes: [1/1: {{1: {n}}}]" for n in range(4)])
    assert times(notes(text, first=1, stop=3)) == [("0", "1", 65), ("1", "1", 66)]


def test_grace_notes_take_their_time_from_their_note():
    found = times(notes(score(["notes: [grace 1/16: [{1: 1}, {1: 3}], 1/1: {1: 5}]"])))
    assert found == [("0", "1/32", 65), ("1/32", "1/32", 67), ("1/16", "15/16", 69)]


@pytest.mark.parametrize(
    ("head", "notes_", "midi"),
    [
        ("capo: 2\n", "{1: 0}", 66),
        ("", "{1: 12 natural-harmonic}", 76),
        ("capo: 2\n", "{6: 7 natural-harmonic}", 61),
        ("", "{2: {fret: 3, artificial-harmonic: 15}}", 74),
    ],
)
def test_capos_and_harmonics_sound_as_they_do(head, notes_, midi):
    (note,) = notes(score([f"notes: [1/1: {notes_}]"], head))
    assert note.midi == midi


def test_dynamics_hairpins_and_accents_change_the_loudness():
    text = score(
        [
            "{dynamics: {1: p}, spans: {1: crescendo for 1/1}, notes: [1/4: [{1: 0}, {1: 0}, {1: 0}, {1: 0 accent}]]}",
            "{dynamics: {1: f}, notes: [1/1: {1: 0}]}",
        ]
    )
    loud = [note.loudness for note in notes(text)]
    assert loud == [*sorted(loud[:4]), loud[4]]
    assert loud[0] < loud[1] < loud[2] < loud[4]


def test_rolled_chords_are_spread_from_the_low_string_and_upstrokes_from_the_high_one():
    (low, high) = sorted(notes(score(["notes: [1/1: {6: 3 arpeggiate-up, 1: 3}]"])), key=lambda n: n.midi)
    assert low.delay == 0 < high.delay
    (low, high) = sorted(notes(score(["notes: [1/1: {6: 3 strum-up, 1: 3}]"])), key=lambda n: n.midi)
    assert high.delay == 0 < low.delay


def test_slashes_sound_the_shape_of_the_chord_over_them():
    text = score(["{chord: Em, notes: [1/1: slash]}"], "shapes: {Em: 0 2 2 0 0 0}\n")
    assert sorted(n.midi for n in notes(text)) == [40, 47, 52, 55, 59, 64]


def test_tempos_make_seconds():
    text = score(["{tempo: 1/4 = 60, notes: [1/1: {1: 0}]}", "{tempo: 1/2 = 60, notes: [1/1: {1: 0}]}"])
    performance = perform(read(text))
    assert performance.seconds(Fraction(1)) == pytest.approx(4.0)
    assert performance.seconds(Fraction(2)) == pytest.approx(6.0)
    assert [beat.moment for beat in performance.beats[:4]] == [
        0,
        Fraction(1, 4),
        Fraction(1, 2),
        Fraction(3, 4),
    ]


def test_spans_are_told_to_the_notes_they_hold_over():
    found = notes(score(["{spans: {1: palm-mute for 1/2}, notes: [1/2: [{6: 0}, {6: 3}]]}"]))
    assert ["palm-mute" in note.signs for note in found] == [True, False]
