"""The samples of the repository as they sound: safe, even, and without clicks."""

import io
import wave
from pathlib import Path

import pytest

np = pytest.importorskip("numpy")

from engrave.playing.levels import measure_levels, true_peak  # noqa: E402
from engrave.playing.performance import perform  # noqa: E402
from engrave.playing.plucked_string import RATE  # noqa: E402
from engrave.playing.sound_file import render_wav  # noqa: E402
from engrave.playing.taste import read_sound  # noqa: E402
from engrave.reading.load import load_score  # noqa: E402
from tests.reading.helpers import read  # noqa: E402

SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.yaml"))
SHEETS = sorted((Path(__file__).parents[2] / "samples" / "signs").glob("*.yaml"))
MOST_MEASURES = 12
"""As many measures of a sample are rendered."""


def samples(wav):
    with wave.open(io.BytesIO(wav)) as file:
        return np.frombuffer(file.readframes(file.getnframes()), "<i2") / 32768


def gated(sound):
    """Mean level in dB of blocks of 0.4 s, silent ones and those 10 dB below the mean left out.

    The gates of ITU-R BS.1770-4, without its weighting by frequency.
    """
    sums, size = np.concatenate(([0.0], np.cumsum(sound**2))), round(0.4 * RATE)
    powers = (sums[size :: size // 4] - sums[: -size : size // 4]) / size
    powers = powers[powers > 1e-7]
    return 10 * np.log10(powers[powers > powers.mean() / 10].mean())


@pytest.mark.parametrize("path", [*SAMPLES, *SHEETS], ids=lambda path: path.stem)
def test_samples_are_safe_even_and_end_in_silence(path):
    score, _ = load_score(str(path))
    sound = samples(render_wav(perform(score, 0, min(MOST_MEASURES, len(score.measures)))))
    loudest = max(np.sqrt(np.mean(sound[n : n + RATE] ** 2)) for n in range(0, len(sound) - RATE, RATE // 20))
    assert 20 * np.log10(true_peak(sound)) <= read_sound().loudest_peak
    assert 20 * np.log10(loudest) <= read_sound().loudest_rms
    assert 20 * np.log10(loudest) == pytest.approx(read_sound().level, abs=1)
    assert gated(sound) == pytest.approx(-24, abs=3.5)
    assert np.abs(sound[-RATE // 100 :]).max() < 1e-4
    assert abs(sound.mean()) < 1e-4


@pytest.mark.parametrize(
    "notes",
    ["1/4: {6: 3}, 1/2.: rest", "1/4: {1: 12 staccato}, 1/2.: rest", "1/4: {5: {fret: 3, marks: [vibrato]}}, 1/2.: rest", "1/2: {2: 5 tremolo}, 1/2: rest",
     "1/4: {2: {fret: 5, vibrato-bar: dive 2}}, 1/2.: rest", "1/4: {6: 3, 5: 2, 4: 0, 3: 0, 2: 0, 1: 3}, 1/2.: rest", "1/1: {5: 3 caesura}"],
)  # fmt: skip
def test_notes_end_without_a_click(notes):
    """A click is a kink of the wave: the second difference, sharp where a smooth wave is not, jumps up for a moment."""
    performance = perform(read(f"score: 1\ntempo: 1/4 = 60\nmeasures:\n  - notes: [{notes}]\n"))
    sound = samples(render_wav(performance))
    kink = np.abs(np.diff(sound, 2))
    end = max(performance.seconds(note.start + note.length) for note in performance.notes)
    before, around = (
        kink[round((end + a) * RATE) : round((end + b) * RATE)].max()
        for a, b in ((-0.06, -0.01), (-0.01, 0.4))
    )
    assert before > 0
    assert around < 1.5 * before + 4 / 32768


def test_levels_of_a_square_wave_are_those_of_arithmetic():
    # A square wave of half the full scale: peak and RMS 6.02 dB below it.
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.writeframes((np.tile([16384, -16384], RATE)).astype("<i2").tobytes())
    found = measure_levels(file.getvalue())
    assert found == pytest.approx((2.0, -6.02, -6.02), abs=0.01)
    assert "peak -6.0 dBFS" in str(found)


def test_silence_has_a_level_too():
    silent = render_wav(perform(read("score: 1\nmeasures:\n  - notes: [1/1: rest]\n")))
    assert measure_levels(silent).peak == -120
