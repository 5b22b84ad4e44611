"""Strings, frets and fingers put into a score."""

from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.fingering.difficulty import find_wide
from engrave.fingering.hand import load_hand
from engrave.fingering.moments import Limits
from engrave.fingering.place import place_part, release
from engrave.fingering.reasons import explain
from engrave.theory.instrument import PRESETS
from engrave.theory.pitch import parse_pitch
from tests.fingering.hands import USUAL, moment
from tests.fingering.scores import notes_of, placed, read


def test_pitches_of_a_score_are_placed_when_it_is_read():
    score = read("  - notes: [1/4: [C4, E4, G4, C5]]")
    assert notes_of(score.parts[0]) == [[(5, 3, "")], [(4, 2, "")], [(3, 0, "")], [(2, 1, "")]]


def test_fingers_are_filled_in_and_frets_of_the_author_stay():
    score = read("  - notes: [1/4: [{6: 8}, {6: 10}, {5: 7}, {5: 8}]]")
    assert notes_of(placed(score).part) == [[(6, 8, "2")], [(6, 10, "4")], [(5, 7, "1")], [(5, 8, "2")]]


def test_a_finger_of_the_author_is_obeyed():
    score = read("  - notes: [1/1: {2: {fret: 5, finger: 4}}]")
    assert notes_of(placed(score).part) == [[(2, 5, "4")]]


def test_open_strings_have_no_finger():
    assert notes_of(placed(read("  - notes: [1/1: {1: 0}]")).part) == [[(1, 0, "")]]


def test_what_is_tied_lies_where_it_was_struck():
    part = placed(read("  - notes: [1/2: [C5, tie]]\n  - notes: [1/1: tie]")).part
    assert [[note[:2] for note in event] for event in notes_of(part)] == [[(2, 1)]] * 3


def test_a_hammer_on_keeps_to_one_string_and_takes_two_fingers():
    score = read("  - notes: [1/2: [{3: 4}, {3: 5 hammer-on}]]")
    first, second = (event[0] for event in notes_of(place_part(score, release(score.parts[0]), USUAL).part))
    assert first[0] == second[0]
    assert first[2] != second[2] or not first[1]


def test_without_its_slur_the_same_note_goes_to_the_open_string():
    score = read("  - notes: [1/2: [{3: 4}, {3: 4}, {2: 0}]]", "time: 3/2")
    last = notes_of(place_part(score, release(score.parts[0]), USUAL).part)[-1][0]
    assert last[:2] == (2, 0)


def test_a_slide_is_made_by_one_finger():
    part = placed(read("  - notes: [1/2: [{2: 3}, {2: 7 slide}]]")).part
    first, second = (event[0] for event in notes_of(part))
    assert first[2] == second[2]


def test_a_long_bass_note_keeps_its_finger_while_others_play():
    score = read("  - {notes: [1/4: [E4, G4, B4, D5]], lower: [1/1: {6: 3}]}")
    found = placed(score)
    assert {step.grip.spots[-1 if i == 0 else 0][:2] for i, step in enumerate(found.way.steps)} == {(6, 3)}
    held = [next(spot.finger for spot in step.grip.spots if spot.string == 6) for step in found.way.steps]
    assert len(set(held)) == 1


def test_open_strings_can_be_avoided():
    part = placed(read("  - notes: [1/4: [E4, A4, B4, E5]]"), limits=Limits(avoid_open=True)).part
    assert all(event[0][1] for event in notes_of(part))


def test_no_fret_above_the_limit_is_chosen():
    part = placed(read("  - notes: [1/4: [C5, E5, G5, A5]]"), limits=Limits(highest=5)).part
    assert all(event[0][1] <= 5 for event in notes_of(part))


def test_the_hand_stays_in_the_position_asked_for():
    found = placed(read("  - notes: [1/8: [G4, A4, B4, C5, D5, E5, F#5, G5]]"), limits=Limits(position=7))
    assert {step.grip.position for step in found.way.steps} == {7}


def test_several_instruments_have_their_own_necks():
    head = "parts:\n  - {id: a, instrument: ukulele}\n  - {id: b, instrument: bass}"
    score = read("  - parts: {a: {notes: [1/1: C5]}, b: {notes: [1/1: E3]}}", head)
    assert notes_of(placed(score, number=0).part)[0][0][:2] == (1, 3)
    assert notes_of(placed(score, number=1).part)[0][0][:2] == (2, 2)


