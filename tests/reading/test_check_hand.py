"""Warnings of what a left hand cannot do on a string (common practice, no source)."""

import pytest

from tests.reading.helpers import measure, problems


@pytest.mark.parametrize(
    ("notes", "message"),
    [
        (
            "[1/2: 3:2 3:0 hammer-on]",
            "f:3:22: warning: a hammer-on cannot lead to an open string (Guitar, measure 1, beat 3); write pull-off",
        ),
        (
            "[1/2: 3:5 3:3 hammer-on]",
            "this hammer-on goes from fret 5 to fret 3 (Guitar, measure 1, beat 3); is it a pull-off?",
        ),
        (
            "[1/2: 3:3 3:5 pull-off]",
            "this pull-off goes from fret 3 to fret 5 (Guitar, measure 1, beat 3); is it a hammer-on?",
        ),
        ("[1/2: 3:5 3:5 pull-off]", "this pull-off goes from fret 5 to fret 5"),
        ("[1/2: 2:5 3:7 hammer-on]", "this hammer-on has no note directly before it on string 3"),
        (
            "[1/2: 3:5 3:0 slide]",
            "a slide cannot lead to an open string (Guitar, measure 1, beat 3); write the fret where it ends",
        ),
        ("[1/2: 3:5 3:0 slurred-slide]", "a slurred-slide cannot lead to an open string"),
        (
            "[1/2: 3:0 3:5 slide]",
            "this slide starts from an open string (Guitar, measure 1, beat 3); write the fret where it starts, or slide-from-below",
        ),
        (
            "[1/4: 1:2 2:1 1:5 slide 1:7]",
            "this slide has no note directly before it on string 1, so none is drawn (Guitar, measure 1, beat 3); it stands",
        ),
        (
            "[1/2: 2:5 2:5 slide]",
            "this slide goes from fret 5 to fret 5 (Guitar, measure 1, beat 3); write the fret where it ends",
        ),
        ("[1/2: 2:8 slurred-slide 2:5]", "this slurred-slide has no note directly before it on string 2"),
        ("[1/1: 3:0 slide-from-above]", "an open string has no slide into it"),
        ("[1/1: 3:0 slide-away-up]", "an open string has no slide away from it"),
        (
            "[1/1: 3:0 bend full]",
            "an open string cannot be bent (Guitar, measure 1, beat 1); write a fret, or lower it with vibrato-bar dive",
        ),
        (
            "[1/1: 3:0 vibrato]",
            "a finger cannot shake an open string (Guitar, measure 1, beat 1); write a fret, or vibrato-bar vibrato",
        ),
        ("[1/2: 3:0 tie wide-vibrato]", "a finger cannot shake an open string (Guitar, measure 1, beat 3)"),
        ("[grace 1/8: 3:0, 1/1: 3:2 slide]", "this slide starts from an open string"),
    ],
)
def test_each_is_a_warning_with_its_place_and_what_would_be_right(notes, message):
    found = problems(measure(notes))
    assert len(found) == 1, found
    assert ": warning: " in found[0]
    assert message in found[0]


@pytest.mark.parametrize(
    "notes",
    [
        "[1/2: 3:2 3:0 pull-off]",
        "[1/2: 3:0 3:2 hammer-on]",
        "[1/2: 3:3 3:5 slide]",
        "[1/2: 3:x 3:5 slide]",
        "[1/2: 3:0 3:x slide]",
        "[1/2: 3:x 3:0 pull-off]",
        "[1/2: 3:5 3:x hammer-on]",
        "[1/1: 3:0 vibrato-bar vibrato]",
        "[1/1: 3:0 vibrato-bar dive 2]",
        "[1/1: 3:0 touched-harmonic 12 vibrato]",
        "[1/1: 3:12 natural-harmonic vibrato]",
        "[1/2: 1:12 tap 1:7 pull-off]",
        "[1/2: 2:3 3:7 hammer-on left-hand-tap]",
        "[1/1: 3:0 trill 2]",
    ],
)
def test_what_a_hand_can_do_is_no_warning(notes):
    assert problems(measure(notes)) == []


def test_the_note_before_may_stand_in_the_measure_before():
    text = "score: 1\nmeasures:\n  - notes: [1/1: 3:0]\n  - notes: [1/1: 3:5 slide]\n"
    assert (
        "f:4:18: warning: this slide starts from an open string (Guitar, measure 2, beat 1)"
        in problems(text)[0]
    )


def test_with_a_capo_the_string_is_open_at_the_capo():
    assert "cannot be bent" in problems(measure("[1/1: 3:0 bend full]", "capo: 3\n"))[0]
