"""Which octave, key and capo suit an instrument; the costs are house rules, what they must lead to is common practice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.fingering.fit import Fitter, Sounds
from engrave.theory.instrument import PRESETS
from engrave.theory.key import parse_key
from engrave.theory.transposition import NO_INTERVAL
from tests.fingering.hands import USUAL, midi

GUITAR, UKULELE = PRESETS["guitar"], PRESETS["ukulele"]


def fitter(pitches, instrument=GUITAR, key="C major", octave=0, is_free=True):
    chords = {tuple(sorted(midi(chord.replace("+", " ")))): 1 for chord in pitches.split()}
    return Fitter([Sounds(chords, octave, is_free)], instrument, NO_INTERVAL, parse_key(key), USUAL.fit)


def test_a_fiddle_tune_stands_on_the_guitar_where_it_is_written_and_so_sounds_an_octave_lower():
    """Music for the guitar is written an octave above its sound (common practice, no source)."""
    way = fitter("G4 B4 D5 G5 B5").usual
    assert way.octaves == (-1,)
    assert (way.lie.lost, way.lie.highest) == (0, 7)


def test_a_low_melody_keeps_its_sound():
    assert fitter("E2 G2 B2").usual.octaves == (0,)


def test_music_that_lies_on_strings_already_keeps_its_sound():
    assert fitter("G4 B4 D5 G5 B5", octave=1, is_free=False).usual.octaves == (0,)


def test_notes_without_a_string_are_counted_by_side():
    lie = fitter("B3 C4 A5 D7", UKULELE).usual.lie
    assert (lie.notes, lie.below, lie.above) == (4, 1, 1)


def test_chords_with_too_many_notes_are_counted():
    assert fitter("C4+E4+G4+C5+E5", UKULELE).usual.lie.crowded == 1


def test_a_song_below_the_ukulele_goes_to_a_key_in_which_it_has_all_of_it():
    found = fitter("G3 C4 E4 G4 A4", UKULELE)
    best = found.ways()[0]
    assert found.usual.lie.lost == 1
    assert best.lie.lost == 0
    assert best.lie.highest <= 7


def test_a_capo_is_worth_it_where_the_key_has_no_open_strings():
    best = fitter("Eb3 F3 G3 Ab3 Bb3", key="Eb major").ways()[0]
    assert (best.capo, best.interval) == (1, NO_INTERVAL)


def test_where_other_parts_stay_key_and_capo_stay_too():
    assert {way.kind for way in fitter("G3 C4 E4", UKULELE).ways(only_octaves=True)} == {(False, False)}


@given(
    st.lists(st.integers(36, 96), min_size=1, max_size=12), st.sampled_from(["guitar", "ukulele", "mandolin"])
)
def test_ways_come_in_the_order_of_their_cost_and_none_is_dearer_than_changing_nothing(pitches, name):
    found = Fitter(
        [Sounds({(pitch,): 1 for pitch in pitches}, 0, True)],
        PRESETS[name],
        NO_INTERVAL,
        parse_key("C major"),
        USUAL.fit,
    )
    ways = found.ways()
    assert [way.cost for way in ways] == sorted(way.cost for way in ways)
    assert ways[0].cost <= found.usual.cost


@pytest.mark.parametrize("key", ["C major", "G major", "D major"])
def test_a_key_that_suits_the_strings_stays(key):
    assert not any(fitter("G3 A3 B3 D4 G4", key=key).ways()[0].kind)
