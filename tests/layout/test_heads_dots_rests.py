"""Seconds, two voices, dots and rests. Seconds and rest dots: conventions of an orchestration course; the rest common practice, no source."""

from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.direction import Direction
from engrave.layout.notes.heads import decide_displaced, decide_dot_positions, decide_voice_meeting
from engrave.layout.notes.rests import clearing_shift, decide_rest
from engrave.marks.role import Role
from tests.layout.placed_marks import place_text

UP, DOWN = Direction.UP, Direction.DOWN
chords = st.lists(st.integers(-8, 16), min_size=1, max_size=6, unique=True).map(sorted)


def test_of_a_second_the_upper_note_stands_on_the_right():
    assert decide_displaced((2, 3), UP) == (False, True)
    assert decide_displaced((2, 3), DOWN) == (True, False)


def test_clusters_alternate_from_the_root():
    assert decide_displaced((2, 3, 4), UP) == (False, True, False)
    assert decide_displaced((2, 3, 4), DOWN) == (False, True, False)


@given(chords, st.sampled_from([UP, DOWN]))
def test_neighbours_a_second_apart_are_never_on_one_side(positions, direction):
    displaced = decide_displaced(positions, direction)
    for i in range(1, len(positions)):
        if positions[i] - positions[i - 1] == 1:
            assert displaced[i] != displaced[i - 1]


def test_unisons_of_two_voices(style):
    meet = lambda same, dots: decide_voice_meeting((4,), (4,), same, dots, 0, 1.25, style.notes)  # noqa: E731
    assert meet(True, 0).shared == {4}
    assert meet(False, 0).lower_dx > 1.25
    assert meet(True, 1).lower_dx > 1.25


def test_seconds_and_crossings_of_two_voices(style):
    assert decide_voice_meeting((5,), (4,), True, 0, 0, 1.25, style.notes).lower_dx == 1.25 - style.notes.stem
    assert decide_voice_meeting((3,), (4,), True, 0, 0, 1.25, style.notes).upper_dx > 1.25
    assert decide_voice_meeting((6,), (1,), True, 0, 0, 1.25, style.notes).upper_dx == 0


def test_dots_of_a_chord_on_lines():
    assert decide_dot_positions((2, 4), None) == (3, 5)
    assert decide_dot_positions((4,), None) == (5,)
    assert decide_dot_positions((4,), DOWN) == (3,)
    assert decide_dot_positions((3,), None) == (3,)


@given(chords, st.sampled_from([None, UP, DOWN]))
def test_dots_stand_in_different_spaces_near_the_chord(positions, voice):
    dots = decide_dot_positions(positions, voice)
    assert all(dot % 2 == 1 for dot in dots)
    assert len(set(dots)) == len(dots) >= 1
    assert positions[0] - 2 <= dots[0]
    assert dots[-1] <= positions[-1] + 2


def test_rests_of_one_voice(style):
    assert decide_rest(1, None, 0, style.notes)[:2] == ("restWhole", 3.0)
    assert decide_rest(2, None, 0, style.notes)[:2] == ("restHalf", 2.0)
    assert decide_rest(8, None, 0, style.notes).dot_y == 2.5


@given(
    st.sampled_from([1, 2, 4, 8, 16, 32]), st.sampled_from([UP, DOWN]), st.floats(-4, 6), st.floats(0.5, 4)
)
def test_a_rest_keeps_clear_of_the_other_voice(denominator, voice, low, height):
    from engrave.fonts.symbols import music_face
    from engrave.style.load import load_style

    notes = load_style("")[0].notes
    shift = clearing_shift(denominator, voice, (low, low + height), notes)
    place = decide_rest(denominator, voice, shift, notes)
    box = music_face().glyph(place.glyph).box
    if voice is UP:
        assert place.y + box.bottom > low + height - 0.01
    else:
        assert place.y + box.top < low + 0.01
    assert place.needs_ledger == ("LegerLine" in place.glyph)


def rests(notes, bass, time):
    marks = place_text(f"score: 1\ntime: {time}\nmeasures:\n  - notes: {notes}\n    lower: {bass}\n")
    return [mark.y for mark, _ in marks if mark.role is Role.REST]


def test_rests_in_a_row_stand_at_one_height():
    assert rests("[1/8: [{1: 3}, rest], 1/4: rest]", "[1/8: [{5: 3}, {4: 0}, {3: 0}, {2: 5}]]", "2/4") == [
        4.0,
        4.0,
    ]
    high = rests("[1/8: [{1: 3}, rest], 1/4: rest]", "[1/8: [{5: 3}, {4: 0}, {1: 5}, {2: 5}]]", "2/4")
    assert high[0] == high[1] > 4.0


def test_a_rest_does_not_make_way_for_what_the_other_voice_plays_later():
    assert rests("[1/4: {1: 5}, 1/4: {1: 3}, 1/4: {6: 0}]", "[1/4: {3: 2}, 1/2: rest]", "3/4") == rests(
        "[1/4: {1: 5}, 1/4: {1: 3}, 1/4: {1: 0}]", "[1/4: {3: 2}, 1/2: rest]", "3/4"
    )
