"""Braille music against printed worked examples, against a second opinion, and against the rules of lines.

"De Garmo" is Mary Turner De Garmo, Introduction to Braille Music Transcription (2005), by chapter and example, as the tests of
music21 quote it; the notes are in this language. All other cells are from memory of the New International Manual of Braille
Music Notation (1996), by chapter.
"""

import pytest

from engrave.exchange.braille.beside import chord_cells
from engrave.exchange.braille.literary import expression, literary
from engrave.exchange.braille.measures import PartWriter, join_pieces, key_cells, time_cells
from engrave.exchange.braille.signs import as_ascii, cells
from engrave.exchange.braille.writer import Sheet, write_braille
from engrave.exchange.words.speech import speaker_of
from engrave.reading.load import load_score
from engrave.theory.chord_name import parse_chord_name
from engrave.theory.key import Key
from engrave.theory.metre import parse_metre
from tests.reading.helpers import read

SPACE = "\u2800"


def sample_at(path):
    """The score in a file, which is right."""
    return load_score(str(path))[0]


def piece(music, head="", instrument="voice"):
    """A score of measures (texts of notes)."""
    measures = "".join(f"  - {{notes: [{notes}]}}\n" for notes in music)
    return read(f"score: 1\ninstrument: {instrument}\n{head}measures:\n{measures}")


def lines(score, **sheet):
    """The lines of music, without titles, headings and numbers."""
    text, _ = write_braille(score, Sheet(**sheet))
    return [line.split(" ", 1)[1] for line in text.splitlines() if line.startswith("⠼") and " " in line]


def music(score, index=0):
    """The cells of one measure at the start of a line."""
    return join_pieces(PartWriter(score, score.parts[0], speaker_of("en")).measure(index, (), True))


# --- Printed examples.

PRINTED = {
    "3-1, without octave marks; measure 1": (["1/4: D5 B4 G4 B4"], "", "⠨⠱⠺⠳⠺"),
    "4-4, a tie": (["1/2: F4, 1/4.: tie, 1/8: F4"], "", "⠐⠟⠈⠉⠻⠄⠛"),
    "4-5, a tie and dots": (["1/4.: G4, 1/8: [tie, A4, G4]"], "time: 3/4\n", "⠐⠳⠄⠈⠉⠓⠊⠓"),
    "6-2, a double sharp": (["1/4: G#4 F##4, 1/2: G#4"], "", "⠩⠐⠳⠩⠩⠻⠗"),
    "7-3a, a third has no octave mark": (["1/4: C4 E4"], "time: 2/4\n", "⠐⠹⠫"),
    "12-4, short slurs in a long one": (
        [
            "1/4.: {pitch: E5, marks: [phrase, slur]}, 1/4: C5, 1/8: {pitch: G5, marks: [end-slur]}, "
            "1/4.: {pitch: G5, marks: [slur]}, 1/4: F5, 1/8: {pitch: E5, marks: [end-slur, end-phrase]}"
        ],
        "time: 12/8\n",
        "⠰⠃⠨⠫⠄⠉⠹⠉⠓⠳⠄⠉⠻⠉⠋⠘⠆",
    ),
    "12-10, a long slur, then a tie": (
        [
            "1/8: [{pitch: E5, marks: [slur]}, F5, G5, F5, E5, D5]",
            "1/2.: {pitch: C5, marks: [end-slur]}",
            "1/4: [tie, rest, rest]",
        ],
        "time: 3/4\n",
        "⠰⠃⠨⠋⠛⠓⠛⠋⠑ ⠝⠄⠘⠆⠈⠉ ⠹⠧⠧",
    ),
    "14-8, accent before tenuto": (
        [
            "1/4: [{pitch: G3, marks: [tenuto, accent]}, {pitch: B3, marks: [tenuto, accent]}, {pitch: C4, marks: [tenuto, accent]}]"
        ],
        "time: 3/4\n",
        "⠨⠦⠸⠦⠸⠳⠨⠦⠸⠦⠺⠨⠦⠸⠦⠹",
    ),
    "15-7, a group of sixteenths": (
        ["1/16: G4 D5 C5 B4, 1/4: C5", "1/16.: G4, 1/32: F4, 1/16: E4 D4, 1/4: E4"],
        "time: 2/4\n",
        "⠐⠷⠨⠑⠙⠚⠹ ⠐⠷⠄⠟⠯⠵⠫",
    ),
    "15-9, a rest begins a group and does not stand in one": (
        [
            "1/16: rest D5 C5 B4 C5 D5 E5 C5",
            "1/16: B4 C5 B4 A4 G4 F#4 G4 rest",
            "1/16: G5 F#5 E5 D5 C5 rest B4 A4",
            "1/2: G4",
        ],
        "time: 2/4\nkey: G major\n",
        "⠍⠨⠑⠙⠚⠽⠑⠋⠙ ⠾⠙⠚⠊⠷⠿⠷⠍ ⠨⠷⠛⠋⠑⠽⠍⠾⠮ ⠗",
    ),
    "17-3, a measure again": (["1/4: C4 E4 G4"] * 3 + ["1/2.: C5"], "time: 3/4\n", "⠐⠹⠫⠳ ⠶ ⠶ ⠨⠝⠄"),
    "17-4, after a repeat the last note counts": (
        ["1/4: C4 E4 G4"] * 3 + ["1/2.: A4"],
        "time: 3/4\n",
        "⠐⠹⠫⠳ ⠶ ⠶ ⠎⠄",
    ),
    "26-1a, a chord read down": (["1/1: G5+D5+B4+G4"], "", "⠨⠷⠼⠴⠤"),
    "26-2, a chord wider than an octave": (["1/1: G5+B4+D4"], "", "⠨⠷⠴⠼"),
}


