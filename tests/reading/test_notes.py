"""The notes form: durations, events, ties, tuplets, pitches (the language's own rules)."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.score.techniques import technique_words
from engrave.theory.instrument import PRESETS
from tests.reading.helpers import events, measure, names, problems, read


def test_a_duration_holds_one_event_or_a_run():
    row = events(measure("[1/4: {3: 0}, 1/8: [{3: 0}, {3: 2}], 1/2: rest]"))
    assert [(e.onset, e.length) for e in row] == [
        (0, Fraction(1, 4)),
        (Fraction(1, 4), Fraction(1, 8)),
        (Fraction(3, 8), Fraction(1, 8)),
        (Fraction(1, 2), Fraction(1, 2)),
    ]
    assert row[3].is_rest


def test_frets_sound_as_the_tuning_says_and_are_written_an_octave_higher():
    assert names(measure("[1/2: {6: 3, 1: 3}, 1/2: {5: 0}]")) == ["G3 G5", "A3"]


def test_marks_stand_after_the_fret_or_in_a_mapping():
    row = events(
        measure("[1/2: {3: 2 hammer-on vibrato}, 1/2: {3: {fret: 4, bend: 1/2, marks: [ghost], finger: 3}}]")
    )
    assert [t.sign for t in row[0].notes[0].techniques] == ["hammer-on", "vibrato"]
    note = row[1].notes[0]
    assert [technique_words(t) for t in note.techniques] == ["ghost", "bend 1/2"]
    assert note.finger == "3"


def test_dead_notes():
    assert [t.sign for t in events(measure("[1/1: {6: x}]"))[0].notes[0].techniques] == ["dead"]


def test_a_tie_holds_every_note_of_the_event_before():
    first, second = events(measure("[1/2: {3: 0, 2: 1}, 1/2: tie]"))
    assert [n.tie_to for n in first.notes] == [True, True]
    assert [(n.string, n.fret, n.tie_from) for n in second.notes] == [(3, 0, True), (2, 1, True)]


def test_one_string_is_held_while_another_moves():
    first, second = events(measure("[1/2: {3: 0, 2: 1}, 1/2: {3: tie, 2: 3}]"))
    assert [n.tie_to for n in first.notes] == [True, False]
    assert [n.tie_from for n in second.notes] == [True, False]


def test_ties_cross_barlines():
    text = "score: 1\nmeasures:\n  - notes: [1/1: {3: 0}]\n  - notes: [1/1: tie]\n"
    assert events(text, measure=1)[0].notes[0].tie_from
    assert events(text, measure=0)[0].notes[0].tie_to


def test_tuplets_and_tuplets_inside():
    row = events(
        measure("[3 in 2 of 1/4: [{3: 0}, {3: 2}, 3 in 2 of 1/8: [{2: 0}, {2: 1}, {2: 3}]], 1/2: rest]")
    )
    assert [e.length for e in row[:5]] == [Fraction(1, 6)] * 2 + [Fraction(1, 18)] * 3
    assert [len(e.tuplets) for e in row] == [1, 1, 2, 2, 2, 0]


def test_durations_inside_tuplets():
    row = events(measure("[3 in 2 of 1/8: [1/4: {3: 0}, 1/8: {3: 2}], 1/2.: rest]"))
    assert [e.length for e in row] == [Fraction(1, 6), Fraction(1, 12), Fraction(3, 4)]


def test_bare_pitches_take_the_lowest_fret_on_free_strings():
    row = events(measure("[1/2: C5, 1/2: C4+E4+G4]"))
    assert [(n.string, n.fret) for n in row[0].notes] == [(2, 1)]
    assert sorted((n.string, n.fret) for n in row[1].notes) == [(3, 0), (4, 2), (5, 3)]


def test_a_voice_reads_pitches_as_they_are():
    score = read("score: 1\ninstrument: voice\nmeasures:\n  - notes: [1/1: F#4]\n")
    note = score.parts[0].measures[0].voices[0].events[0].notes[0]
    assert (note.pitch.name, note.string) == ("F#4", 0)


def test_a_capo_leaves_the_writing_alone():
    assert names(measure("[1/1: {5: 3}]", "capo: 2\n")) == ["C4"]


def test_an_empty_measure_is_a_whole_rest():
    row = events("score: 1\ntime: 3/4\nmeasures: [{}, {notes: rest}]\n", measure=1)
    assert row[0].whole_measure
    assert row[0].length == Fraction(3, 4)


def test_chord_names_decide_how_their_tones_are_spelled():
    text = "score: 1\nkey: A minor\nmeasures:\n  - chord: E\n    notes: [1/2: {3: 1}, 1/2: {3: 0}]\n"
    assert names(text) == ["G#4", "G4"]


def test_the_authors_spelling_holds():
    assert names(measure("[1/1: {6: {fret: 4, pitch: Ab3}}]")) == ["Ab3"]


def test_a_spelling_that_sounds_otherwise_is_refused():
    assert "is not what string 6 fret 4 sounds" in problems(measure("[1/1: {6: {fret: 4, pitch: A3}}]"))[0]


VALUES = {
    "1/1": 64,
    "1/2": 32,
    "1/4": 16,
    "1/8": 8,
    "1/16": 4,
    "1/32": 2,
    "1/4.": 24,
    "1/8.": 12,
    "1/2.": 48,
    "1/4..": 28,
}


@given(
    st.lists(
        st.tuples(st.sampled_from(sorted(VALUES)), st.integers(1, 6), st.integers(0, 22)),
        min_size=1,
        max_size=12,
    )
)
def test_whatever_is_written_is_read_back(written):
    total = sum(VALUES[value] for value, _, _ in written)
    sign_gap = "".join(", 1/32: rest" for _ in range(total % 4 // 2))
    sixteenths = -(-total // 4)
    if sixteenths > 64:
        return
    notes = (
        "[" + ", ".join(f"{value}: {{{string}: {fret}}}" for value, string, fret in written) + sign_gap + "]"
    )
    row = [event for event in events(measure(notes, f"time: {sixteenths}/16\n")) if not event.is_rest]
    assert [(e.notes[0].string, e.notes[0].fret, e.length * 64) for e in row] == [
        (string, fret, VALUES[value]) for value, string, fret in written
    ]
    guitar = PRESETS["guitar"]
    for event in row:
        note = event.notes[0]
        assert note.pitch.midi == guitar.written_midi(note.string, note.fret)


@pytest.mark.parametrize("preset", [name for name, p in PRESETS.items() if p.tuning])
def test_every_preset_reads_its_open_strings(preset):
    instrument = PRESETS[preset]
    for string in range(1, instrument.strings + 1):
        score = read(f"score: 1\ninstrument: {preset}\nmeasures:\n  - notes: [1/1: {{{string}: 0}}]\n")
        note = score.parts[0].measures[0].voices[0].events[0].notes[0]
        assert note.pitch.midi == instrument.tuning[string - 1].midi + 12 * instrument.octave


def test_each_string_of_a_tied_unison_keeps_its_spelling():
    chord = "{1: {fret: 0, pitch: E5}, 2: {fret: 5, pitch: Fb5}}"
    score = read(f"score: 1\nmeasures:\n  - notes: [1/2: {chord}, 1/2: tie]\n")
    struck, held = score.parts[0].measures[0].voices[0].events
    assert [(n.string, n.pitch.name) for n in held.notes] == [(n.string, n.pitch.name) for n in struck.notes]
    assert {n.pitch.name for n in held.notes} == {"E5", "Fb5"}
