"""The short form: one grammar for what is said after a fret and in a row of events.

The grammar is the language's own; what the words mean is tested where each of them is read.
"""

import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.resources import schema_text
from engrave.score.short_form import (
    FINGERS,
    PLUCKS,
    WordsError,
    format_words,
    parse_fret,
    parse_row,
)
from engrave.score.sign_list import MARKS, TOUCHED_HARMONICS

RULES = json.loads(schema_text("score"))["$defs"]
BENDS = (
    "full",
    "1/2",
    "1 1/2",
    "pre full release",
    "full then 1 1/2",
    "full hold release to 1/2",
    "three quarters",
    "release",
)
MOVES = ("dip 1/2", "dive 2", "dive 1 1/2", "scoop", "vibrato", "scoop half")
PITCHES = ("F#4", "Db5", "C4", "B##3", "E♭4")


def typed(text):
    words = parse_fret(text)
    return [(mark.sign, mark.amount) for mark in words.typed.marks], words.typed.finger, words.typed.pitch


@pytest.mark.parametrize(
    ("text", "marks", "finger", "pitch"),
    [
        ("5 slide vibrato", [("slide", ""), ("vibrato", "")], "", ""),
        ("3 p", [("pluck", "p")], "", ""),
        ("3 finger 2", [], "2", ""),
        ("3 finger T", [], "T", ""),
        ("3 bend full", [("bend", "full")], "", ""),
        ("7 bend full release", [("bend", "full release")], "", ""),
        ("8 bend pre full release", [("bend", "pre full release")], "", ""),
        ("7 bend full then 1 1/2", [("bend", "full then 1 1/2")], "", ""),
        ("5 trill 7", [("trill", "7")], "", ""),
        ("5 trill", [("trill", "")], "", ""),
        ("8 vibrato-bar dip 1/2", [("vibrato-bar", "dip 1/2")], "", ""),
        ("8 vibrato-bar vibrato vibrato", [("vibrato-bar", "vibrato"), ("vibrato", "")], "", ""),
        ("3 artificial-harmonic 15", [("artificial-harmonic", "15")], "", ""),
        ("3 tapped-harmonic 17", [("tapped-harmonic", "17")], "", ""),
        ("3 touched-harmonic 12", [("touched-harmonic", "12")], "", ""),
        ("3 pitch F#4", [], "", "F#4"),
        ("x p", [("dead", ""), ("pluck", "p")], "", ""),
        ("tie bend release", [("bend", "release")], "", ""),
        (
            "7 i bend 1/2 then full finger 3 vibrato",
            [("pluck", "i"), ("bend", "1/2 then full"), ("vibrato", "")],
            "3",
            "",
        ),
    ],
)
def test_all_that_a_player_says_in_words_stands_after_a_fret(text, marks, finger, pitch):
    assert typed(text) == (marks, finger, pitch)


