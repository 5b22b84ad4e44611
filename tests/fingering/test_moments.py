"""What a hand has to do at each moment of a score."""

from fractions import Fraction

import pytest

from engrave.fingering.moments import whole_note_seconds
from engrave.playing.taste import read_taste
from tests.fingering.hands import USUAL
from tests.fingering.scores import moments_of, read


def test_every_onset_of_any_voice_is_one_moment():
    moments = moments_of(read("  - {notes: [1/4: [E4, F4, G4, A4]], lower: [1/2: [{5: 3}, {6: 3}]]}"))
    assert [moment.onset for moment in moments] == [Fraction(n, 4) for n in range(4)]
    assert [len(moment.wants) for moment in moments] == [2, 2, 2, 2]


def test_a_note_is_held_until_it_ends():
    moments = moments_of(read("  - {notes: [1/4: [E4, F4, G4, A4]], lower: [1/2: [{5: 3}, {6: 3}]]}"))
    assert [[want.struck for want in moment.wants] for moment in moments] == [
        [True, True],
        [False, True],
        [True, True],
        [False, True],
    ]
    assert moments[1].wants[0].held_from == 1


def test_what_a_tie_holds_is_struck_once():
    moments = moments_of(read("  - notes: [1/2: [C5, tie]]\n  - notes: [1/2: [tie, E4]]"))
    assert len(moments) == 2


def test_two_voices_that_meet_at_one_pitch_share_a_string():
    moments = moments_of(read("  - {notes: [1/1: C5], lower: [1/1: C5]}"))
    assert len(moments) == 1
    (want,) = moments[0].wants
    assert len(want.also) == 1


def test_a_unison_written_on_two_strings_stays_on_two():
    moments = moments_of(read("  - notes: [1/1: {1: 0, 2: 5}]"))
    assert len(moments[0].wants) == 2


@pytest.mark.parametrize(("tempo", "seconds"), [("1/4 = 60", 1.0), ("1/4 = 120", 0.5), ("1/8 = 120", 1.0)])
def test_the_time_between_two_notes_comes_from_the_tempo(tempo, seconds):
    moments = moments_of(read("  - notes: [1/4: [E4, F4, G4, A4]]", f"tempo: {tempo}"))
    assert [moment.seconds for moment in moments[1:]] == [pytest.approx(seconds)] * 3


def test_the_tempo_may_change_on_the_way():
    score = read("  - notes: [1/1: E4]\n  - {tempo: 1/4 = 120, notes: [1/2: [F4, G4]]}", "tempo: 1/4 = 60")
    assert [moment.seconds for moment in moments_of(score)[1:]] == [pytest.approx(4.0), pytest.approx(1.0)]


def test_grace_notes_have_a_moment_of_their_own_before_their_note():
    moments = moments_of(read("  - notes: [grace 1/8: {2: 3}, 1/1: {2: 5 hammer-on}]"))
    assert [len(moment.wants) for moment in moments] == [1, 1]
    assert moments[1].wants[0].joined_to == 0


def test_dead_notes_and_slashes_need_no_finger():
    moments = moments_of(read("  - notes: [1/4: [{3: x}, slash, {3: 2}, {2: 1}]]"))
    assert len(moments) == 2


def test_a_pitch_may_lie_wherever_it_sounds_and_a_fret_where_it_is_written():
    moments = moments_of(read("  - notes: [1/2: [E5, {2: 5}]]"))
    assert moments[0].wants[0].places == (
        (1, 0),
        (2, 5),
        (3, 9),
        (4, 14),
        (5, 19),
        (6, 24),
    )  # common practice, no source: E4 lies on all six strings
    assert moments[1].wants[0].places == ((2, 5),)


def test_a_slide_is_joined_to_the_note_it_comes_from():
    moments = moments_of(read("  - notes: [1/2: [{2: 3}, {2: 5 slide}]]"))
    want = moments[1].wants[0]
    assert (want.joined_to, want.joins_by_slide) == (0, True)


def test_without_a_tempo_the_hand_has_as_much_time_as_is_played():
    assert whole_note_seconds(read("  - notes: [1/1: C4]"), USUAL.pace) == [4 * 60 / read_taste().tempo]
