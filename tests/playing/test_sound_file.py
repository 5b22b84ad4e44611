"""What is heard, measured on the samples by means that share nothing with how they were made."""

import io
import time
import wave
from fractions import Fraction
from itertools import pairwise

import pytest

np = pytest.importorskip("numpy")

from engrave.playing.performance import perform  # noqa: E402
from engrave.playing.plucked_string import RATE, Pluck, pluck  # noqa: E402
from engrave.playing.practice import Practice, practise  # noqa: E402
from engrave.playing.sound_file import frequency, render_wav  # noqa: E402
from engrave.playing.sounding import Beat, Performance, SoundingNote, TempoAt  # noqa: E402
from engrave.playing.taste import read_sound  # noqa: E402
from engrave.theory.bends import parse_bend  # noqa: E402
from tests.reading.helpers import read  # noqa: E402

E1, A4, E6 = 28, 69, 88


def note(midi, *marks, start=0, length=1, string=1, loudness=0.64, **more):
    return SoundingNote(
        0, string, Fraction(start), Fraction(length), midi, loudness, frozenset(marks), **more
    )


def performance(*notes, length=1, quarters=120.0):
    """Bars of 4/4 at so many quarters a minute: a whole note is two seconds unless said otherwise."""
    measures = tuple(Fraction(n) for n in range(length))
    beats = tuple(Beat(Fraction(n, 4), n % 4 == 0) for n in range(4 * length))
    return Performance(notes, (TempoAt(Fraction(0), quarters),), measures, beats, Fraction(length))


MEASURE = read("score: 1\nmeasures:\n  - notes: rest\n").measures[0]


def practised(performance, **wish):
    return practise(performance, MEASURE, Practice(**wish))


def samples(wav):
    with wave.open(io.BytesIO(wav)) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, 44_100)
        return np.frombuffer(file.readframes(file.getnframes()), "<i2") / 32768


def heard(*notes, **more):
    return samples(render_wav(performance(*notes, **more)))


