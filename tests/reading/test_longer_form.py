"""The keys beside a fret: bends, the vibrato bar, harmonics; grace notes; slashes."""

from fractions import Fraction

import pytest

from engrave.score.sign_list import SignName
from engrave.score.techniques import technique_words
from tests.reading.helpers import events, measure, problems, read


def note(text, event=0, head=""):
    return events(measure(text, head))[event].notes[0]


def test_a_bend_is_kept_as_it_is_written():
    techniques = note("[1/1: {3: {fret: 7, bend: pre full release}}]").techniques
    assert [technique_words(technique) for technique in techniques] == ["bend pre full release"]


def test_a_held_string_may_be_released():
    held = note("[1/2: {3: {fret: 7, bend: full}}, 1/2: {3: {fret: tie, bend: release}}]", event=1)
    assert held.tie_from
    assert held.has(SignName.BEND)


@pytest.mark.parametrize(
    ("fret", "sounding"),
    [(12, "E6"), (7, "B6"), (5, "E7"), (4, "G#7"), (9, "G#7")],
)  # partials 2, 3, 4, 5 of E4, written an octave up: 12 log2(n) semitones, to the nearest tempered pitch
def test_natural_harmonics_of_the_first_string(fret, sounding):
    harmonic = note(f"[1/1: {{1: {fret} natural-harmonic}}]", head="key: E major\n")
    assert harmonic.sounding.name == sounding


def test_the_third_harmonic_of_the_fifth_string_sounds_e4():
    """Strings of A2, touched at fret VII or XIX (T. D. Rossing, The Science of String Instruments, from memory)."""
    for fret in (7, 19):
        assert note(f"[1/1: {{5: {fret} natural-harmonic}}]").sounding.transposed_octaves(-1).name == "E4"


def test_a_node_may_lie_between_two_frets():
    harmonic = note("[1/1: {6: 2.7 natural-harmonic}]")
    assert harmonic.sounding.transposed_octaves(-1).name == "D5"  # the seventh partial of E2: 34 semitones
    assert technique_words(harmonic.techniques[0]) == "natural-harmonic 2.7"


def test_an_artificial_harmonic_twelve_frets_up_sounds_the_octave():
    harmonic = note("[1/1: {2: {fret: 3, artificial-harmonic: 15}}]")
    assert harmonic.sounding == harmonic.pitch.transposed_octaves(1)


def test_grace_notes_belong_to_the_note_after_them_and_take_no_time():
    main = events(
        measure(
            "[grace 1/16: [{2: 1}, {2: 3}], 1/2: {2: 5}, appoggiatura 1/8: {2: 3}, 1/2: {2: 1}, closing-grace 1/16: {2: 0}]"
        )
    )
    assert [e.onset for e in main] == [0, Fraction(1, 2)]
    assert [len(e.before.events) for e in main] == [2, 1]
    assert [e.before.slashed for e in main] == [True, False]
    assert main[1].after.events[0].notes[0].fret == 0
    assert all(g.length == 0 for e in main for g in e.before.events)


def test_a_hammer_on_from_a_grace_note_has_its_start():
    assert problems(measure("[grace 1/8: {2: 1}, 1/1: {2: 3 hammer-on}]")) == []


def test_a_slash_has_marks_but_no_string():
    slash = note("[1/4: [slash strum-down, slash, slash, slash strum-up]]")
    assert slash.is_slash
    assert slash.has(SignName.STRUM_DOWN)
    assert slash.string == 0