@pytest.mark.parametrize(
    ("text", "index", "what", "hint"),
    [
        ("3 bend", 1, "a bend needs an amount", "for example 3 bend full"),
        ("3 bend vibrato", 1, "a bend needs an amount", "for example 3 bend full"),
        ("3 bend fulll", 2, '"fulll" is not understood after bend', 'did you mean "full"?'),
        ("8 vibrato-bar", 1, "a vibrato-bar needs its move", "for example 8 vibrato-bar dip 1/2"),
        ("8 vibrato-bar drive", 2, '"drive" is not understood after vibrato-bar', 'did you mean "dive"?'),
        ("3 finger", 1, "a finger is missing after finger", "for example 3 finger 2"),
        (
            "3 finger 7",
            2,
            '"7" is not understood after finger',
            "fingers are 1 to 4, T for the thumb, 0 for an open string",
        ),
        (
            "3 tapped-harmonic",
            1,
            "this tapped-harmonic needs the fret where the string is touched",
            "for example 3 tapped-harmonic 15",
        ),
        ("3 pitch slide", 1, "a pitch is missing after pitch", "for example 3 pitch F#4"),
        ("3 vibrato hamer-on", 2, '"hamer-on" is not a mark', 'did you mean "hammer-on"?'),
        ("3 Vibrato", 1, '"Vibrato" is not a mark', 'did you mean "vibrato"?'),
        ("3 P", 1, '"P" is not a mark', 'did you mean "p"?'),
        ("3 pluck p", 1, '"pluck" is not needed', "the letter says it: 3 p"),
        ("8 dip 1/2", 1, '"dip" is a move of the vibrato bar', "write 8 vibrato-bar dip"),
        ("7 full", 1, '"full" has no word before it', "for example 7 bend full"),
        ("7 1/2", 1, '"1/2" has no word before it', "for example 7 bend full"),
        ("3 2", 1, '"2" has no word before it', "for example 3 finger 2, or 3 trill 5"),
        ("3 finger 1 finger 2", 3, '"finger" is written twice after one fret', "write it once"),
        ("3 p i", 2, '"pluck" is written twice after one fret', "write it once"),
        ("two", 0, '"two" is not a fret', "write a number, x for a dead note, or tie"),
        ("tie pitch F#4", 0, "a held note keeps its spelling", "write pitch where the note is struck"),
    ],
)
def test_a_wrong_word_is_named_with_what_would_be_right(text, index, what, hint):
    with pytest.raises(WordsError) as caught:
        parse_fret(text)
    assert (caught.value.index, str(caught.value), caught.value.hint) == (index, what, hint)


@given(st.text(st.sampled_from("qwzjkuhy"), min_size=4, max_size=12))
def test_no_answer_lists_every_mark(word):
    with pytest.raises(WordsError) as caught:
        parse_fret(f"3 {word}")
    assert sum(mark in caught.value.hint.split() for mark in MARKS) <= 4


WORDS = st.one_of(
    st.sampled_from(MARKS),
    st.sampled_from(PLUCKS),
    st.sampled_from(FINGERS).map("finger {}".format),
    st.sampled_from(BENDS).map("bend {}".format),
    st.sampled_from(MOVES).map("vibrato-bar {}".format),
    st.sampled_from(TOUCHED_HARMONICS).map("{} 15".format),
    st.sampled_from(PITCHES).map("pitch {}".format),
    st.just("trill 7"),
)


def key(word):
    """What may stand once after a fret."""
    first = word.split()[0]
    return "pluck" if first in PLUCKS else first


SAID = st.lists(WORDS, max_size=5, unique_by=key)
FRETS = st.sampled_from(["0", "3", "24", "2.7", "x"])


@given(FRETS, SAID)
def test_words_stand_in_any_order_and_are_written_as_they_are_read(fret, words):
    marks, finger, pitch = typed(" ".join([fret, *words]))
    again = format_words(
        [(name, amount) for name, amount in marks if (name, fret) != ("dead", "x")], finger, pitch
    )
    assert sorted(" ".join(again).split()) == sorted(
        " ".join(word for word in words if (word, fret) != ("dead", "x")).split()
    )
    rest = typed(" ".join(["3", *again]))
    assert rest == ([mark for mark in marks if (mark[0], fret) != ("dead", "x")], finger, pitch)


# --- Rows of events.


def test_a_row_holds_events_one_after_the_other():
    row = parse_row("3:0 5:3+4:2 rest tie slash F#4 C4+E4")
    assert [event.kind.value for event in row] == [
        "notes",
        "notes",
        "rest",
        "tie",
        "slash",
        "pitches",
        "pitches",
    ]
    assert [[(note.string, note.words.fret) for note in event.notes] for event in row[:2]] == [
        [(3, 0)],
        [(5, 3), (4, 2)],
    ]
    assert row[-1].pitches == ("C4", "E4")


def test_words_belong_to_the_event_before_them():
    row = parse_row("3:7 bend full then 1 1/2 3:5 pitch C5 tie bend release rest fermata")
    assert [event.text for event in row] == [
        "3:7 bend full then 1 1/2",
        "3:5 pitch C5",
        "tie bend release",
        "rest fermata",
    ]
    assert [event.at for event in row] == [0, 6, 9, 12]


