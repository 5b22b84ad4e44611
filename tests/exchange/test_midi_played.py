"""MIDI as people play it: uneven hands, drifting tempo, notes let go early, two voices, swing.

What comes back is compared with what was meant; the sources of the rules stand beside the code ("house rule").
"""

from fractions import Fraction
from math import sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.exchange.midi.beats import QUARTER, fits, gather_onsets, track_beats
from engrave.exchange.midi.held import HELD, decide_stop
from engrave.exchange.midi.reader import read_midi
from engrave.exchange.midi.voices import Group, Sounding, has_overlaps, part_voices
from engrave.playing.performance import perform
from engrave.theory.metre import Metre
from tests.exchange.midi_helpers import made, note, tree_score
from tests.tools.played import HANDS, Hand, Struck, Tune, compare, play, sample_tunes

EIGHTHS = Tune(
    "eighths",
    tuple(Struck(Fraction(n, 8), Fraction(1, 8), 60 + n * 5 % 13) for n in range(64)),
    tempo=110.0,
    upper=4,
    unit=4,
)
TWO_VOICES = Tune(
    "two voices",
    tuple(
        sorted(
            [Struck(Fraction(n, 8), Fraction(1, 8), (64, 67, 72, 67)[n % 4]) for n in range(64)]
            + [Struck(Fraction(n, 2), Fraction(1, 2), (43, 48)[n % 2]) for n in range(16)]
        )
    ),
    tempo=100.0,
    upper=4,
    unit=4,
)
TRIPLETS = Tune(
    "triplets",
    tuple(Struck(Fraction(n, 12), Fraction(1, 12), 60 + n % 5) for n in range(96)),
    tempo=90.0,
    upper=4,
    unit=4,
)
COMMON = Metre((4,), 4)
STRAIGHT = [hand for name, hand in HANDS.items() if "swung" not in name]


@pytest.mark.parametrize("hand", STRAIGHT, ids=[name for name in HANDS if "swung" not in name])
@pytest.mark.parametrize("tune", [EIGHTHS, TWO_VOICES, *sample_tunes()], ids=lambda tune: tune.name)
def test_what_was_meant_comes_back_however_it_was_played(tune, hand):
    notes, onsets, values = compare(tune, play(tune, hand))
    assert onsets >= 0.99 * notes
    assert values >= 0.97 * notes


@pytest.mark.parametrize("drift", [-0.15, -0.1, -0.05, 0.05, 0.1, 0.15])
def test_a_tempo_that_drifts_is_followed_and_told(drift):
    data = play(EIGHTHS, Hand(ramp=drift, jitter=0.01))
    assert compare(EIGHTHS, data)[1] == len(EIGHTHS.notes)
    assert "so their own beats were followed" in read_midi(data)[1][0]


def test_a_tempo_map_that_fits_is_kept():
    tree, changes = read_midi(play(EIGHTHS, Hand(jitter=0.02)))
    assert tree["tempo"] == "1/4 = 110"
    assert changes == []


def test_the_tempo_that_was_played_is_written():
    tree, _ = read_midi(play(EIGHTHS, Hand(faster=0.9)))
    assert tree["tempo"] == "1/4 = 99"


