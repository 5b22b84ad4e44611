"""The same music in another tuning, with another capo, on another instrument, in another key."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.fingering.moments import Limits
from engrave.fingering.place import place_part
from engrave.fingering.retune import follow_frets, move_score
from engrave.score.techniques import amount_words, technique_words
from engrave.theory.instrument import PRESETS, TUNINGS, parse_tuning
from engrave.theory.key import parse_key
from engrave.theory.transposition import NO_INTERVAL, interval_between, interval_of
from tests.fingering.hands import USUAL
from tests.fingering.scores import notes_of, read

GUITAR = PRESETS["guitar"]


def tuned(name):
    return GUITAR._replace(tuning=parse_tuning(TUNINGS[name]))


def moved(score, instrument=None, interval=NO_INTERVAL):
    ways = {score.parts[0].id: instrument} if instrument else {}
    after = move_score(score, ways, interval, USUAL).score
    part = place_part(after, after.parts[0], USUAL, Limits(keep_strings=True), fingers=False).part
    return after, follow_frets(score.parts[0], part)


def sounds(part):
    return [
        part.instrument.sounding_midi(note.string, note.fret)
        for content in part.measures
        for voice in content.voices
        for event in voice.events
        for note in event.notes
    ]


def spots(part):
    return [[note[:2] for note in event] for event in notes_of(part)]


def test_in_another_tuning_only_the_retuned_string_moves():
    """In drop D the sixth string sounds two semitones lower (common practice, no source), so its frets are two higher."""
    score = read("  - notes: [1/4: [{6: 3}, {5: 2}, {2: 1}, {6: 0}]]")
    _, part = moved(score, tuned("drop D"))
    assert spots(part) == [[(6, 5)], [(5, 2)], [(2, 1)], [(6, 2)]]


@settings(max_examples=60)
@given(
    st.lists(st.tuples(st.integers(1, 6), st.integers(3, 9)), min_size=1, max_size=6),
    st.sampled_from(["drop D", "DADGAD", "open G", "half step down", "all fourths"]),
)
def test_the_sound_stays_in_every_tuning(row, name):
    text = ", ".join(f"{{{string}: {fret}}}" for string, fret in row)
    score = read(f"  - {{time: {len(row)}/4, notes: [1/4: [{text}]]}}")
    _, part = moved(score, tuned(name))
    assert sounds(part) == sounds(score.parts[0])


def test_another_capo_keeps_the_sound_and_moves_key_and_chords():
    score = read("  - {chord: G, notes: [1/2: [{6: 5}, {1: 7}]]}", "key: G major\ncapo: 2")
    after, part = moved(score, GUITAR)
    assert sounds(part) == sounds(score.parts[0])
    assert after.measures[0].key.name == "A major"
    assert after.parts[0].measures[0].chords[0].name.text == "A"


def test_another_key_moves_pitches_keys_chords_and_shapes():
    score = read("  - {chord: G, notes: [1/2: [{3: 0}, {2: 0}]]}", "key: G major\nshapes: {G: 3 2 0 0 0 3}")
    after, part = moved(score, None, interval_between(parse_key("G major"), parse_key("D major"), 0))
    assert after.measures[0].key.name == "D major"
    assert after.shapes[0].name.text == "D"
    assert after.shapes[0].shape.frets == (None, None, 0, 2, 3, 2)  # xx0232: common practice, no source
    assert [note - old for note, old in zip(sounds(part), sounds(score.parts[0]))] == [-5, -5]


def test_what_can_stay_on_its_string_stays():
    score = read("  - notes: [1/4: [{2: 5}, {2: 7}, {2: 8}, {2: 10}]]")
    _, part = moved(score, None, interval_of(2, parse_key("C major")))
    assert spots(part) == [[(2, 7)], [(2, 9)], [(2, 10)], [(2, 12)]]


def test_frets_in_marks_and_barres_go_along():
    score = read(
        "  - {spans: {1: barre 5 for 1/1}, notes: [1/1: {1: {fret: 5, trill: 7}, 2: 5}]}",
    )
    _, part = moved(score, None, interval_of(2, parse_key("C major")))
    (note, _) = part.measures[0].voices[0].events[0].notes
    assert [t for t in map(technique_words, note.techniques) if t.startswith("trill")] == ["trill 9"]
    assert part.measures[0].spans[0].detail == "7"


def test_fingers_of_notes_that_move_are_forgotten_others_stay():
    score = read("  - notes: [1/2: [{6: {fret: 3, finger: 3}}, {5: {fret: 2, finger: 2}}]]")
    _, part = moved(score, tuned("drop D"))
    assert [event[0][2] for event in notes_of(part)] == ["", "2"]


def test_fewer_strings_take_what_they_can():
    score = read("  - notes: [1/2: [{1: 3}, {4: 5}]]")
    _, part = moved(score, PRESETS["baritone-ukulele"])
    assert spots(part) == [[(1, 3)], [(4, 5)]]


def test_parts_that_share_a_key_move_together_or_not_at_all():
    head = "parts:\n  - {id: a, instrument: guitar}\n  - {id: v, instrument: voice}"
    score = read("  - parts: {a: {notes: [1/1: {1: 3}]}, v: {notes: [1/1: C5]}}", head)
    capo = GUITAR._replace(capo=2)
    with pytest.raises(ValueError, match="all parts share"):
        move_score(score, {"a": capo}, NO_INTERVAL, USUAL)


def test_voices_go_along_with_the_key():
    head = "key: C major\nparts:\n  - {id: a, instrument: guitar}\n  - {id: v, instrument: voice}"
    score = read("  - parts: {a: {notes: [1/1: {1: 3}]}, v: {notes: [1/1: C5]}}", head)
    after = move_score(score, {}, interval_of(2, parse_key("C major")), USUAL).score
    assert after.parts[1].measures[0].voices[0].events[0].notes[0].pitch.name == "D5"


FAR_KEYS = """\
  - notes: [1/4: [C4, E4, G4, C5]]
  - {key: A major, chord: A, notes: [1/4: [A4, C#5, E5, A4]]}
"""


def test_notes_and_chords_are_spelled_for_the_key_that_their_measure_gets():
    """A major six fifths up would have nine sharps: it becomes E flat major, on the circle of fifths."""
    score = read(FAR_KEYS, "key: C major\nshapes: {A: x 0 2 2 2 0}")
    after, part = moved(score, interval=interval_between(parse_key("C major"), parse_key("F# major")))
    assert [measure.key.name for measure in after.measures] == ["F# major", "Eb major"]
    names = [
        [note.pitch.name for event in content.voices[0].events for note in event.notes]
        for content in part.measures
    ]
    assert names == [["F#4", "A#4", "C#5", "F#5"], ["Eb5", "G5", "Bb5", "Eb5"]]
    (chord,) = after.parts[0].measures[1].chords
    assert chord.name.text == "Eb"
    assert [named.name.text for named in after.shapes] == ["Eb"]
    assert chord.shape == after.shapes[0].shape


def test_a_chord_under_two_keys_keeps_its_shape_under_both_its_new_names():
    score = read(FAR_KEYS.replace("- notes", "- chord: A\n    notes"), "shapes: {A: x 0 2 2 2 0}")
    after, _ = moved(score, interval=interval_between(parse_key("C major"), parse_key("F# major")))
    assert [named.name.text for named in after.shapes] == ["D#", "Eb"]
    assert all(content.chords[0].shape is not None for content in after.parts[0].measures)


def test_two_names_of_one_chord_become_one_again():
    score = read(
        """\
  - {chord: D#, notes: [1/1: F#4]}
  - {key: Eb major, chord: Eb, notes: [1/1: Eb4]}
""",
        "key: F# major\nshapes: {D#: x 6 8 8 8 6, Eb: x x 5 3 4 3}",
    )
    after, _ = moved(score, interval=interval_between(parse_key("F# major"), parse_key("C major")))
    assert [named.name.text for named in after.shapes] == ["A"]
    assert all(content.chords[0].shape == after.shapes[0].shape for content in after.parts[0].measures)


def test_the_fret_in_a_mark_of_a_grace_note_moves_with_it():
    score = read("  - notes: [grace 1/8: {1: {fret: 5, touched-harmonic: 12}}, 1/1: {1: 5}]")
    _, part = moved(score, tuned("whole step down"))
    grace = part.measures[0].voices[0].events[0].before.events[0].notes[0]
    assert (grace.string, grace.fret, amount_words(grace.techniques[0])) == (1, 7, "14")
