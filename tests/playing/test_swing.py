"""Swing: what is swung, when it is heard, and how it travels."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml
from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writer import write_text_tab
from engrave.marks.role import Role
from engrave.playing.performance import perform
from engrave.score.excerpt import excerpt
from engrave.score.structure import View
from engrave.theory.metre import parse_metre
from engrave.theory.swing import Swing, swung
from engrave.writing.dump import dump_score
from engrave.writing.score_tree import score_tree
from tests.layout.placed_marks import boxes, place_text
from tests.reading.helpers import problems, read

SONG = """score: 1
swing: 1/8
measures:
  - {notes: [1/8: 3:0 3:2 2:1 2:3, 1/2: 2:0]}
  - {notes: [1/1: 2:0]}
  - {swing: none, notes: [1/8: 3:0 3:2 2:1 2:3, 1/2: 2:0]}
  - {swing: 1/16, notes: [1/16: 3:0 3:2 2:1 2:3, 1/4: 2:0, 1/2: 2:0]}
"""


def heard(notes, head="swing: 1/8\n", keys=""):
    found = perform(read(f"score: 1\n{head}measures:\n  - {{{keys}notes: [{notes}]}}\n"))
    return [(note.start, note.start + note.length) for note in found.notes]


def test_the_second_of_two_swung_eighths_comes_after_two_thirds_of_the_beat():
    # Two to one, as a triplet of a quarter and an eighth (common practice, no source).
    assert [start for start, _ in heard("1/8: 3:0 3:2 2:1 2:3, 1/2: 2:0")] == [
        Fraction(0), Fraction(1, 6), Fraction(1, 4), Fraction(5, 12), Fraction(1, 2),
    ]  # fmt: skip


def test_a_swung_note_lasts_until_the_next_one():
    rows = heard("1/8: 3:0 3:2 2:1 2:3, 1/2: 2:0")
    assert [stop for _, stop in rows[:-1]] == [start for start, _ in rows[1:]]


def test_a_triplet_over_a_pair_keeps_its_own_rhythm():
    triplet = "{3 in 2 of 1/8: [3:0, 3:2, 2:1]}"
    assert heard(f"{triplet}, 1/2.: 2:0")[:3] == heard(f"{triplet}, 1/2.: 2:0", head="")[:3]


def test_a_triplet_within_half_a_pair_is_long_or_short_with_it():
    triplet = "{3 in 2 of 1/16: [3:0, 3:2, 2:1]}"
    rows = heard(f"{triplet}, 1/8: 2:0, 1/2.: 2:0")
    assert [start for start, _ in rows[:4]] == [Fraction(n, 18) for n in range(4)]


def test_swung_sixteenths_leave_eighths_where_they_are():
    rows = heard("1/16: 3:0 3:2 2:1 2:3, 1/8: 2:0 2:1, 1/2: 2:0", head="swing: 1/16\n")
    assert [start for start, _ in rows] == [Fraction(n, 24) for n in (0, 2, 3, 5, 6, 9, 12)]


def test_swing_goes_by_the_beats_of_a_pickup():
    rows = heard("1/8: 3:0", keys="pickup: true, ")
    assert [(start, stop - start) for start, stop in rows] == [(Fraction(1, 24), Fraction(1, 12))]


def test_a_time_without_pairs_is_played_as_written_and_that_is_told():
    text = "score: 1\ntime: 6/8\nswing: 1/8\nmeasures:\n  - {notes: [1/8: 3:0 3:2 2:1 2:3 2:1 2:0]}\n"
    assert [note.start for note in perform(read(text)).notes] == [Fraction(n, 8) for n in range(6)]
    assert "6/8 has no pairs of 1/8 to swing" in problems(text)[0]


@pytest.mark.parametrize(
    ("swing", "time", "has"),
    [("1/8", "4/4", True), ("1/8", "2/2", True), ("1/8", "12/8", False), ("1/16", "6/8", True), ("1/16", "3/16", False),
     ("none", "4/4", False)],
)  # fmt: skip
def test_pairs_need_a_time_counted_in_them_or_in_longer_values(swing, time, has):
    assert Swing(swing).has_pairs_in(parse_metre(time)) is has


MOMENTS = st.fractions(0, 2, max_denominator=192)


@given(MOMENTS, MOMENTS, st.sampled_from([Fraction(1, 4), Fraction(1, 8)]))
def test_swing_keeps_the_order_of_moments_and_every_beat(one, two, pair):
    first = Fraction(2, 3)
    assert (one < two) == (swung(one, pair, first) < swung(two, pair, first))
    assert swung(one // pair * pair, pair, first) == one // pair * pair


def test_swing_comes_back_from_yaml_musicxml_and_typed_tab():
    score = read(SONG)
    wanted = [measure.swing for measure in score.measures]
    assert wanted == [Swing.EIGHTHS, Swing.EIGHTHS, Swing.NONE, Swing.SIXTEENTHS]
    for text in (
        dump_score(score_tree(score)),
        dump_score(read_musicxml(write_musicxml(score))[0]),
        dump_score(read_text_tab(write_text_tab(score)[0].encode()).tree),
    ):
        assert [measure.swing for measure in read(text).measures] == wanted


def test_the_sign_stands_where_swing_begins_changes_and_ends():
    assert [m.swing_changes for m in read(SONG).measures] == [True, False, True, True]


@pytest.mark.parametrize("view", [View.STAFF_AND_TAB, View.TAB, View.RHYTHM_TAB, View.STAFF])
def test_the_sign_is_drawn_over_the_music_and_nowhere_else(view):
    plain = SONG.replace("swing: 1/8\n", "").replace("swing: none, ", "").replace("swing: 1/16, ", "")
    assert not boxes(place_text(plain, view), Role.SWING)
    drawn = boxes(place_text(SONG, view), Role.SWING)
    assert drawn
    assert min(box.bottom for box in drawn) > 0


def test_an_excerpt_says_what_is_swung_in_it():
    part = excerpt(read(SONG), 1, 2)
    assert (part.measures[0].swing, part.measures[0].swing_changes) == (Swing.EIGHTHS, True)