@given(
    st.floats(0.9, 1.1),
    st.floats(-0.04, 0.04),
    st.lists(st.sampled_from([12, 24, 48, 96]), min_size=12, max_size=40),
)
def test_beats_are_found_at_any_steady_or_gently_waving_tempo(period, wave, steps):
    places = [0]
    for step in steps:
        places.append((places[-1] // step + 1) * step)
    moments = [period * (place / QUARTER + wave * sin(place / QUARTER / 5)) for place in places]
    beats = track_beats(moments, 100.0, 12, COMMON)
    assert [place - beats.places[0] for place in beats.places] == places


@given(st.lists(st.floats(0.01, 3), min_size=2, max_size=40))
def test_places_grow_with_the_onsets_whatever_was_played(gaps):
    moments = [sum(gaps[: index + 1]) for index in range(len(gaps))]
    onsets = gather_onsets(moments, 120.0)
    beats = track_beats(onsets, 120.0, 12, COMMON)
    if len(onsets) < 2:
        assert beats is None
    else:
        assert list(beats.places) == sorted(set(beats.places))
        assert [beats.place(onset) for onset in onsets] == pytest.approx(beats.places)


def test_onsets_beside_each_other_are_one_chord():
    assert gather_onsets([0.0, 0.02, 1.0, 1.04], 60.0) == [0.0, 1.0, 1.04]


def test_a_strummed_chord_is_one_onset():
    assert gather_onsets([0.0, 0.015, 0.03, 0.045, 0.06, 0.075, 0.5], 60.0) == [0.0, 0.5]


@pytest.mark.parametrize("share", [0.25, 1 / 3, 0.5])
def test_onsets_on_the_grid_of_the_file_fit(share):
    assert fits([n * share for n in range(60)])
    assert not fits([n * share * 1.03 for n in range(60)])


def test_exact_thirty_seconds_fit():
    assert fits([n / 8 for n in range(100)])


# Notes let go early


@pytest.mark.parametrize("length", [12, 24, 36, 48, 72, 96, 144])
def test_a_note_that_is_held_for_most_of_its_value_has_it(length):
    held = 0.92 * length
    assert decide_stop(0, held, 12 * round(held / 12), None, is_exact=False) == length


def test_a_gap_before_the_next_note_closes_from_the_stated_share_on():
    assert decide_stop(0, HELD * 120, 96, 120, is_exact=False) == 120
    assert decide_stop(0, (HELD - 0.1) * 120, 84, 120, is_exact=False) < 120


def test_ends_that_a_machine_wrote_are_meant():
    rows = [row for start in (0, 960, 1920, 2880) for row in note(start, start + 840, 64)]
    lengths = [note.length for note in perform(tree_score(read_midi(made(rows))[0])).notes]
    assert lengths == [Fraction(7, 16)] * 4


def test_the_end_of_a_note_that_was_struck_again_is_not_taken_for_that_of_the_next():
    rows = sorted([*note(0, 490, 64), *note(480, 960, 64), *note(950, 1440, 64)], key=lambda row: row[0])
    assert read_midi(made(rows))[0]["measures"][0]["notes"] == [{"1/4": "E5 E5 E5 rest"}]


# Voices


def groups(*rows):
    return [Group(start, tuple(Sounding(*sound) for sound in sounds)) for start, *sounds in rows]


def test_a_bass_that_is_held_under_a_tune_is_a_voice_of_its_own():
    tree, changes = read_midi(play(TWO_VOICES, Hand(jitter=0.01, held=0.92)))
    assert changes == []
    assert tree["measures"][0] == {
        "notes": [{"1/8": "E5 G5 C6 G5 E5 G5 C6 G5"}],
        "lower": [{"1/2": "G3 C4"}],
    }


def test_chords_that_end_together_stay_one_voice():
    rows = groups((0, (48, 48.0), (60, 47.0)), (48, (50, 96.0), (62, 96.0)))
    assert not has_overlaps(rows)


def test_notes_that_are_let_go_a_little_late_stay_one_voice():
    assert not has_overlaps(groups((0, (60, 55.0)), (48, (62, 101.0)), (96, (64, 144.0))))


def test_a_held_tune_over_a_moving_bass_comes_apart_too():
    rows = groups((0, (40, 48.0), (72, 192.0)), (48, (43, 96.0)), (96, (45, 144.0)), (144, (47, 192.0)))
    assert part_voices(rows) == [1, 1, 1, 1]


def test_voices_do_not_cross():
    rows = groups((0, (40, 192.0), (60, 48.0)), (48, (64, 96.0)), (96, (62, 144.0)), (144, (60, 192.0)))
    assert part_voices(rows) == [1, 0, 0, 0]


@given(st.data())
def test_every_note_is_in_one_voice_and_lower_notes_are_in_the_lower(data):
    rows, start = [], 0
    for _ in range(data.draw(st.integers(1, 12))):
        start += data.draw(st.sampled_from([12, 24, 48]))
        pitches = data.draw(st.sets(st.integers(40, 80), min_size=1, max_size=4))
        rows.append((start, *((pitch, start + data.draw(st.floats(6, 200))) for pitch in sorted(pitches))))
    counts = part_voices(groups(*rows))
    assert all(0 <= count <= len(row) - 1 for count, row in zip(counts, rows, strict=True))


# Swing


@pytest.mark.parametrize("short", [0.62, 2 / 3, 0.69])
@pytest.mark.parametrize("wave", [0.0, 0.03])
def test_long_and_short_eighths_are_swung_ones(short, wave):
    data = play(EIGHTHS, Hand(swing=short, jitter=0.008, wave=wave, held=0.92))
    tree, changes = read_midi(data)
    assert tree["swing"] == "1/8"
    assert any("swung eighths" in change for change in changes)
    assert compare(EIGHTHS, data) == (64, 64, 64)


def test_swung_eighths_are_triplets_where_that_is_asked_for():
    tree, _ = read_midi(play(EIGHTHS, Hand(swing=2 / 3)), swing=False)
    assert "swing" not in tree
    assert "3 in 2 of 1/8" in tree["measures"][0]["notes"][0]


@pytest.mark.parametrize("tune", [EIGHTHS, TRIPLETS, TWO_VOICES, *sample_tunes()], ids=lambda tune: tune.name)
def test_what_is_not_swung_stays_as_it_is(tune):
    assert "swing" not in read_midi(play(tune, Hand(jitter=0.01)))[0]


def test_dotted_eighths_with_their_sixteenths_are_not_swung():
    rows = [
        Struck(Fraction(n, 4) + late, Fraction(1, 16), 60 + n)
        for n in range(16)
        for late in (0, Fraction(3, 16))
    ]
    tune = Tune("dotted", tuple(rows), tempo=100.0, upper=4, unit=4)
    assert "swing" not in read_midi(play(tune, Hand(jitter=0.012)))[0]


def test_a_swing_that_was_read_is_heard_as_it_was_played():
    played = perform(tree_score(read_midi(play(EIGHTHS, Hand(swing=2 / 3)))[0])).notes
    assert [note.start for note in played[:4]] == [
        Fraction(0),
        Fraction(1, 6),
        Fraction(1, 4),
        Fraction(5, 12),
    ]
