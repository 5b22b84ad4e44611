"""Rows of events behind a duration: what they say, where their events stand, and that the longer forms say the same."""

import pytest

from tests.reading.helpers import events, measure, problems, read
from tests.writing.helpers import plain


@pytest.mark.parametrize(
    ("short", "longer"),
    [
        ("[1/4: 3:0 3:2 2:0 2:1]", "[1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]"),
        ("[1/2: 5:3+4:2+3:0 rest]", "[1/2: [{5: 3, 4: 2, 3: 0}, rest]]"),
        ("[1/2: 3:2 tie]", "[1/2: [{3: 2}, tie]]"),
        ("[1/4: [3:2 3:4, {2: 1}], 1/4: rest]", "[1/4: [{3: 2}, {3: 4}, {2: 1}, rest]]"),
        (
            "[1/2: 3:7 bend full vibrato tie bend release]",
            "[1/2: [{3: 7 bend full vibrato}, {3: tie bend release}]]",
        ),
        ("[1/2: 3:7 bend full 3:5]", "[1/2: [{3: {fret: 7, bend: full}}, {3: 5}]]"),
        ("[1/1: 3:2 accent fermata]", "[1/1: {3: 2, marks: [accent, fermata]}]"),
        ("[1/1: 3:2 accent fermata]", "[1/1: {3: 2 accent, marks: fermata}]"),
        (
            "[1/1: 6:5+5:5 slide-from-below accent]",
            "[1/1: {6: 5 slide-from-below, 5: 5 slide-from-below, marks: [accent]}]",
        ),
        (
            "[1/2: 6:5+5:5 tie vibrato accent]",
            "[1/2: [{6: 5, 5: 5}, {6: tie vibrato, 5: tie vibrato, marks: accent}]]",
        ),
        ("[1/2: 3:0+2:1 3:tie+2:3]", "[1/2: [{3: 0, 2: 1}, {3: tie, 2: 3}]]"),
        ("[1/1: rest fermata]", "[1/1: {marks: fermata}]"),
        ("[1/2: C5 C4+E4+G4 accent]", "[1/2: [{pitch: C5}, {pitch: [C4, E4, G4], marks: [accent]}]]"),
        ("[1/4: slash strum-down slash slash tie]", "[1/4: [slash strum-down, slash, slash, tie]]"),
        ("[grace 1/16: 2:1 2:3, 1/1: 2:5]", "[grace 1/16: [{2: 1}, {2: 3}], 1/1: {2: 5}]"),
        ("[3 in 2 of 1/4: 3:0 3:2 2:0, 1/2: rest]", "[3 in 2 of 1/4: [{3: 0}, {3: 2}, {2: 0}], 1/2: rest]"),
        (
            "[3 in 2 of 1/4: [3:0 3:2, 1/8: 2:0 2:1], 1/2: rest]",
            "[3 in 2 of 1/4: [{3: 0}, {3: 2}, 1/8: [{2: 0}, {2: 1}]], 1/2: rest]",
        ),
        ("[1/1: 6:2.7 natural-harmonic]", "[1/1: {6: 2.7 natural-harmonic}]"),
        ("[1/1: 6:4 pitch Ab3 p finger 2]", "[1/1: {6: {fret: 4, pitch: Ab3, pluck: p, finger: 2}}]"),
    ],
)
def test_a_row_says_the_same_as_the_longer_forms(short, longer):
    assert plain(read(measure(short))) == plain(read(measure(longer)))


def test_a_held_note_may_have_a_finger_of_its_own():
    first, second = events(measure("[1/2: 3:2 finger 1 tie finger 2]"))
    assert (first.notes[0].finger, second.notes[0].finger, second.notes[0].tie_from) == ("1", "2", True)
    assert events(measure("[1/2: 3:2, 1/2: {3: tie finger 2}]"))[1].notes[0].finger == "2"


def test_events_and_notes_of_a_row_know_where_they_stand():
    row = events(measure("[1/4: 3:0  3:2 accent\n      rest 5:3+4:2]"))
    assert [tuple(event.location) for event in row] == [(3, 18), (3, 23), (4, 7), (4, 12)]
    assert [tuple(note.location) for note in row[3].notes] == [(4, 12), (4, 16)]


@pytest.mark.parametrize(
    ("notes", "message"),
    [
        (
            "[1/4: 3:0 3:2 hamer-on rest rest]",
            'f:3:26: "hamer-on" is not a mark (Guitar, measure 1, beat 2); did you mean "hammer-on"?',
        ),
        ("[1/4: 3:0 3:30 rest rest]", "f:3:22: fret 30 does not exist"),
        (
            "[1/4: 3:0 3:2+7:1 rest rest]",
            "f:3:26: there is no string 7 (Guitar, measure 1, beat 2); the guitar has 6 strings",
        ),
        ("[1/4: rest 3:7 bend full then half rest rest]", "f:3:27: the bend"),
        ('[1/4: "rest 3:2 3:4 acent rest"]', 'f:3:32: "acent" is not a mark'),
        ("[1/4: &row rest 3:2 3:4 acent rest]", 'f:3:36: "acent" is not a mark'),
        ("[1/2: 5:3+4:2 tie finger 1]", 'f:3:30: "finger" belongs to one note of this chord'),
        ("[1/4: 3:0 2:0+2:1 rest rest]", "f:3:22: string 2 is used twice at once"),
        ("[grace 1/8: 3:0 rest, 1/1: 3:2]", "f:3:28: a grace note needs a pitch"),
        ("[1/4: C4 Fis4 rest rest]", 'f:3:21: "Fis4" is not a pitch'),
        ("[1/1: {3: 2, marks: acent}]", 'did you mean "accent"?'),
        ("[1/1: {3: 2 vibrato vibrto}]", 'f:3:32: "vibrto" is not a mark'),
        (
            "[1/1: {3: {fret: 2, marks: [qqqq]}}]",
            '"marks" cannot be "qqqq" (measure 1); known here are 57 words, among them',
        ),
        ("1/4 3:0 3:2", "write [1/4: 3:0 3:2], or rest"),
    ],
)
def test_each_mistake_is_told_at_its_word(notes, message):
    found = problems(measure(notes))
    assert len(found) == 1, found
    assert message in found[0]


def test_words_behind_an_alias_are_told_where_the_alias_stands():
    found = problems(
        "score: 1\nmeasures:\n  - notes: [1/2: [&a 3:0 accent, *a]]\n  - notes: [1/1: &b 3:0 acent]\n  - notes: [1/1: *b]\n"
    )
    assert [problem.split(" ")[0] for problem in found] == ["f:4:25:", "f:5:18:"]


def test_a_measure_with_a_mistake_in_a_row_still_adds_up():
    assert len(problems(measure("[1/4: 3:0 3:qq 3:2 5:3+4]"))) == 2