@pytest.mark.parametrize(
    ("notes", "message"),
    [
        ("[1/1: {3: {fret: 7, bend: full then half}}]", "release to 1/2"),
        ("[1/1: {3: {fret: 7, bend: fulll}}]", "fulll"),
        ("[1/1: {3: {fret: 7, bend: release}}]", "release"),
        ("[1/1: {3: {fret: 7, vibrato-bar: drive 2}}]", 'did you mean "dive"?'),
        ("[1/1: {3: {fret: 7, vibrato-bar: vibrato 2}}]", "has no amount"),
        ("[1/1: {3: {fret: 7, artificial-harmonic: 7}}]", "cannot be touched at 7"),
        ("[1/1: {3: {fret: 7, artificial-harmonic: 8}}]", "no harmonic"),
        ("[1/1: {3: 11 natural-harmonic}]", "12, 7, 5"),
        ("[1/1: {3: 6.5}]", "6.5 is not a fret"),
        ("[1/1: slash strumdown]", 'did you mean "strum-down"?'),
        ("[grace 1/8: {2: 1}, 1/1: rest]", "grace notes stand before a note"),
        ("[1/1: {2: 1}, grace 1/8: {2: 1}]", "there is no note after these grace notes"),
        ("[closing-grace 1/8: {2: 1}, 1/1: {2: 1}]", "there is no note before these grace notes"),
        ("[grace 1/8: rest, 1/1: {2: 1}]", "a grace note needs a pitch"),
        ("[1/1: {}]", '"1/1" is empty (measure 1); for example: 3:0'),
        ("[1/1: []]", '"1/1" needs at least 1 entry (measure 1); for example: 3:0'),
        ("[1/2: [{}, 1:3]]", "this item is empty (measure 1)"),
        ("[3 in 2 of 1/2: [1:3, {}, 1:3]]", "this item is empty (measure 1)"),
        ("[1/1: {3: {fret: 7 bend full, bend: 1/2}}]", '"bend" is written twice'),
        ("[1/1: {3: 7 trill, 2: {fret: 7 trill, trill: 9}}]", '"trill" is written twice'),
    ],
)
def test_what_is_wrong_is_said_once_where_it_stands(notes, message):
    found = problems(measure(notes))
    assert len(found) == 1, found
    assert message in found[0]
    assert found[0].startswith("f:3:")


@pytest.mark.parametrize(
    "content",
    [
        "{1: 3 accent, marks: [accent]}",
        "{1: 3, marks: accent accent}",
        "{1: {fret: 3 accent, marks: accent}}",
        "1:3 accent accent",
        "rest fermata fermata",
        "E4 accent accent",
    ],
)
def test_a_mark_that_is_written_twice_is_kept_once_and_told(content):
    text = measure(f"[1/1: {content}]")
    (event,) = events(text)
    assert (
        len(event.signs)
        == len([*event.techniques, *(t for note in event.notes for t in note.techniques)])
        == 1
    )
    (told,) = problems(text)
    assert "is written twice (Guitar, measure 1, beat 1); write it once" in told


def test_accidentals_of_harmonics_are_spelled_by_their_interval():
    harmonic = note("[1/1: {3: {fret: 1, tapped-harmonic: 20}}]", head="key: Ab major\n")
    assert (harmonic.pitch.name, harmonic.sounding.name) == ("Ab4", "Eb6")


def test_measures_can_stand_for_rests_and_repeat_others():
    score = read(
        "score: 1\nmeasures:\n  - multiple-rest: 8\n  - notes: [1/1: {1: 0}]\n  - measure-repeat: 1\n"
    )
    assert [m.number for m in score.measures] == [1, 9, 10]
    assert score.measures[0].rests == 8
    assert [m.repeats for m in score.parts[0].measures] == [0, 0, 1]


@pytest.mark.parametrize(
    ("measures", "message"),
    [
        ("[{measure-repeat: 1}]", "there are not 1 measure before this to repeat"),
        ("[{notes: rest}, {notes: rest}, {measure-repeat: 2}]", "only 1 of 2 measures are repeated here"),
        ("[{notes: rest}, {measure-repeat: 1, notes: [1/1: {1: 0}]}]", "has no notes of its own"),
        ("[{multiple-rest: 4, notes: [1/1: {1: 0}]}]", "has no notes of its own"),
    ],
)
def test_repeats_and_rests_that_make_no_sense(measures, message):
    found = problems(f"score: 1\nmeasures: {measures}\n")
    assert len(found) == 1, found
    assert message in found[0]


def test_shapes_are_found_by_chord_name():
    score = read("score: 1\nshapes: {G: 3 2 0 0 0 3}\nmeasures: [{chord: {1: G, 3: C}, notes: rest}]\n")
    assert [chord.shape.frets if chord.shape else None for chord in score.parts[0].measures[0].chords] == [
        (3, 2, 0, 0, 0, 3),
        None,
    ]


@pytest.mark.parametrize(
    ("shape", "message"),
    [
        ("G: 3 2 0 0 0", "string"),
        ("G: 320003", "is read as the number 320003"),
        ("G: 3 2 0 0 1 3", "warning: this shape of G sounds C"),
        ("H: 3 2 0 0 0 3", '"H'),
        ("Em7/B: x 2 2 0 3 0", None),
    ],
)
def test_shapes_are_checked_against_strings_and_chord(shape, message):
    found = problems(f"score: 1\nshapes: {{{shape}}}\nmeasures: [{{notes: rest}}]\n")
    assert len(found) == (0 if message is None else 1), found
    assert message is None or message in found[0]
