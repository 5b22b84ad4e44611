"""Checks of meaning: all in one run, each with its place in the text and in the music."""

import pytest

from tests.reading.helpers import measure, problems, read

TWO_PARTS = "score: 1\nparts: [{id: voice, instrument: voice}, {id: guitar}]\nmeasures:\n"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            measure("[1/2: {3: 0}, 1/4: {3: 2}, 1/2: {2: 0}]"),
            "f:3:44: this measure is too long by 1/4 (Guitar, measure 1, beat 4); found 5/4, expected 1/1",
        ),
        (
            measure("[1/2: {3: 0}, 1/8: {3: 2}]"),
            "this measure is too short by 3/8 (Guitar, measure 1, beat 3 1/2); found 5/8, expected 1/1",
        ),
        (measure("[1/1: {3: 0}]", bass="[1/2: {6: 0}]"), "the lower voice is too short by 1/2"),
        (
            measure("[1/1: {7: 0}]"),
            "there is no string 7 (Guitar, measure 1, beat 1); the guitar has 6 strings",
        ),
        (measure("[1/1: {1: 25}]"), "fret 25 does not exist (Guitar, measure 1); the guitar has 24 frets"),
        (measure("[1/1: {1: 23}]", "capo: 3\n"), "has 21 frets beyond its capo at 3"),
        (measure("[1/1: tie]"), "there is nothing before this to tie"),
        (measure("[1/2: {3: 0}, 1/2: {2: tie}]"), "no note on string 2 to tie"),
        (measure("[1/2: {3: 0}, 1/4: rest, 1/4: tie]"), "there is nothing before this to tie"),
        (
            measure("[1/1: {3: 2 hamer-on}]"),
            'f:3:24: "hamer-on" is not a mark (Guitar, measure 1); did you mean "hammer-on"?',
        ),
        (measure("[1/1: {3: two}]"), '"two" is not a fret'),
        (measure("[1/1: Fis4]"), '"Fis4" is not a pitch'),
        (measure("[1/1: rset]"), 'did you mean "rest"?'),
        (measure("[1/1: C2]"), "C2 lies below the lowest open string of the guitar"),
        (measure("[1/1: E3+F3]"), "cannot be played together"),
        (measure("[1/1: {3: 0}]", bass="[1/1: {3: 2}]"), "string 3 is used twice at once"),
        (
            measure("[3 in 2 of 1/8: [{3: 0}, {3: 1}], 1/2.: rest]"),
            "the tuplet holds 2 notes of 1/8 where 3 were expected",
        ),
        ("score: 1\nkey: H major\nmeasures: [{}]\n", '"H major" is not a key'),
        ("score: 1\ntime: 4/5\nmeasures: [{}]\n", '"4/5" is not a time'),
        ("score: 1\ntempo: 1/4 = 0\nmeasures: [{}]\n", "cannot be played"),
        (
            "score: 1\ninstrument: gitar\nmeasures: [{}]\n",
            '"gitar" is not an instrument known here; did you mean "guitar"?',
        ),
        (
            "score: 1\ntuning: drop E\nmeasures: [{}]\n",
            '"drop E" is not a tuning known here; did you mean "drop D"?',
        ),
        (
            "score: 1\ninstrument: {preset: guitar, strings: 7}\nmeasures: [{}]\n",
            "has 7 strings but its tuning has 6",
        ),
        ("score: 1\nmeasures:\n  - chord: Gmag7\n", '"Gmag7" is not a chord name'),
        ("score: 1\nmeasures:\n  - chord: {5: G}\n", "there is no beat 5 in 4/4"),
        ("score: 1\nmeasures:\n  - go-back: D.S. al Coda\n", "has no sign to go back to"),
        ("score: 1\nmeasures:\n  - ending: 1\n", "ending 1 does not go back"),
        ("score: 1\nmeasures:\n  - {times: 3}\n", "times stands beside repeat: end"),
        (
            "score: 1\nmeasures:\n  - notes: [1/1: {3: 0}]\n    lyrics: the lan-tern burns\n",
            'f:4:17: there is no note for "lan" (Guitar, measure 1); verse 1 has 4 syllables for 1 notes here, 3 too many',
        ),
        (
            TWO_PARTS + "  - parts: {gitar: {notes: rest}}\n",
            'there is no part "gitar" (measure 1); did you mean "guitar"?',
        ),
        (TWO_PARTS + "  - notes: [1/1: C4]\n", "belongs to one of them"),
        (TWO_PARTS + "  - parts: {voice: {notes: [1/1: {3: 0}]}}\n", "a voice has no strings; write pitches"),
        ("score: 1\nmeasures:\n  - {pickup: true, notes: [1/1: {3: 0}]}\n", "as long as a whole measure"),
    ],
)
def test_each_mistake_is_named_with_its_place(text, message):
    found = problems(text)
    assert any(message in problem for problem in found), found


def test_everything_is_reported_in_one_run():
    text = (
        "score: 1\nmeasures:\n  - notes: [1/2: {3: 0}]\n  - notes: [1/1: {8: 0}]\n  - notes: [1/1: {3: 30}]\n"
        "  - notes: [1/1: tie]\n"
    )
    found = problems(text)
    assert [problem.split(":")[1] for problem in found] == ["3", "4", "5", "6"]


def test_the_last_bar_may_lack_the_pickup():
    text = (
        "score: 1\ntime: 3/4\nmeasures:\n  - {pickup: true, notes: [1/4: {3: 0}]}\n  - notes: [1/2: {3: 0}]\n"
    )
    score = read(text)
    assert [str(m.length) for m in score.measures] == ["1/4", "1/2"]
    assert [m.number for m in score.measures] == [0, 1]


def test_a_section_that_starts_with_a_pickup_may_end_short():
    text = (
        "score: 1\ntime: 3/4\nmeasures:\n  - {pickup: true, repeat: start, notes: [1/4: {3: 0}]}\n"
        "  - notes: [1/2.: {3: 0}]\n  - {repeat: end, notes: [1/2: {3: 0}]}\n  - notes: [1/2.: {3: 0}]\n"
    )
    assert [str(m.length) for m in read(text).measures] == ["1/4", "3/4", "1/2", "3/4"]


def test_a_string_struck_while_the_bass_holds_it_is_a_warning():
    found = problems(measure("[1/2: {1: 0}, 1/2: {6: 3}]", bass="[1/1: {6: 0}]"))
    assert len(found) == 1
    assert "warning: string 6 is struck while the lower voice still holds it" in found[0]


def test_doubtful_hammer_ons_are_warnings():
    assert "goes from fret 5 to fret 3" in problems(measure("[1/2: {3: 5}, 1/2: {3: 3 hammer-on}]"))[0]
    assert "no note directly before it" in problems(measure("[1/2: {2: 5}, 1/2: {3: 7 hammer-on}]"))[0]
    assert not problems(measure("[1/2: {3: 5}, 1/2: {3: 7 hammer-on}]"))
