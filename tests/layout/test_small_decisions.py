"""Single decisions of engraving as functions of plain values. Common practice, no source, unless a test says otherwise."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.beams import decide_grace_beam
from engrave.layout.direction import Direction
from engrave.layout.lines.barlines import decide_barline
from engrave.layout.measures.heads import Head, HeadKind, decide_head, decide_slash
from engrave.layout.measures.side_signs import decide_finger_heights
from engrave.layout.measures.words import decide_syllable_start
from engrave.layout.systems.stacked_signs import decide_sign_side
from engrave.marks.mark import NO_SOURCE
from engrave.score.structure import Note, Syllable
from engrave.style.load import load_style
from engrave.theory.pitch import parse_pitch
from tests.reading.helpers import read

STYLE = load_style("")[0]
UP, DOWN = Direction.UP, Direction.DOWN


def test_grace_notes_share_a_beam_when_all_are_shorter_than_a_quarter():
    """Gould, from memory."""
    assert decide_grace_beam([1, 2])
    assert not decide_grace_beam([1])
    assert not decide_grace_beam([0, 1])


@pytest.mark.parametrize(
    ("wish", "voice", "stem", "is_tab", "side"),
    [
        ("head", None, UP, False, DOWN),
        ("head", None, DOWN, False, UP),
        ("head", None, None, False, UP),
        ("head", None, UP, True, UP),
        ("above", None, UP, False, UP),
        ("below", None, DOWN, True, DOWN),
        ("above", DOWN, UP, False, DOWN),
    ],
)
def test_the_side_of_a_sign(wish, voice, stem, is_tab, side):
    assert decide_sign_side(wish, voice, stem, is_tab) is side


def test_a_syllable_is_centred_unless_it_is_long_and_held_on():
    assert decide_syllable_start(Syllable("la"), 4.0, 0.6) == pytest.approx(0.6 - 2.0)
    assert decide_syllable_start(Syllable("la", extends=True), 4.0, 0.6) == 0.0
    assert decide_syllable_start(Syllable("a", extends=True), 1.0, 0.6) == pytest.approx(0.1)


@given(st.lists(st.integers(-6, 14), min_size=1, max_size=5, unique=True).map(sorted))
def test_fingers_beside_a_chord_keep_their_order_and_their_distance(positions):
    """House rule: each stays within `finger_shift` of its head, or they stand in a stack."""
    heads = [position / 2 for position in positions]
    heights = decide_finger_heights(heads, STYLE)
    if heights is None:
        return
    assert all(abs(y - head) <= STYLE.stacking.finger_shift for y, head in zip(heights, heads, strict=True))
    assert heights == sorted(heights)


def test_heads_far_apart_have_their_fingers_at_their_own_height():
    assert decide_finger_heights([0.0, 3.0], STYLE) == [0.0, 3.0]
    assert decide_finger_heights([], STYLE) is None


@pytest.mark.parametrize(
    ("event", "quarter", "half"),
    [
        ("3: 5", "noteheadBlack", "noteheadHalf"),
        ("3: x", "noteheadXBlack", "noteheadXHalf"),
        ("3: 12 natural-harmonic", "noteheadDiamondBlack", "noteheadDiamondHalf"),
    ],
)
def test_a_head_tells_how_its_note_is_made(event, quarter, half):
    """Names of symbols: SMuFL."""
    note = (
        read(f"score: 1\nmeasures:\n  - notes: [1/1: {{{event}}}]\n")
        .parts[0]
        .measures[0]
        .voices[0]
        .events[0]
        .notes[0]
    )
    head = Head(0, note, NO_SOURCE)
    assert decide_head(head, 4) == quarter
    assert decide_head(head, 2) == half


def test_a_diamond_shows_where_a_stopped_string_is_touched():
    """Symbol: SMuFL. It is white whatever the value."""
    head = Head(0, Note(parse_pitch("C5")), NO_SOURCE, HeadKind.NODE)
    assert decide_head(head, 4) == decide_head(head, 1) == "noteheadDiamondHalf"


def test_slashes_are_white_from_the_half_on():
    assert decide_slash(2) == "noteheadSlashWhiteHalf"
    assert decide_slash(4) == decide_slash(8) == "noteheadSlashHorizontalEnds"


def barline(first="", second=""):
    text = f"score: 1\nmeasures:\n  - {{notes: [1/1: {{1: 0}}]{first}}}\n  - {{notes: [1/1: {{1: 0}}]{second}}}\n"
    before, after = read(text).measures
    return decide_barline(before, after, 0.4, STYLE.staff)


def test_the_barline_between_plain_measures_is_the_narrowest():
    assert barline().width == STYLE.staff.thin_barline
    assert barline(first=", barline: double").width > barline().width


def test_repeats_of_both_sides_share_one_barline():
    both = barline(first=", repeat: end", second=", repeat: start")
    one = barline(first=", repeat: end")
    assert both.width > one.width > barline().width