@settings(max_examples=60)
@given(
    st.lists(st.tuples(st.integers(1, 6), st.integers(0, 12)), min_size=1, max_size=8),
    st.sampled_from(["beginner", "advanced"]),
)
def test_choosing_anew_never_changes_a_pitch(spots, hand):
    row = ", ".join(f"{{{string}: {fret}}}" for string, fret in spots)
    score = read(f"  - {{time: {len(spots)}/4, notes: [1/4: [{row}]]}}")
    free = release(score.parts[0])
    part = place_part(score, free, load_hand(hand)).part
    before = [event.notes[0].pitch for event in score.parts[0].measures[0].voices[0].events]
    for event, pitch in zip(part.measures[0].voices[0].events, before):
        note = event.notes[0]
        assert note.pitch == pitch
        assert part.instrument.written_midi(note.string, note.fret) == pitch.midi


def want(pitch, places=None):
    return (
        moment([pitch])
        .wants[0]
        ._replace(
            pitch=parse_pitch(PITCHES[pitch % 12] + str(pitch // 12)),
            **({"places": places} if places else {}),
        )
    )


PITCHES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


class TestWhatCannotBePlayed:
    def test_two_notes_on_one_string_are_named(self):
        reason = explain((want(41), want(42)), PRESETS["guitar"], USUAL)
        assert "both lie on string 6 alone" in reason.what
        assert any("octave higher" in way for way in reason.nearest)

    def test_a_note_below_the_lowest_string_is_named_with_a_string_to_tune_down(self):
        reason = explain((want(38),), PRESETS["guitar"], USUAL)
        assert "below the lowest string" in reason.what
        assert "string 6 tuned down to D2" in reason.nearest

    def test_an_inner_note_may_be_left_out(self):
        """Six notes in close position want more than a hand has."""
        reason = explain(tuple(want(60 + step) for step in (0, 1, 2)), PRESETS["guitar"], USUAL)
        assert any(way.startswith("leave out") for way in reason.nearest)

    def test_a_capo_is_offered_where_it_helps(self):
        """F2 with B3 over it at the second fret and C#5 at the ninth: a capo at 1 opens the sixth string."""
        wants = (want(41), want(73, ((1, 9),)))
        assert any("capo at fret 1" in way for way in explain(wants, PRESETS["guitar"], USUAL).nearest)

    def test_a_reach_is_told_in_millimetres(self):
        """A 650 mm scale has 153.9 mm from the first fret to the sixth (equal temperament: L (1 - 2^(-n/12)))."""
        found = placed(read("  - notes: [1/1: {6: 1, 2: 6}]"))
        (failure,) = found.unplayable
        assert "fret 1 to fret 6 is 154 mm" in failure.reason.what

    def test_ways_out_are_offered_and_work(self):
        found = placed(read("  - notes: [1/1: {6: 1, 2: 6}]"))
        assert found.unplayable[0].reason.nearest

    def test_wide_stretches_are_found_once_with_their_number(self):
        score = read("  - notes: [1/2: [{6: 1, 2: 5}, {6: 1, 2: 5}]]")
        (wide,) = find_wide(score, score.parts[0], load_hand("intermediate"))
        assert (wide.low, wide.high, wide.times, round(wide.millimetres, 1)) == (
            1,
            5,
            2,
            126.6,
        )  # equal temperament
        assert wide.reason is None

    def test_what_an_advanced_hand_reaches_a_beginner_does_not(self):
        score = read("  - notes: [1/1: {6: 1, 2: 5}]")
        (wide,) = find_wide(score, score.parts[0], load_hand("beginner"))
        assert wide.reason is not None

    def test_the_same_frets_are_further_apart_on_a_bass(self):
        """Frets 1 to 4 are 129.8 mm apart on a scale of 864 mm, 97.6 mm on one of 650 (equal temperament)."""
        bass = read("  - notes: [1/1: {4: 1, 1: 4}]", "instrument: bass")
        guitar = read("  - notes: [1/1: {4: 1, 1: 4}]")
        assert find_wide(bass, bass.parts[0], load_hand("intermediate"))
        assert not find_wide(guitar, guitar.parts[0], load_hand("intermediate"))

    def test_a_capo_brings_frets_nearer(self):
        score = read("  - notes: [1/1: {6: 1, 2: 6}]", "capo: 5")
        found = find_wide(score, score.parts[0], load_hand("intermediate"))
        assert [wide.reason for wide in found] == [None]