def test_after_a_chord_marks_of_notes_are_those_of_each_and_others_those_of_the_event():
    chord = parse_row("6:5+5:5 slide accent")[0]
    assert [[mark.sign for mark in note.words.typed.marks] for note in chord.notes] == [["slide"], ["slide"]]
    assert [mark.sign for mark in chord.typed.marks] == ["accent"]


@pytest.mark.parametrize(
    ("text", "at", "what"),
    [
        ("3:0 3-2", 1, '"3-2" is not understood'),
        ("9:0", 0, "there is no string 9"),
        ("0:3", 0, "there is no string 0"),
        ("3:0 4:two", 1, '"two" is not a fret'),
        ("5:3+4", 0, '"4" is not a string and fret'),
        ("5:3 + 4:2", 1, '"+" stands alone'),
        ("5:3+4:2 finger 1", 1, '"finger" belongs to one note of this chord'),
        ("5:3+4:2 vibrato bend full", 2, '"bend" belongs to one note of this chord'),
        ("3:0 rest p", 2, '"p" cannot stand after a rest'),
        ("C4 finger 1", 1, '"finger" cannot stand after a pitch'),
        ("slash bend full", 1, '"bend" cannot stand after a slash'),
        ("rset", 0, '"rset" is not an event'),
        ("", 0, '"" is not an event'),
    ],
)
def test_what_is_wrong_in_a_row_is_told_at_its_word(text, at, what):
    errors = [event.error for event in parse_row(text) if event.error is not None]
    assert [(error.index, str(error)) for error in errors] == [(at, what)]
    assert errors[0].hint


def test_every_event_of_a_row_has_its_own_mistake():
    row = parse_row("3:0 hamer 9:9 3:2 rest q")
    assert [event.error is not None for event in row] == [True, True, False, True]


NOTES = st.builds("{}:{}".format, st.integers(1, 8), FRETS)
SINGLE = st.builds(lambda note, words: " ".join([note, *words]), NOTES, SAID)
PLAIN = st.lists(st.sampled_from(MARKS), max_size=2, unique=True)
HEADS = st.one_of(
    st.lists(NOTES, min_size=2, max_size=4).map("+".join),
    st.lists(st.sampled_from(PITCHES), min_size=1, max_size=3).map("+".join),
    st.sampled_from(["rest", "slash", "tie"]),
)
EVENTS = st.one_of(SINGLE, st.builds(lambda head, words: " ".join([head, *words]), HEADS, PLAIN))


@given(st.lists(EVENTS, min_size=1, max_size=6))
def test_every_row_is_cut_where_its_events_start(events):
    row = parse_row(" ".join(events))
    assert [event.text for event in row] == events
    assert [event.error for event in row] == [None] * len(events)


# --- Editors know the grammar from the schema: it takes what the reader takes, and flags words that it does not know.


def flags(rule, text):
    return re.search(RULES[rule]["pattern"], text) is None


@given(FRETS, SAID)
def test_the_schema_takes_what_the_reader_takes_after_a_fret(fret, words):
    assert not flags("words", " ".join([fret, *words]))


@given(st.lists(EVENTS, min_size=1, max_size=6))
def test_the_schema_takes_every_row_that_the_reader_takes(events):
    assert not flags("row", " ".join(events))


@given(
    SINGLE,
    st.sampled_from(
        ["hamer-on", "q", "fulll", "finger", "bend", "vibrato-bar", "tapped-harmonic", "pitch", "3-2", "9:1"]
    ),
)
def test_schema_and_reader_refuse_the_same_misspelt_words(event, word):
    assert any(row.error is not None for row in parse_row(f"{event} {word}"))
    assert flags("row", f"{event} {word}")
    fret = event.partition(":")[2]
    with pytest.raises(WordsError):
        parse_fret(f"{fret} {word}")
    assert flags("words", f"{fret} {word}")


@given(SINGLE, st.data())
def test_what_the_schema_flags_the_reader_refuses(event, data):
    words = event.split()
    words[data.draw(st.integers(0, len(words) - 1))] = data.draw(
        st.sampled_from(["hamer-on", "bend", "9", "fulll", "9:1", "1:", "to"])
    )
    text = " ".join(words)
    if flags("row", text):
        assert any(row.error is not None for row in parse_row(text)), text