@pytest.mark.parametrize("example", PRINTED)
def test_printed_examples_of_de_garmo(example):
    notes, head, expected = PRINTED[example]
    assert lines(piece(notes, head))[0].removesuffix("⠣⠅") == expected


@pytest.mark.parametrize(
    ("notes", "head", "expected"),
    [
        (
            ["1/4: 3:2 finger 4, 1/4: 4:5 finger 3", "1/4.: 4:3 finger 2, 1/8: 5:3 finger 1"],
            "time: 2/4\nkey: F major\n",
            "⠐⠪⠂⠳⠇ ⠻⠄⠃⠙⠁",
        ),
        (["1/2.: 5:3 finger 1", "1/4.: tie, 1/4: 4:3 finger 2, 1/8: 4:5"], "time: 6/8\n", "⠐⠝⠄⠁⠈⠉ ⠹⠄⠻⠃⠓"),
    ],
)
def test_fingers_follow_the_note_and_ties_the_finger(notes, head, expected):
    # De Garmo, examples 9-1 and 9-3
    assert lines(piece(notes, f"view: staff\n{head}", "guitar"))[0].removesuffix("⠣⠅") == expected


def test_a_bass_chord_is_read_up():
    # De Garmo, example 26-2, the left hand
    score = piece(["1/1: G2+D3+B3"], instrument="voice-bass")
    assert music(score).removesuffix("⠣⠅") == "⠘⠷⠔⠬"


@pytest.mark.parametrize("fifths", range(-7, 8))
def test_key_signatures(fifths):
    # De Garmo, example 8-1: up to three signs one by one, then their number and one
    sign = "⠩" if fifths > 0 else "⠣"
    number = dict(zip(range(4, 8), "⠙⠑⠋⠛"))
    expected = sign * abs(fifths) if abs(fifths) < 4 else f"⠼{number[abs(fifths)]}{sign}"
    assert key_cells(Key(fifths)) == expected


@pytest.mark.parametrize(
    ("key", "time", "expected"),
    [
        (1, "2/4", "⠩⠼⠃⠲"),
        (-3, "3/4", "⠣⠣⠣⠼⠉⠲"),
        (4, "3/8", "⠼⠙⠩⠼⠉⠦"),
        (0, "6/8", "⠼⠋⠦"),
        (0, "C", "⠨⠉"),
        (0, "cut C", "⠸⠉"),
        (-3, "12/8", "⠣⠣⠣⠼⠁⠃⠦"),
    ],
)
def test_key_and_time(key, time, expected):
    # De Garmo, examples 8-5, 8-6 and 8-9
    assert key_cells(Key(key)) + time_cells(parse_metre(time)) == expected


