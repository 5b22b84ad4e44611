"""Neck diagrams from words and from dots by hand: what is drawn, what stands in the dots, and what is refused.

Numbers of frets and strings are worked out by hand from the tuning; ranges and labels are house rules.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.theory.instrument import PRESETS
from engrave.theory.neck_diagram import Labels, NeckRequest, build_neck
from engrave.theory.neck_words import parse_neck
from engrave.theory.scales import SCALES

GUITAR = PRESETS["guitar"]


def build(show="", instrument=GUITAR, **asked):
    return build_neck(NeckRequest(show=show, **asked), instrument)


def places(diagram):
    return [(dot.string, dot.row) for dot in diagram.dots]


def test_a_range_of_frets_and_strings_is_drawn_as_it_is_asked_for():
    diagram = build("E7 arpeggio, strings 4 to 1, frets 7 to 10")
    assert (diagram.first, diagram.last, diagram.thinnest, diagram.thickest) == (7, 10, 1, 4)
    # E G# B D on D3 G3 B3 E4 from fret 7 to 10
    assert set(places(diagram)) == {(4, 9), (3, 7), (3, 9), (2, 9), (1, 7), (1, 10)}


def test_the_whole_neck_begins_with_the_open_strings():
    diagram = build("D mixolydian, whole neck")
    assert (diagram.first, diagram.last) == (1, 24)
    assert {string for string, row in places(diagram) if row == 0} == {1, 2, 3, 4, 5, 6}


@pytest.mark.parametrize(("position", "first", "last"), [(2, 1, 5), (5, 5, 8), (9, 9, 13)])
def test_a_position_is_drawn_from_the_nut_or_from_its_own_first_fret(position, first, last):
    diagram = build(f"A minor pentatonic, position {position}")
    assert (diagram.first, diagram.last) == (first, last)


def test_roots_are_told_apart():
    diagram = build("A minor pentatonic, position 5")
    assert [(dot.string, dot.row) for dot in diagram.dots if dot.is_root] == [(6, 5), (4, 7), (1, 5)]


def test_dots_by_hand_have_degrees_over_their_root():
    diagram = build(dots="6:5 6:8 5:7", root="A")
    assert diagram.labels is Labels.DEGREES
    assert [dot.tone.degree for dot in diagram.dots] == ["1", "♭3", "5"]
    assert [dot.is_root for dot in diagram.dots] == [True, False, False]


def test_dots_by_hand_carry_fingers_and_roots():
    diagram = build(dots="6:5 root finger 1 6:8 finger 4 5:0 finger 0")
    assert diagram.labels is Labels.FINGERS
    assert [(dot.finger, dot.is_root, dot.row) for dot in diagram.dots] == [
        ("1", True, 5),
        ("4", False, 8),
        ("0", False, 0),
    ]


def test_numbers_count_upwards_and_downwards():
    up = build("A minor pentatonic, position 5", numbers="up")
    assert [dot.numbers for dot in up.dots] == [(number,) for number in range(1, 13)]
    down = build("A minor pentatonic, position 5", numbers="down")
    assert [dot.numbers for dot in down.dots] == [(number,) for number in range(12, 0, -1)]


def test_a_path_as_written_may_come_back_to_a_dot():
    diagram = build(dots="3:7 2:8 2:5 3:7", numbers="as-written")
    assert [dot.numbers for dot in diagram.dots] == [(1, 4), (2,), (3,)]
    arrows = build(dots="3:7 2:8 2:5 3:7", arrows="as-written").arrows
    assert arrows == ((0, 1), (1, 2), (2, 0))


def test_a_path_may_name_some_of_the_dots():
    diagram = build("A minor pentatonic, position 5", arrows="6:5 5:5 5:7")
    joined = [(places(diagram)[start], places(diagram)[stop]) for start, stop in diagram.arrows]
    assert joined == [((6, 5), (5, 5)), ((5, 5), (5, 7))]


def test_the_short_string_of_a_banjo_counts_from_its_peg():
    # The fifth string is G4, open at the fifth fret of the neck; A4 is its second fret, the seventh of the neck.
    diagram = build(dots="5:0 root 5:2", instrument=PRESETS["banjo"])
    assert places(diagram) == [(5, 0), (5, 7)]
    assert diagram.starts == (0, 0, 0, 0, 5)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"show": "A minor pentatnic, position 5"}, 'did you mean "minor pentatonic"?'),
        ({"show": "A minor, postion 5"}, 'did you mean "position 5"?'),
        ({"show": "A minor, position 5, frets 3 to 7"}, "leave one of them out"),
        ({"show": "A minor, position 5, position 7"}, "says twice"),
        ({"show": "A minor, position V"}, "write the fret of the first finger"),
        ({"show": "A minor, strings 7 to 1"}, "there is no string 7"),
        ({"show": "A minor, strings 0 to 3"}, "there is no string 0"),
        ({"show": "A minor, frets 30 to 33"}, "the neck ends at fret 24"),
        ({"show": "E7 arpeggio, string 1, frets 1 to 2"}, "has no note there"),
        ({"show": "C triad, first inversion"}, "write for example strings 3 to 1"),
        ({"show": "C triad, first inversion, whole neck"}, "leave out the whole neck"),
        ({"show": "C7 arpeggio, three notes a string"}, "only a scale"),
        ({"show": "C major, first inversion"}, "only a triad"),
        ({"show": "G major, three notes a string, position 20"}, "the neck has 24"),
        ({"show": "A minor", "dots": "6:5"}, "either show: or dots:"),
        ({}, "either show: or dots:"),
        ({"dots": "9:5"}, "there is no string 9"),
        ({"dots": "6:25"}, "the last is 24"),
        ({"dots": "6-5"}, "is not a dot"),
        ({"dots": "6:5 finger 9"}, "is not a finger"),
        ({"dots": "6:5", "root": "H"}, "German H is B"),
        ({"dots": "3:7 root", "root": "A"}, "is D and not the root A"),
        ({"dots": "6:5", "labels": Labels.DEGREES}, "write root: A"),
        ({"dots": "6:5", "labels": Labels.FINGERS}, "no fingers are known"),
        ({"show": "A minor", "labels": Labels.FINGERS}, "ask for a position"),
        ({"show": "A minor", "numbers": "up", "arrows": "up"}, "either numbers: or arrows:"),
        ({"show": "A minor", "numbers": "up", "labels": Labels.NOTES}, "where the labels would be"),
        ({"show": "A minor", "arrows": "as-written"}, "the order of dots by hand"),
        ({"show": "A minor pentatonic, position 5", "arrows": "6:5 6:6"}, "where no dot is"),
        ({"dots": "6:5 6:8 6:5 6:8 6:5", "numbers": "as-written"}, "write arrows: instead"),
    ],
)  # fmt: skip
def test_what_cannot_be_drawn_is_told_with_what_would_be_right(asked, said):
    with pytest.raises(ValueError) as error:
        build_neck(NeckRequest(**asked), GUITAR)
    assert said in str(error.value)


def test_a_voice_has_no_neck():
    with pytest.raises(ValueError, match="a voice has no neck"):
        build("A minor", instrument=PRESETS["voice"])


@given(
    st.sampled_from(sorted(SCALES)),
    st.sampled_from([preset for preset in PRESETS.values() if preset.tuning]),
    st.sampled_from(
        ["position 3", "open position", "whole neck", "frets 3 to 7", "strings 3 to 1, frets 0 to 4"]
    ),
)
def test_all_dots_lie_within_what_is_drawn(name, instrument, where):
    diagram = build(f"F# {name}, {where}", instrument)
    assert diagram.words == parse_neck(f"F# {name}, {where}")
    for dot in diagram.dots:
        assert diagram.thinnest <= dot.string <= diagram.thickest
        assert dot.row == 0 or diagram.first <= dot.row <= diagram.last
    assert len(set(places(diagram))) == len(diagram.dots)
