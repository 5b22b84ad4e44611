"""Room, body and level: stereo by choice, no clipping between samples, notes that end without a click."""

import io
import wave
from dataclasses import replace

import pytest

np = pytest.importorskip("numpy")

from engrave.playing.levels import decibels, measure_levels, true_peak  # noqa: E402
from engrave.playing.performance import perform  # noqa: E402
from engrave.playing.plucked_string import RATE  # noqa: E402
from engrave.playing.practice import Practice, practise  # noqa: E402
from engrave.playing.sound_file import join_wavs, render_wav  # noqa: E402
from engrave.playing.taste import read_sound  # noqa: E402
from tests.reading.helpers import read  # noqa: E402

DUET = read(
    """score: 1
tempo: 1/4 = 120
parts: [{id: guitar, instrument: guitar}, {id: bass, instrument: bass}]
measures:
  - {parts: {guitar: {notes: [1/8: 1:0 2:1 3:0 1:1 2:1 3:2 1:3 1:5]}, bass: {notes: [1/4: 4:0 4:3 3:2 4:0]}}}
"""
)
STOPPED = read(
    "score: 1\ntempo: 1/4 = 120\nmeasures:\n  - notes: [1/16: 6:0 staccatissimo, 1/16: rest, 1/8: rest, 1/2.: rest]\n"
)
AGAIN = read(
    "score: 1\ntempo: 1/4 = 240\nmeasures:\n  - notes: [1/16: 6:0 6:3 6:0 6:3 6:0 6:3 6:0 6:3, 1/2: rest]\n"
)


def channels(data):
    with wave.open(io.BytesIO(data)) as file:
        sound = np.frombuffer(file.readframes(file.getnframes()), "<i2") / 32768
        return sound.reshape(-1, file.getnchannels()).T


def test_sound_is_mono_and_a_room_makes_it_stereo():
    performance = perform(DUET)
    assert len(channels(render_wav(performance))) == 1
    left, right = channels(render_wav(performance, room=True))
    assert len(left) == len(right)
    assert np.abs(left - right).max() > 0.01


@pytest.mark.parametrize(("part", "louder"), [(0, 0), (1, 1)])
def test_parts_stand_on_their_own_sides(part, louder):
    whole = perform(DUET)
    notes = tuple(note if note.part == part else note._replace(loudness=0.0) for note in whole.notes)
    powers = [np.mean(channel**2) for channel in channels(render_wav(replace(whole, notes=notes), room=True))]
    assert powers[louder] > 1.5 * powers[1 - louder]


def test_a_room_rings_on_after_a_note_that_was_stopped():
    dry, wet = (channels(render_wav(perform(STOPPED), room=room))[0] for room in (False, True))
    after = slice(round(0.35 * RATE), round(0.5 * RATE))
    assert np.abs(dry[after]).max() < 1e-4
    assert np.sqrt(np.mean(wet[after] ** 2)) > 1e-4


def test_the_end_is_silent_in_a_room_too():
    for channel in channels(render_wav(perform(DUET), room=True)):
        assert np.abs(channel[-RATE // 100 :]).max() < 1e-3
        assert abs(channel.mean()) < 1e-3


@pytest.mark.parametrize("room", [False, True])
@pytest.mark.parametrize("click", [False, True])
@pytest.mark.parametrize("loudness", [-16.0, -30.0])
def test_no_channel_passes_the_limits_not_even_between_its_samples(room, click, loudness):
    performance = practise(perform(DUET), DUET.measures[0], Practice(count_in=1, click=click))
    data = render_wav(performance, loudness, room)
    for channel in channels(data):
        assert decibels(true_peak(channel)) <= read_sound().loudest_peak
    assert measure_levels(data).loudest <= loudness + 0.01


def test_a_true_peak_lies_between_samples():
    # A sine of a quarter of the rate, its samples 45 degrees from its tops: they reach 0.707 of 1 (ITU-R BS.1770-4, annex 2).
    sound = np.sin(np.pi / 2 * np.arange(4000) + np.pi / 4)
    assert np.abs(sound).max() == pytest.approx(0.7071, abs=0.001)
    assert true_peak(sound) == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize("score", [STOPPED, AGAIN])
def test_a_string_that_is_stopped_or_struck_again_fades(score):
    """A click is a jump: no sample is farther from the one before than the steepest of the notes' own beginnings."""
    (sound,) = channels(render_wav(perform(score)))
    steps = np.abs(np.diff(sound))
    begins = [round(perform(score).seconds(note.start) * RATE) for note in perform(score).notes]
    own = max(steps[begin : begin + RATE // 50].max() for begin in begins)
    assert steps.max() <= own
    last = np.flatnonzero(np.abs(sound) > 1e-3)[-1]
    assert steps[last : last + RATE // 100].max() < 2e-3


def test_pieces_are_joined_with_silence_between():
    one, two = (render_wav(perform(score)) for score in (DUET, STOPPED))
    (joined,) = channels(join_wavs([one, two], 1.5))
    (first,), (second,) = channels(one), channels(two)
    assert len(joined) == len(first) + len(second) + round(1.5 * RATE)
    assert not joined[len(first) : len(first) + round(1.5 * RATE)].any()