def test_the_heading_has_tempo_number_key_and_time():
    # De Garmo, example 8-9
    head = "key: Eb major\ntime: 12/8\ntempo: Andante, 1/8 = 132\n"
    text, _ = write_braille(piece(["1/1.: C4"], head), Sheet())
    assert "⠠⠁⠝⠙⠁⠝⠞⠑⠲ ⠙⠶⠼⠁⠉⠃ ⠣⠣⠣⠼⠁⠃⠦" in text


# --- Signs, from memory of the manual.


@pytest.mark.parametrize(
    ("notes", "expected"),
    [
        ("1/1: C4", "⠐⠽"),
        ("1/2: C4 E4", "⠐⠝⠏"),
        ("1/4: C4 D4 E4 F4", "⠐⠹⠱⠫⠻"),
        ("1/8: C4 D4 E4 F4 G4 A4 B4 C5", "⠐⠙⠑⠋⠛⠓⠊⠚⠙"),
        ("1/4..: C4, 1/16: D4, 1/2: E4", "⠐⠹⠄⠄⠵⠏"),
        ("1/2: rest, 1/4: rest, 1/8: rest rest", "⠥⠧⠭⠭"),
        ("3 in 2 of 1/4: [C4, D4, E4], 1/2: F4", "⠆⠐⠹⠱⠫⠟"),
        ("5 in 4 of 1/8: [C4, D4, E4, F4, G4], 1/2: F4", "⠸⠢⠄⠐⠙⠑⠋⠛⠓⠟"),
        ("1/2: {pitch: C4, marks: [staccato]}, 1/2: {pitch: D4, marks: [fermata]}", "⠦⠐⠝⠕⠣⠇"),
        ("1/1: {pitch: C4, marks: [trill]}", "⠖⠐⠽"),
        ("grace 1/8: C4, 1/1: D4", "⠢⠐⠙⠵"),
    ],
)
def test_values_rests_tuplets_and_signs(notes, expected):
    assert music(piece([notes])).removesuffix("⠣⠅") == expected


@pytest.mark.parametrize(
    ("octave", "mark"), [(1, "⠈"), (2, "⠘"), (3, "⠸"), (4, "⠐"), (5, "⠨"), (6, "⠰"), (7, "⠠")]
)
def test_octave_marks(octave, mark):
    assert music(piece([f"1/1: C{octave}"])).startswith(f"{mark}⠽")


@pytest.mark.parametrize(
    ("second", "mark"),
    [
        ("D5", ""),
        ("E5", ""),
        ("F5", ""),
        ("G5", ""),
        ("A5", "⠨"),
        ("B4", ""),
        ("A4", ""),
        ("G4", "⠐"),
        ("F4", "⠐"),
        ("E4", "⠐"),
    ],
)
def test_octave_marks_follow_the_interval(second, mark):
    # none for seconds and thirds, for fourths and fifths where the octave is another, always from sixths on
    found = music(piece([f"1/2: C5 {second}"])).removesuffix("⠣⠅")
    assert found[2:-1] == mark


def test_every_line_begins_with_an_octave_mark():
    score = piece(["1/8: C4 D4 E4 F4 G4 F4 E4 D4", "1/8: D4 E4 F4 G4 A4 G4 F4 E4"] * 6)
    found = lines(score)
    assert len(found) > 2
    assert all(line.startswith("⠐") for line in found)


def test_accidentals_hold_to_the_end_of_the_measure():
    score = piece(["1/4: F#4 F#4 F4 F#4", "1/4: F#4 F4 F4 E4"])
    assert music(score) == "⠩⠐⠻⠻⠡⠻⠩⠻"
    assert music(score, 1).startswith("⠩⠐⠻⠡⠻⠻⠫")


def test_two_voices_stand_one_after_the_other_with_the_sign_of_an_in_accord():
    score = read("score: 1\nview: staff\nmeasures: [{notes: [1/1: 1:0], lower: [1/2: 6:0 6:3]}]\n")
    assert music(score) == "⠨⠯⠣⠜⠸⠏⠗⠣⠅"


