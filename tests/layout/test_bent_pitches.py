"""Which pitches a bent note shows on a staff: decided before anything is placed.

A head where it is fretted, one to which it is bent, one to which it comes back: common practice, no source.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.measures.bend_room import BentAt
from engrave.layout.measures.bent_heads import sign_after, sign_before
from engrave.layout.measures.bent_pitches import BentPitchReader, decide_bent_pitches
from engrave.score.structure import Note
from engrave.score.techniques import Bend
from engrave.theory.accidentals import AccidentalMemory
from engrave.theory.bends import parse_bend
from engrave.theory.key import Key
from engrave.theory.pitch import Pitch, parse_pitch
from tests.reading.helpers import read

G4 = Pitch(4, 0, 4)


def shown(words, held=0):
    """What a G4 shows that is bent so: (semitones before, its own, those after), None for what is not there."""
    note = Note(G4, string=2, fret=8, techniques=(Bend(parse_bend(words, bool(held))),) if words else ())
    found = decide_bent_pitches(
        note._replace(tie_from=bool(held)), Fraction(held), lambda midi: Pitch(0, midi - 60, 4)
    )
    if found is None:
        return None
    before = found.before.midi - G4.midi if found.before is not None else None
    return before, found.main.midi - G4.midi, [later.pitch.midi - G4.midi for later in found.later]


@pytest.mark.parametrize(
    ("words", "heads"),
    [
        ("full", (0, 2, [])),
        ("1/2", (0, 1, [])),
        ("pre full", (0, 2, [])),
        ("full release", (0, 2, [0])),
        ("pre 1 1/2 release", (0, 3, [0])),
        ("full then 1 1/2", (0, 2, [3])),
        ("2 release to 1", (0, 4, [2])),
        ("full hold", (0, 2, [])),
        ("full hold release", (0, 2, [0])),
        ("full release then full release", (0, 2, [0, 2, 0])),
    ],
)
def test_a_struck_note_shows_where_it_is_fretted_to_what_it_is_bent_and_back(words, heads):
    assert shown(words) == heads


@pytest.mark.parametrize("words", ["quarter", "three quarters", "1/4 release", "1 1/4"])
def test_a_quarter_tone_has_no_head_of_its_own(words):
    assert shown(words) is None


def test_quarter_tones_among_other_steps_are_passed_over():
    assert shown("1/4 then full") == (None, 0, [2])
    assert shown("full release to 1/4") == (0, 2, [])


@pytest.mark.parametrize(
    ("words", "held", "heads"),
    [
        ("", 2, (None, 2, [])),
        ("release", 2, (None, 0, [])),
        ("release to 1/2", 2, (None, 1, [])),
        ("1 1/2", 2, (None, 3, [])),
        ("release then full", 2, (None, 0, [2])),
    ],
)
def test_a_tied_note_goes_on_where_the_bend_was_and_moves_with_its_beginning(words, held, heads):
    assert shown(words, held) == heads


def test_only_a_tied_note_whose_bend_moves_is_new_to_the_reader():
    def is_new(words):
        note = Note(
            G4, string=2, fret=8, tie_from=True, techniques=(Bend(parse_bend(words, True)),) if words else ()
        )
        return decide_bent_pitches(note, Fraction(2), lambda midi: Pitch(0, midi - 60, 4)).is_new

    assert is_new("release")
    assert not is_new("")


@pytest.mark.parametrize(
    ("words", "share"),
    [("full hold release", Fraction(2, 3)), ("full release", 0), ("pre full hold release", Fraction(1, 2))],
)
def test_a_release_after_a_hold_waits_as_long_as_it_does_when_played(words, share):
    note = Note(G4, string=2, fret=8, techniques=(Bend(parse_bend(words)),))
    (later,) = decide_bent_pitches(note, Fraction(0), lambda midi: Pitch(0, midi - 60, 4)).later
    assert later.share == share


@pytest.mark.parametrize("how", ["natural-harmonic", "dead"])
def test_what_has_no_pitch_or_another_shows_no_bend(how):
    assert pitches(f"1/1: {{3: {{fret: 7, bend: full, marks: [{how}]}}}}", "C major") == {}


def pitches(notes, key, chord=""):
    """What the first event of a measure shows, by string."""
    head = f"    chord: {chord}\n" if chord else ""
    score = read(f"score: 1\nkey: {key}\nmeasures:\n  - notes: [{notes}]\n{head}")
    part = score.parts[0].measures[0]
    event = part.voices[0].events[0]
    return BentPitchReader(part, score.measures[0].key, {}).read(event, event.onset, BentAt(0, 0))


@pytest.mark.parametrize(
    ("notes", "key", "chord", "name"),
    [
        ("1/1: 3:7 bend full", "C major", "", "E4"),
        ("1/1: 3:9 bend full", "D major", "", "F#4"),
        ("1/1: 2:1 bend 1/2", "A major", "", "C#4"),
        ("1/1: 2:8 bend 1/2", "A minor", "", "G#4"),
        ("1/1: 3:7 bend 1/2", "A minor", "", "Eb4"),
        ("1/1: 3:7 bend 1/2", "A minor", "B7", "D#4"),
        ("1/2: 3:7 bend 1/2, 1/2: 3:8 pitch D#5", "A minor", "", "D#4"),
        ("1/1: 2:6 bend full", "Bb major", "", "G4"),
    ],
)
def test_a_bent_pitch_is_spelled_by_the_measure_the_key_the_chord_or_custom(notes, key, chord, name):
    ((_, found),) = pitches(notes, key, chord).items()
    assert found.main == parse_pitch(name).transposed_octaves(1)  # as guitars are written


@given(
    st.integers(0, 17),
    st.integers(1, 6),
    st.sampled_from(["1/2", "full", "1 1/2", "2"]),
    st.sampled_from(["C major", "Eb major", "B major", "F# minor", "Ab major"]),
)
def test_the_head_of_a_bent_note_sounds_as_the_string_does(fret, string, amount, key):
    (found,) = pitches(f"1/1: {string}:{fret} bend {amount}", key).values()
    assert found.main.midi == found.before.midi + parse_bend(amount)[0].semitones
    assert abs(found.main.alter) < 2


def test_accidentals_follow_the_order_of_sounding():
    memory = AccidentalMemory()
    memory.start_measure(Key(0))
    bent = pitches("1/1: 2:8 bend 1/2 release", "A minor")
    assert sign_before(memory, bent) == {2: ""}
    sharp, _ = memory.decide(bent[2].main, False)
    assert sharp is not None
    assert sign_after(memory, bent) == {2: ("accidentalNatural",)}
