"""Metres and beaming.

Sources: Open University, An introduction to music theory, 3.6 (eighths in 2/4, 3/4, 4/4, 3/8); a course on grouping
and beaming (6/8, sixteenths by beat); music21's beat divisions; the rest is common practice, no source.
"""

from fractions import Fraction
from itertools import product

import music21
import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.theory.metre import Metre, decide_beam_groups, decide_secondary_breaks, parse_metre

EIGHTH, SIXTEENTH, QUARTER = Fraction(1, 8), Fraction(1, 16), Fraction(1, 4)
FLAGS = {QUARTER: 0, EIGHTH: 1, SIXTEENTH: 2, Fraction(3, 8): 0, Fraction(3, 16): 1, Fraction(1, 2): 0}


def measure(lengths):
    onset, events = Fraction(0), []
    for length in lengths:
        events.append((onset, length, FLAGS[length], False, ()))
        onset += length
    return events


def sizes(metre, lengths):
    return [len(group) for group in decide_beam_groups(parse_metre(metre), measure(lengths))]


@pytest.mark.parametrize(
    ("metre", "count", "groups"),
    [
        ("2/4", 4, [4]),
        ("3/4", 6, [6]),
        ("4/4", 8, [4, 4]),
        ("6/8", 6, [3, 3]),
        ("9/8", 9, [3, 3, 3]),
        ("12/8", 12, [3, 3, 3, 3]),
        ("3/8", 3, [3]),
        ("5/8", 5, [3, 2]),
        ("7/8", 7, [2, 2, 3]),
        ("3+2/8", 5, [3, 2]),
        ("2+3/8", 5, [2, 3]),
        ("2/2", 8, [4, 4]),
        ("C", 8, [4, 4]),
    ],
)
def test_bars_of_eighths(metre, count, groups):
    assert sizes(metre, [EIGHTH] * count) == groups


def test_sixteenths_are_beamed_by_the_beat():
    assert sizes("4/4", [SIXTEENTH] * 16) == [4, 4, 4, 4]
    assert sizes("6/8", [SIXTEENTH] * 12) == [6, 6]


def test_a_quarter_and_six_eighths():
    assert sizes("4/4", [QUARTER] + [EIGHTH] * 6) == [2, 4]


def test_syncopation_stays_flagged():
    assert sizes("4/4", [EIGHTH, QUARTER, EIGHTH] + [EIGHTH] * 4) == [4]


def test_eighths_after_an_offbeat_quarter_start_again_on_the_beat():  # a primer on grouping
    groups = decide_beam_groups(parse_metre("3/4"), measure([EIGHTH, QUARTER, EIGHTH, EIGHTH, EIGHTH]))
    assert groups == [[3, 4]]


def with_rests(lengths, rests):
    return [(*event[:3], i in rests, ()) for i, event in enumerate(measure(lengths))]


@pytest.mark.parametrize(
    ("metre", "lengths", "rests", "groups"),
    [
        ("3/8", [EIGHTH] * 3, {1}, [[0, 2]]),
        ("6/8", [EIGHTH] * 6, {1}, [[0, 2], [3, 4, 5]]),
        ("2/4", [SIXTEENTH] * 8, {1}, [[0, 2, 3], [4, 5, 6, 7]]),
        ("6/8", [SIXTEENTH] * 6, {1, 3}, [[0, 2, 4, 5]]),
    ],
)
def test_a_beam_passes_a_rest_inside_its_beat(metre, lengths, rests, groups):
    assert decide_beam_groups(parse_metre(metre), with_rests(lengths, rests)) == groups


@pytest.mark.parametrize("rests", [{1, 2}, {1, 3}, {0, 2}, {1, 2, 3}])
def test_no_beam_passes_a_rest_to_the_next_beat(rests):
    assert decide_beam_groups(parse_metre("2/4"), with_rests([EIGHTH] * 4, rests)) == []


def test_no_beam_passes_two_rests():
    assert decide_beam_groups(parse_metre("2/4"), with_rests([SIXTEENTH] * 4, {1, 2})) == []
    assert decide_beam_groups(parse_metre("3/4"), with_rests([EIGHTH] * 6, {2, 3})) == [[0, 1], [4, 5]]


def in_tuplets(*spans):
    """Events of equal flags: (how many, length of each, tuplets)."""
    onset, events = Fraction(0), []
    for count, length, tuplets in spans:
        for _ in range(count):
            events.append((onset, length, 1, False, tuplets))
            onset += length
    return events


def test_tuplets_are_beamed_alone():
    events = in_tuplets((3, Fraction(1, 12), (7,)), (2, EIGHTH, ()))
    assert decide_beam_groups(parse_metre("2/4"), events) == [[0, 1, 2], [3, 4]]


def test_a_beat_cuts_a_tuplet_only_where_one_of_its_notes_starts():
    assert decide_beam_groups(parse_metre("4/4"), in_tuplets((5, Fraction(1, 10), (1,)))) == [[0, 1, 2, 3, 4]]
    assert decide_beam_groups(parse_metre("4/4"), in_tuplets((6, Fraction(1, 12), (1,)))) == [
        [0, 1, 2],
        [3, 4, 5],
    ]