def test_repeats_and_endings():
    score = read(
        "score: 1\ninstrument: voice\nmeasures: [{repeat: start, notes: [1/1: C4]}, {ending: 1, repeat: end, notes: [1/1: D4]}, "
        "{ending: 2, notes: [1/1: E4]}]\n"
    )
    assert lines(score) == ["⠣⠶⠐⠽ ⠼⠂⠐⠵⠣⠆ ⠼⠆⠐⠯⠣⠅"]


def test_long_rests_are_numbers():
    score = read(
        "score: 1\ninstrument: voice\nmeasures: [{multiple-rest: 3}, {multiple-rest: 12}, {notes: [1/1: E4]}]\n"
    )
    assert lines(score) == ["⠍⠍⠍ ⠼⠁⠃⠍ ⠐⠯⠣⠅"]


def test_values_that_share_a_cell_in_one_measure_are_told_apart():
    notes = "1/2: C4, 1/32: D4 E4 F4 G4, 1/8: A4, 1/4: B4"
    assert music(piece([notes])).startswith("⠘⠣⠂⠐⠝⠠⠣⠂")


def test_with_a_tab_strings_are_told_where_they_change():
    tab = read("score: 1\nmeasures: [{notes: [1/4: 3:0 3:2 2:1 1:0]}]\n")
    staff = read("score: 1\nview: staff\nmeasures: [{notes: [1/4: 3:0 3:2 2:1 1:0]}]\n")
    assert music(tab) == "⠩⠇⠐⠳⠪⠩⠃⠹⠩⠁⠫⠣⠅"
    assert music(staff) == "⠐⠳⠪⠹⠫⠣⠅"


def test_joins_are_slurs_with_the_letters_of_print():
    score = read("score: 1\nview: staff\nmeasures: [{notes: [1/2: 3:0, 1/2: 3:2 hammer-on]}]\n")
    assert music(score) == "⠐⠗⠉⠜⠓⠐⠎⠣⠅"


def test_a_word_is_parted_from_what_would_be_its_next_letter():
    score = read(
        "score: 1\ninstrument: voice\nmeasures: [{dynamics: {1: f, 3: p}, notes: [1/2: C#4, 1/2: D4]}]\n"
    )
    assert music(score) == "⠜⠋⠄⠩⠐⠝⠜⠏⠐⠕⠣⠅"


# --- Words.


def test_letters_capitals_and_numbers():
    assert literary("Op. 12b, CD") == "⠠⠕⠏⠲ ⠼⠁⠃⠰⠃⠂ ⠠⠠⠉⠙"


def test_expressions_of_several_words_are_closed():
    assert expression("rit.") == "⠜⠗⠊⠞⠄"
    assert expression("a tempo") == "⠜⠁ ⠞⠑⠍⠏⠕⠜"


@pytest.mark.parametrize(
    ("name", "expected"),
    [("G", "⠠⠛"), ("F#m7b5/E", "⠠⠋⠩⠍⠼⠛⠣⠼⠑⠌⠠⠑"), ("Bbsus4", "⠠⠃⠣⠎⠥⠎⠼⠙"), ("N.C.", "⠠⠝⠲⠠⠉⠲")],
)
def test_chord_names(name, expected):
    assert chord_cells(parse_chord_name(name)) == expected


def test_sung_words_stand_over_their_music():
    score = read("score: 1\ninstrument: voice\nmeasures: [{notes: [1/2: C4 D4], lyrics: Lan-tern}]\n")
    text, _ = write_braille(score, Sheet())
    assert text.splitlines()[-2:] == ["⠼⠁ ⠠⠇⠁⠝⠞⠑⠗⠝", "   ⠐⠝⠕⠣⠅"]


# --- ASCII Braille.


def test_ascii_braille():
    # BRF, North American ASCII Braille (common practice): every cell has a character of its own
    every = "".join(chr(0x2800 + number) for number in range(64))
    assert len(set(as_ascii(every))) == 64
    assert as_ascii(cells("1 12 14 145 15 3456 126 345")) == "ABCDE#<>"
    assert as_ascii("⠼⠁ ⠐⠹\n") == '#A "?\n'