def pitch(sound):
    """Hertz of a periodic sound: autocorrelation with a parabola through its peak, at longer and longer lags."""
    sound = sound - sound.mean()
    size = len(sound)
    spectrum = np.fft.rfft(sound, 2 * size)
    ac = np.fft.irfft(np.abs(spectrum) ** 2)[: size // 2]
    # Every lag has fewer products the longer it is; energy of both parts evens that out.
    sums = np.concatenate(([0.0], np.cumsum(sound**2)))
    lags = np.arange(size // 2)
    ac = 2 * ac / (sums[size - lags] + sums[size] - sums[lags])
    first = int(np.argmax(ac < 0))
    tops = [
        n for n in range(max(first, 8), min(2500, len(ac) - 1)) if ac[n] >= ac[n - 1] and ac[n] > ac[n + 1]
    ]
    best = max(ac[n] for n in tops)
    period = peak_at(ac, next(n for n in tops if ac[n] > 0.97 * best))
    for many in (2, 4, 8, 16, 32, 64):
        if period * many < size // 3:
            near = round(period * many)
            period = peak_at(ac, near - 2 + int(np.argmax(ac[near - 2 : near + 3]))) / many
    return RATE / period


def peak_at(ac, lag):
    left, top, right = ac[lag - 1 : lag + 2]
    return lag + (left - right) / (2 * (left - 2 * top + right))


def cents(hertz, midi):
    return 1200 * np.log2(hertz / (440 * 2 ** ((midi - 69) / 12)))


def level(sound):
    return 20 * np.log10(np.sqrt(np.mean(sound**2)) + 1e-9)


def part(sound, start, stop):
    return sound[round(start * RATE) : round(stop * RATE)]


@pytest.mark.parametrize("hertz", [41.2, 440.0, 1318.5])
@pytest.mark.parametrize("off", [-30, 0, 3])
def test_the_measure_of_pitch_finds_what_it_is_given(hertz, off):
    true = hertz * 2 ** (off / 1200)
    waves = sum(np.sin(2 * np.pi * true * k * np.arange(35280) / RATE + k * k) / k for k in range(1, 8))
    assert 1200 * np.log2(pitch(waves) / true) == pytest.approx(0, abs=0.3)


@pytest.mark.parametrize("midi", range(E1, E6 + 1))
def test_every_semitone_from_e1_to_e6_is_within_two_cents(midi):
    assert abs(cents(pitch(part(heard(note(midi)), 0.1, 0.9)), midi)) < 2


@pytest.mark.parametrize("marks", [["let-ring"], ["palm-mute"], ["natural-harmonic"]])
@pytest.mark.parametrize("midi", [40, 52, 64])
@pytest.mark.parametrize("loudness", [0.1, 1.0])
def test_marks_and_loudness_leave_the_pitch_alone(marks, midi, loudness):
    assert abs(cents(pitch(part(heard(note(midi, *marks, loudness=loudness)), 0.02, 0.22)), midi)) < 2


def test_the_concert_pitch_is_440_hertz():
    # ISO 16:1975: a' = 440 Hz. Equal temperament: a twelfth root of two a semitone.
    assert frequency(A4) == 440
    assert frequency(57) == 220
    assert pitch(part(heard(note(A4)), 0.1, 0.9)) == pytest.approx(440, abs=0.4)


def test_a_harmonic_sounds_at_its_pitch_and_nothing_sounds_below():
    # The twelfth fret of the low E string: E3, the second partial, and no odd partial of E2 (common practice, no source).
    (harmonic,) = perform(read("score: 1\nmeasures:\n  - notes: [1/1: {6: 12 natural-harmonic}]\n")).notes
    sound = part(heard(harmonic), 0.1, 1.1)
    assert abs(cents(pitch(sound), 52)) < 2
    spectrum = np.abs(np.fft.rfft(sound * np.hanning(len(sound))))
    low, octave = (spectrum[round(f) - 3 : round(f) + 4].max() for f in (82.4, 164.8))
    assert low < octave / 300


@pytest.mark.parametrize("midi", [40, 55, 64, 76])
def test_a_full_bend_ends_a_whole_step_higher(midi):
    sound = heard(note(midi, "bend", bend=parse_bend("full")))
    assert abs(cents(pitch(part(sound, 0.8, 1.9)), midi + 2)) < 6


def test_bends_are_released_and_pre_bends_start_high():
    there_and_back = heard(note(60, "bend", bend=parse_bend("full release")))
    assert abs(cents(pitch(part(there_and_back, 0.5, 0.95)), 62)) < 6
    assert abs(cents(pitch(part(there_and_back, 1.5, 1.95)), 60)) < 6
    pre = heard(note(60, "bend", bend=parse_bend("pre full then release")))
    assert abs(cents(pitch(part(pre, 1.0, 1.9)), 60)) < 6
    assert cents(pitch(part(pre, 0.0, 0.06)), 60) > 120


def test_slides_glide_over_the_end_or_the_start():
    first, second = (
        note(57, length="1/2", slides_to=64),
        note(64, "slide", start="1/2", length="1/2", slides_from=57),
    )
    struck = heard(first, second)
    assert abs(cents(pitch(part(struck, 0.3, 0.8)), 57)) < 2
    assert 57 < 69 + 12 * np.log2(pitch(part(struck, 0.9, 0.95)) / 440) < 64
    assert abs(cents(pitch(part(struck, 1.05, 1.5)), 64)) < 2
    legato = heard(first._replace(slides_to=0), second._replace(signs=frozenset({"slurred-slide"})))
    assert abs(cents(pitch(part(legato, 0.9, 0.99)), 57)) < 4
    assert 57 < 69 + 12 * np.log2(pitch(part(legato, 1.03, 1.08)) / 440) < 64
    assert abs(cents(pitch(part(legato, 1.3, 1.9)), 64)) < 4


@pytest.mark.parametrize(("mark", "width"), [("vibrato", 20), ("wide-vibrato", 50)])
def test_vibrato_swings_to_both_sides(mark, width):
    sound = heard(note(69, mark))
    at = [cents(pitch(part(sound, t, t + 0.03)), 69) for t in np.arange(0.4, 1.4, 0.01)]
    assert max(at) == pytest.approx(width, rel=0.25)
    assert min(at) == pytest.approx(-width, rel=0.25)
    turns = sum(a < 0 <= b for a, b in pairwise(at))
    assert 4 <= turns <= 6


def drop(*marks, midi=45):
    """Decibels lost from the first tenth of a second to the fourth."""
    sound = heard(note(midi, *marks))
    return level(part(sound, 0, 0.1)) - level(part(sound, 0.3, 0.4))


def test_muted_notes_die_faster_and_dead_notes_fastest():
    assert drop() + 10 < drop("palm-mute") < drop("dead") - 10
    assert drop(midi=40) < drop(midi=76)


def test_staccato_is_short_and_let_ring_lasts():
    def played(measure):
        return samples(render_wav(perform(read(f"score: 1\ntempo: 1/4 = 120\nmeasures:\n  - {measure}\n"))))

    usual, short = (
        played("notes: [1/2: {3: 2}, 1/2: rest]"),
        played("notes: [1/2: {3: 2 staccato}, 1/2: rest]"),
    )
    ring = played("{spans: {1: let-ring for 1/2}, notes: [1/2: {3: 2}, 1/2: rest]}")
    assert level(part(short, 0.7, 0.9)) < level(part(usual, 0.7, 0.9)) - 40
    assert level(part(ring, 1.5, 2)) > level(part(usual, 1.5, 2)) + 40


def test_a_string_sounds_one_note_at_a_time():
    first = note(57, "let-ring")
    same, other = (heard(first, note(64, start="1/2", length="1/4", string=s)) for s in (1, 2))
    assert level(part(other, 1.7, 2)) > level(part(same, 1.7, 2)) + 40


def test_ghost_notes_are_softer_and_soft_notes_darker():
    text = "score: 1\nmeasures:\n  - notes: [1/2: {3: 2}, 1/2: {3: 2 ghost}]\n"
    sound = samples(render_wav(perform(read(text))))
    assert level(part(sound, 1.25, 1.5)) < level(part(sound, 0, 0.25)) - 4

    def centre(loudness):
        spectrum = np.abs(np.fft.rfft(pluck(Pluck(110.0, loudness, 0.3, 5.0, 1.5, 0.14, 1)))) ** 2
        return (spectrum * np.arange(len(spectrum))).sum() / spectrum.sum()

    assert centre(0.2) < centre(0.9)


def test_strums_are_spread():
    text = "score: 1\nmeasures:\n  - notes: [1/1: {6: 3 strum-down, 4: 0, 1: 3}]\n"
    low, middle, high = perform(read(text)).notes[::-1]
    assert low.delay == 0 < middle.delay < high.delay
    begins = [np.flatnonzero(heard(one))[0] / RATE for one in (low, middle, high)]
    assert begins == pytest.approx([low.delay, middle.delay, high.delay], abs=0.001)


@pytest.mark.parametrize("click", [False, True])
@pytest.mark.parametrize("loudness", [-16.0, -20.0, -30.0])
def test_nothing_is_louder_than_the_limits(click, loudness):
    chord = [
        note(40 + 5 * n, string=n, loudness=1.0, start=Fraction(k, 4), length="1/4")
        for n in range(1, 7)
        for k in range(4)
    ]
    sound = samples(render_wav(practised(performance(*chord), click=click), loudness))
    assert 20 * np.log10(np.abs(sound).max()) <= -3
    loudest = max(level(sound[start : start + RATE]) for start in range(0, len(sound) - RATE, 441))
    assert loudest <= min(loudness, -16)
    assert loudest > loudness - 6


def test_wishes_that_would_hurt_or_never_end_are_refused():
    with pytest.raises(ValueError, match="too loud"):
        render_wav(performance(), loudness=-10)
    for scale in (0, -1, 100, float("nan")):
        with pytest.raises(ValueError, match="tempo scale"):
            practised(performance(), tempo_scale=scale)
    with pytest.raises(ValueError, match="too loud"):
        render_wav(performance(), loudness=float("nan"))


@pytest.mark.parametrize("scale", [0.5, 1.0, 2.0])
def test_the_tempo_scale_changes_the_length_and_not_the_pitch(scale):
    sound = samples(render_wav(practised(performance(note(57)), tempo_scale=scale)))
    assert len(sound) == round((2 / scale + read_sound().tail) * RATE)
    assert abs(cents(pitch(part(sound, 0.1, 0.8)), 57)) < 2


@pytest.mark.parametrize("scale", [0.8, 1.0])
def test_clicks_fall_on_the_beats_and_the_first_of_a_bar_is_higher(scale):
    sound = samples(render_wav(practised(performance(length=2), tempo_scale=scale, click=True)))
    loud = np.flatnonzero(np.abs(sound) > 0.02)
    starts = loud[np.flatnonzero(np.diff(loud, prepend=-RATE) > RATE // 10)]
    assert starts / RATE == pytest.approx([beat * 0.5 / scale for beat in range(8)], abs=0.001)
    high = [pitch(sound[s : s + 1100]) > 1250 for s in starts]
    assert high == [True, False, False, False] * 2


def test_without_a_wish_there_is_no_click_and_silence_is_silent():
    assert not heard().any()


def test_the_same_performance_gives_the_same_bytes():
    text = "score: 1\nmeasures:\n  - notes: [1/2: {3: 2 vibrato, 4: 2}, 1/2: {3: 4 slurred-slide, 4: {fret: 2, bend: full}}]\n"
    first, second = (render_wav(practised(perform(read(text)), click=True)) for _ in range(2))
    assert first == second


def test_all_strings_and_marks_at_once_stay_finite():
    marks = [
        "vibrato",
        "slide-from-below",
        "slide-from-above",
        "slide-away-up",
        "slide-away-down",
        "fade-in",
        "fade-out",
        "dead",
        "palm-mute",
        "staccatissimo",
    ]
    every = [
        note(m, marks[m % len(marks)], start=Fraction(m, 128), length="1/64", string=m % 6)
        for m in range(0, 128)
    ]
    sound = heard(*every)
    assert np.isfinite(sound).all()
    assert np.abs(sound).max() > 0.05


def test_a_frequency_or_a_bend_that_makes_no_sense_is_refused():
    with pytest.raises(ValueError, match="positive"):
        pluck(Pluck(0.0, 0.5, 0.1, 5.0, 1.5, 0.14, 1))
    with pytest.raises(ValueError, match="one for each"):
        pluck(Pluck(110.0, 0.5, 0.1, 5.0, 1.5, 0.14, 1), np.zeros(3))


def test_a_minute_of_four_voices_takes_seconds():
    notes = [
        note(
            40 + 7 * v + (k * 5) % 7, *["vibrato"][: k % 2], start=Fraction(k, 4), length="1/4", string=v + 1
        )
        for v in range(4)
        for k in range(120)
    ]
    before = time.process_time()
    sound = samples(render_wav(performance(*notes, length=30)))
    assert len(sound) == 62 * RATE
    assert time.process_time() - before < 10