def test_no_beam_breaks_inside_a_tuplet_in_a_tuplet():
    five_with_three = in_tuplets(
        (2, Fraction(1, 10), (1,)), (3, Fraction(1, 15), (1, 2)), (1, Fraction(1, 10), (1,))
    )
    assert decide_beam_groups(parse_metre("4/4"), five_with_three) == [[0, 1, 2, 3, 4, 5]]
    six_with_four = in_tuplets(
        (2, Fraction(1, 12), (1,)), (4, Fraction(1, 24), (1, 2)), (2, Fraction(1, 12), (1,))
    )
    assert six_with_four[4][0] == QUARTER
    assert decide_beam_groups(parse_metre("4/4"), six_with_four) == [list(range(8))]


def test_secondary_beams_break_at_the_edges_of_an_inner_tuplet():
    onsets = [Fraction(0), Fraction(1, 20), Fraction(1, 10), Fraction(2, 15), Fraction(1, 6), Fraction(1, 5)]
    tuplets = [(1,), (1,), (1, 2), (1, 2), (1, 2), (1,)]
    assert decide_secondary_breaks(parse_metre("4/4"), onsets, [2] * 6, tuplets) == {2, 5}


METRES = ["2/4", "3/4", "4/4", "2/2", "3/8", "6/8", "9/8", "12/8"]


def compositions(total, parts):
    """All measures of the given parts that fill `total` sixteenths."""
    if total == 0:
        yield []
        return
    for part in parts:
        if part <= total:
            for rest in compositions(total - part, parts):
                yield [part, *rest]


@pytest.mark.parametrize("metre", METRES)
def test_beams_keep_to_the_beats_of_music21(metre):
    """Every measure of eighths and sixteenths (sampled in the long metres): groups with sixteenths lie in one music21 beat.

    Measures of eighths alone are beamed wider by our rule (half measures, or the measure in 2/4 and 3/4); there a group must start and
    end on music21's beats.
    """
    other = music21.meter.TimeSignature(metre)
    total = int(other.barDuration.quarterLength * 4)
    beat = [Fraction(offset).limit_denominator(64) / 4 for offset in other.getBeatOffsets()]
    borders = [*beat, Fraction(total, 16)]
    checked = 0
    for number, parts in enumerate(compositions(total, (1, 2))):
        if total > 12 and number % 97:
            continue
        checked += 1
        events = measure([Fraction(part, 16) for part in parts])
        for group in decide_beam_groups(parse_metre(metre), events):
            start = events[group[0]][0]
            last = events[group[-1]][0]
            crossed = [b for b in borders if start < b <= last]
            has_sixteenths = any(events[i][2] == 2 for i in group)
            if has_sixteenths:
                assert not crossed, (metre, parts, group)
            else:
                assert len(group) <= {"2/4": 4, "3/4": 6, "4/4": 4, "2/2": 4}.get(metre, 3)
    assert checked > 2


def test_every_bar_up_to_three_quarters_is_beamed_completely():
    """Every flagged note that shares a beat with a flagged neighbour is under a beam (exhaustive in 2/4)."""
    for parts in compositions(8, (1, 2)):
        events = measure([Fraction(part, 16) for part in parts])
        beamed = {i for group in decide_beam_groups(parse_metre("2/4"), events) for i in group}
        for i, j in zip(range(len(events)), range(1, len(events)), strict=False):
            same_beat = events[i][0] // QUARTER == events[j][0] // QUARTER
            if same_beat:
                assert i in beamed
                assert j in beamed


@given(st.lists(st.sampled_from([1, 2, 3, 4]), min_size=1, max_size=12), st.sampled_from(METRES))
def test_no_note_is_under_two_beams(parts, metre):
    events = measure([{1: SIXTEENTH, 2: EIGHTH, 3: Fraction(3, 16), 4: QUARTER}[p] for p in parts])
    events = [e for e in events if e[0] < parse_metre(metre).length]
    members = [i for group in decide_beam_groups(parse_metre(metre), events) for i in group]
    assert len(members) == len(set(members))
    assert all(FLAGS[events[i][1]] > 0 for i in members)


def test_thirty_seconds_break_at_each_eighth():
    onsets = [Fraction(i, 32) for i in range(8)]
    assert decide_secondary_breaks(parse_metre("4/4"), onsets, [3] * 8, [()] * 8) == {4}


@pytest.mark.parametrize("text", ["4/5", "3", "waltz", "0/4", "3/4/5", "+/8"])
def test_bad_times_are_refused(text):
    with pytest.raises(ValueError, match=r"3/4|lower number"):
        parse_metre(text)


def test_lengths_agree_with_music21():
    for upper, lower in product(range(1, 13), (2, 4, 8, 16)):
        other = music21.meter.TimeSignature(f"{upper}/{lower}")
        assert (
            Metre((upper,), lower).length
            == Fraction(other.barDuration.quarterLength).limit_denominator(64) / 4
        )


def test_additive_metres_read_back():
    assert parse_metre("3+2/8") == Metre((3, 2), 8)
    assert parse_metre("3+2/8").text == "3+2/8"
    assert parse_metre("cut C").length == 1
