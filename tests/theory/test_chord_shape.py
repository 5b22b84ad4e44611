"""Chord shapes. Shapes: common practice, no source; their notes are checked against chord names read by music21 (open library)."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from music21 import harmony

from engrave.theory.chord_shape import ChordShape, parse_chord_shape

GUITAR = (40, 45, 50, 55, 59, 64)
SHAPES = {
    "C": "x32010",
    "A": "x02220",
    "G": "320003",
    "E": "022100",
    "D": "xx0232",
    "F": "133211",
    "Am": "x02210",
    "Em": "022000",
    "Dm": "xx0231",
    "A7": "x02020",
    "G7": "320001",
    "E7": "020100",
    "D7": "xx0212",
    "B7": "x21202",
    "Cmaj7": "x32000",
    "Amaj7": "x02120",
    "Dmaj7": "xx0222",
    "Gmaj7": "320002",
    "Fmaj7": "xx3210",
    "Em7": "022030",
    "Am7": "x02010",
    "Dm7": "xx0211",
    "Asus2": "x02200",
    "Asus4": "x02230",
    "Dsus2": "xx0230",
    "Dsus4": "xx0233",
    "Esus4": "022200",
    "A7sus4": "x02030",
    "Cadd9": "x32030",
    "G6": "320000",
    "Am6": "x02212",
    "Dm6": "xx0201",
    "E5": "022xxx",
    "A5": "x022xx",
    "D5": "xx023x",
    "Bm": "x24432",
    "F#m": "244222",
    "B": "x24442",
    "B-": "x13331",
    "Gm": "355333",
    "Cm": "x35543",
    "Bdim": "x2343x",
    "Caug": "x32110",
    "Edim7": "xx2323",
    "Bm7b5": "x2323x",
    "D/F#": "200232",
    "G/B": "x20003",
    "C/G": "332010",
    "C7": "x32310",
    "C6": "x32210",
    "E7#9": "076780",
}
WITHOUT_FIFTH = ("C7", "C6", "E7#9")
FRETS = st.lists(st.none() | st.integers(0, 30), min_size=4, max_size=8)


def spell(frets):
    return " ".join("x" if fret is None else str(fret) for fret in frets)


@pytest.mark.parametrize(("name", "frets"), SHAPES.items())
def test_a_shape_sounds_the_chord_of_its_name(name, frets):
    chord = harmony.ChordSymbol(name)
    wanted = set(chord.pitchClasses)
    if name in WITHOUT_FIFTH:
        wanted -= {(chord.root().pitchClass + 7) % 12}
    sounding = parse_chord_shape(frets).pitches(GUITAR)
    assert {note % 12 for note in sounding} == wanted
    assert sounding[0] % 12 == chord.bass().pitchClass


@given(FRETS)
def test_frets_written_out_are_read_again(frets):
    assume(any(fret is not None for fret in frets))
    shape = ChordShape(tuple(frets), ("",) * len(frets))
    assert parse_chord_shape(shape.frets_text, shape.fingers_text) == shape


def test_fingers_are_written_out_where_some_are_named():
    shape = parse_chord_shape("x 3 2 0 1 0", "0 3 2 0 1 0")
    assert (shape.frets_text, shape.fingers_text) == ("x 3 2 0 1 0", "0 3 2 0 1 0")
    assert parse_chord_shape("x32010").fingers_text == ""


def test_blanks_let_frets_have_two_digits():
    assert parse_chord_shape("10 12 12 11 10 10").frets == (10, 12, 12, 11, 10, 10)
    assert parse_chord_shape("x 3 2 0 1 0") == parse_chord_shape("X32010")


def test_fingers_with_and_without_blanks():
    wanted = ("", "3", "2", "", "1", "")
    assert parse_chord_shape("x32010", "- 3 2 - 1 -").fingers == wanted
    assert parse_chord_shape("x32010", "032010").fingers == wanted
    assert parse_chord_shape("200232", "T--132").fingers[0] == "T"
    assert parse_chord_shape("x32010").fingers == ("",) * 6


@given(FRETS)
def test_every_shape_with_a_sounding_string_reads_back(frets):
    assume(any(fret is not None for fret in frets))
    assert parse_chord_shape(spell(frets), strings=len(frets)).frets == tuple(frets)


@pytest.mark.parametrize(
    ("frets", "fingers", "strings", "words"),
    [
        ("x3201", "", 6, "has 5 strings, the instrument 6"),
        ("10121211", "", 6, "spaces between frets above 9"),
        ("320", "", None, "has 3 strings; write 4 to 8"),
        ("", "", None, "has no strings; write 4 to 8"),
        ("3 2 0 0 0 0 0 0 3", "", None, "has 9 strings; write 4 to 8"),
        ("x3a010", "", None, '"a" in the frets "x3a010" is not a fret'),
        ("x 3 2 0 -1 0", "", None, '"-1" in the frets'),
        ("x 3 ² 0 1 0", "", None, "is not a fret"),
        ("x 31 2 0 1 0", "", None, "fret 31 .* does not exist; write 0 to 30"),
        ("x 3 " + "9" * 5000 + " 0 1 0", "", None, "does not exist"),
        ("xxxxxx", "", None, "no string that sounds"),
        ("x32010", "-32-1", None, "for 5 strings, the frets .* for 6"),
        ("x32010", "-52-1-", None, '"5" in the fingers .* 1 to 4, T'),
        ("x32010", "-3221-", None, "finger 2 is on string 3, which is open"),
        ("x32010", "132-1-", None, "finger 1 is on string 6, which is not played"),
        ("320003", "31---3", None, "strings 6 to 1 at fret 3: .* open"),
        ("x43242", "-43141", None, "finger 4 cannot .* strings 5 to 2 at fret 4: .* lower"),
    ],
)
def test_wrong_shapes_are_refused_with_what_would_be_right(frets, fingers, strings, words):
    with pytest.raises(ValueError, match=words):
        parse_chord_shape(frets, fingers, strings)


@pytest.mark.parametrize(
    ("frets", "base", "rows"),
    [
        ("x32010", 1, 4),
        ("x24442", 1, 4),
        ("x35543", 3, 4),
        ("076780", 6, 4),
        ("0000", 1, 4),
        ("1xx5xx", 1, 5),
        ("x 10 x 15 12 x", 10, 6),
    ],
)
def test_the_first_row_and_the_number_of_rows(frets, base, rows):
    """Four rows from the nut if they hold everything: common practice, no source."""
    shape = parse_chord_shape(frets)
    assert (shape.base_fret, shape.rows) == (base, rows)


@given(FRETS)
def test_every_stopped_fret_has_a_row(frets):
    shape = ChordShape(tuple(frets), ("",) * len(frets))
    assert shape.rows >= 4
    assert all(shape.base_fret <= fret < shape.base_fret + shape.rows for fret in shape.stopped)


@pytest.mark.parametrize(
    ("frets", "fingers", "barres"),
    [
        ("133211", "", [(1, 0, 5)]),
        ("x24432", "", [(2, 1, 5)]),
        ("x24442", "-13331", [(2, 1, 5), (4, 2, 4)]),
        ("x02220", "--111-", [(2, 2, 4)]),
        ("x02220", "", []),
        ("x2323x", "", []),
        ("200232", "T--132", []),
        ("133211", "134211", [(1, 0, 5)]),
        ("2x2222", "1-1111", [(2, 0, 5)]),
        ("113333", "", [(1, 0, 1)]),
        ("2022222", "", []),
    ],
)
def test_barres(frets, fingers, barres):
    """Given fingers decide; without them more than four stopped strings mean a barre, which no open string may lie under."""
    assert parse_chord_shape(frets, fingers).barres == barres


@given(FRETS, st.lists(st.sampled_from(("", "1", "2", "T")), min_size=8, max_size=8))
def test_nothing_under_a_barre_sounds_below_it(frets, fingers):
    shape = ChordShape(tuple(frets), tuple(fingers[: len(frets)]))
    for fret, lowest, highest in shape.barres:
        assert lowest < highest
        assert frets[lowest] == frets[highest] == fret
        assert all(other is None or other >= fret for other in frets[lowest : highest + 1])


def test_pitches_run_from_low_to_high_in_any_tuning():
    assert parse_chord_shape("x32010").pitches(GUITAR) == (48, 52, 55, 60, 64)
    assert parse_chord_shape("0003").pitches((67, 60, 64, 69)) == (60, 64, 67, 72)  # a high fourth string
    with pytest.raises(ValueError, match="6 strings and the tuning 4"):
        parse_chord_shape("x32010").pitches((28, 33, 38, 43))
