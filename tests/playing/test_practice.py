"""Music made for practising: counted in, clicked along, looped faster and faster, with a part left out."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.exchange.midi.writer import write_performance
from engrave.playing.left_out import is_silent, perform_without
from engrave.playing.performance import perform
from engrave.playing.practice import Practice, practise
from tests.exchange.midi_helpers import metas, parse, timed
from tests.reading.helpers import read

DUET = read(
    """score: 1
tempo: 1/4 = 60
parts: [{id: guitar, instrument: guitar}, {id: bass, instrument: bass}]
measures:
  - parts:
      guitar: {notes: [1/4: 1:0 1:1 1:3 1:5], lower: [1/1: 6:0]}
      bass: {notes: [1/1: 4:0]}
  - parts:
      guitar: {notes: [1/1: 1:0]}
      bass: {notes: [1/1: 4:3 fermata]}
"""
)
PICKUP = read(
    """score: 1
time: 3/4
tempo: 1/4 = 60
measures:
  - {pickup: true, notes: [1/4: 1:0]}
  - {notes: [1/2.: 1:3]}
"""
)


def practised(score, **wish):
    return practise(perform(score), score.measures[0], Practice(**wish))


def clicks(score, **wish):
    return [(beat.moment, beat.is_first) for beat in practised(score, **wish).clicks]


def starts(performance):
    return [performance.seconds(note.start) for note in performance.notes]


# Count-in and click


@pytest.mark.parametrize("measures", [1, 2, 3])
def test_a_count_in_clicks_whole_measures_before_the_music(measures):
    found = practised(DUET, count_in=measures)
    assert min(starts(found)) == pytest.approx(4 * measures)
    assert [beat.moment for beat in found.clicks] == [Fraction(n, 4) for n in range(4 * measures)]
    assert [beat.is_first for beat in found.clicks] == [True, False, False, False] * measures


def test_the_count_fills_the_measure_that_a_pickup_leaves_open():
    # One whole measure of three, and two beats of the pickup's (common practice, no source).
    assert clicks(PICKUP, count_in=1) == [
        (Fraction(n, 4), n % 3 == 0) for n in range(5)
    ]  # fmt: skip
    assert practised(PICKUP, count_in=1).notes[0].start == Fraction(5, 4)


def test_a_click_goes_on_through_the_music_in_step_with_the_count():
    found = clicks(PICKUP, count_in=1, click=True)
    assert found == [(Fraction(n, 4), n % 3 == 0) for n in range(9)]


@pytest.mark.parametrize(
    ("time", "tempo", "step"),
    [
        ("6/8", "1/4. = 60", Fraction(3, 8)),
        ("6/8", "1/8 = 120", Fraction(1, 8)),
        ("6/8", "1/4 = 60", Fraction(1, 8)),
        ("2/2", "1/2 = 60", Fraction(1, 2)),
        ("2/2", "1/4 = 60", Fraction(1, 2)),
        ("4/4", "1/2 = 60", Fraction(1, 2)),
        ("3/4", "1/2 = 60", Fraction(1, 4)),
    ],
)
def test_clicks_go_by_the_value_that_the_metronome_mark_counts(time, tempo, step):
    text = f"score: 1\ntime: {time}\ntempo: {tempo}\nmeasures:\n  - notes: rest\n  - notes: rest\n"
    found = [moment for moment, _ in clicks(read(text), click=True)]
    assert {after - before for before, after in pairwise(found)} == {step}


def test_nothing_is_clicked_where_nobody_asks():
    assert clicks(DUET) == []


def test_the_clicks_of_midi_are_wood_blocks_on_the_channel_of_percussion():
    # General MIDI 1: channel 10; 76 is the high wood block, 77 the low one.
    data = write_performance(DUET, practised(DUET, count_in=1))
    found = [m for _, m in timed(parse(data).tracks[-1]) if m.type == "note_on" and m.velocity]
    assert [(m.channel, m.note) for m in found] == [(9, 76), (9, 77), (9, 77), (9, 77)]


def test_a_count_before_a_pickup_has_the_time_of_the_piece():
    times = metas(write_performance(PICKUP, practised(PICKUP, count_in=1)), "time_signature")
    assert [(tick, m.numerator, m.denominator) for tick, m in times] == [(0, 3, 4)]


# Loops


@given(st.integers(1, 6), st.floats(-10, 30))
def test_each_time_through_is_faster_by_the_same_step(times, rise):
    found = practised(PICKUP, times=times, rise=rise)
    plain = perform(PICKUP)
    first = plain.seconds(plain.length)
    ends = [found.seconds(plain.length * number) for number in range(times + 1)]
    for number in range(times):
        assert ends[number + 1] - ends[number] == pytest.approx(first / (1 + rise / 100 * number))
    assert len(found.notes) == times * len(plain.notes)


def test_music_is_counted_in_once_however_often_it_is_played():
    found = practised(DUET, count_in=1, times=3)
    assert len(found.clicks) == 4
    assert found.length == 1 + 3 * perform(DUET).length


@pytest.mark.parametrize(
    "wish", [{"tempo_scale": 5.0}, {"times": 100, "rise": 10.0}, {"times": 20, "rise": -5.0}]
)
def test_a_tempo_that_cannot_be_followed_is_refused(wish):
    with pytest.raises(ValueError, match="tempo scale"):
        practised(DUET, **wish)


def test_midi_has_the_times_and_tempos_of_every_pass():
    data = write_performance(PICKUP, practised(PICKUP, times=2, rise=20))
    tempos = [round(60e6 / m.tempo) for _, m in metas(data, "set_tempo")]
    assert tempos == [60, 72]
    assert [m.numerator for _, m in metas(data, "time_signature")] == [1, 3, 1, 3]


# A part left out


def heard(*left_out):
    return sorted((note.part, note.midi) for note in perform_without(DUET, 0, None, True, left_out).notes)


def test_a_part_is_left_out_by_name_id_or_number():
    guitar = [row for row in heard() if row[0] == 0]
    assert heard("bass") == heard("Bass") == heard("2") == guitar


def test_a_voice_is_left_out_of_a_part_or_of_all():
    assert len(heard("guitar lower")) == len(heard()) - 1
    assert heard("lower") == heard("guitar lower")
    assert [part for part, _ in heard("upper")] == [0]


def test_who_plays_along_waits_where_the_part_that_is_left_out_waits():
    whole, rest = perform(DUET), perform_without(DUET, 0, None, True, ["bass"])
    assert rest.tempos == whole.tempos


def test_a_part_that_is_not_there_is_told():
    with pytest.raises(ValueError, match='there is no part "drums"'):
        heard("drums")


def test_silence_with_a_click_is_something_to_hear():
    nothing = perform_without(DUET, 0, None, True, ["1", "2"])
    assert is_silent(nothing)
    assert not is_silent(practise(nothing, DUET.measures[0], Practice(count_in=1)))
