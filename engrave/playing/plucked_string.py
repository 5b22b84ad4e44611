"""One plucked string, after Karplus and Strong (1983) with the extensions of Jaffe and Smith (1983).

A delay line of one period is filled with a burst of noise and fed back on itself through a filter that averages
neighbours, so that high partials die before low ones. K. Karplus and A. Strong, "Digital Synthesis of Plucked-String
and Drum Timbres", and D. Jaffe and J. Smith, "Extensions of the Karplus-Strong Plucked-String Algorithm", both
Computer Music Journal 7(2), 1983 (from memory): tuning by a fractional delay, decay by the loop's gain and filter,
loudness by a low-pass of the burst, the place of the pick by a comb.

All filters here are without feedback of their own, so that a whole period is computed at a time.
"""

from __future__ import annotations

from math import ceil, exp, log, pi
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from engrave.playing.taste import read_sound

Samples = NDArray[np.float64]
"""Sound, one number a sample."""

RATE = 44_100
"""Samples a second (the rate of compact discs)."""
HIGHEST = 5000.0
"""Strings above this many hertz are silent: no fretted instrument reaches them (house rule)."""
_FADED = log(1000.0)
"""How far a sound has died, as a natural logarithm, when its decay time is over: 60 dB."""
_REFERENCE = 1000.0
"""The hertz at which `Pluck.darkening` holds (house rule)."""
_STEP_VARIANCE = 0.5
"""The most that one pass over three neighbours can blur, in samples squared: weights 1/4, 1/2, 1/4."""
_MOST_PASSES = 48
_PASSES_OF_PERIOD = 0.25
"""The averaging takes no more than this part of a period, so that the delay line keeps its own (house rule)."""
_TABLE = 8192
"""Points in the table of one period of the burst."""
_BAND = 12_000.0
"""No partial of the burst lies above this many hertz (house rule)."""


class Pluck(NamedTuple):
    """How a string is plucked and how it dies away."""

    frequency: float
    """Hertz, of equal temperament or not."""
    loudness: float
    """From 0 to 1: it makes the burst stronger and brighter."""
    seconds: float
    """How long it sounds."""
    decay: float
    """Seconds until the string would have died by 60 dB if it had no high partials."""
    darkening: float
    """How much faster a partial at 1 kHz dies, in nepers a second; it grows with the square of the frequency."""
    position: float
    """Where it is plucked, as a part of the string: partials with a node there are missing."""
    seed: int
    """Which noise: the same number gives the same samples."""


def pluck(wish: Pluck, semitones: Samples | None = None) -> Samples:
    """The samples of one string, of RMS 1 x `loudness` at the start.

    `semitones` says for every sample how far the string is bent or stopped above `frequency`; without it the pitch
    stays. Raises ValueError for a frequency that is not positive, or `semitones` of another length than the sound.
    """
    if wish.frequency <= 0:
        raise ValueError(
            f"a string of {wish.frequency} Hz does not sound; frequencies are positive, such as 440"
        )
    count = max(1, round(wish.seconds * RATE))
    if semitones is not None and len(semitones) != count:
        raise ValueError(f"{len(semitones)} values of semitones for {count} samples; give one for each")
    highest = wish.frequency * (2 ** (float(semitones.max()) / 12) if semitones is not None else 1.0)
    if highest > HIGHEST:
        return np.zeros(count)
    smooth = _averaging(wish, RATE / highest)
    if semitones is None:
        sound = _steady(wish, smooth, count)
    else:
        sound = _moving(wish, smooth, RATE / (wish.frequency * 2 ** (semitones / 12)))
    touch = min(count, round(read_sound().touch * RATE))
    sound[:touch] *= np.linspace(0.0, 1.0, touch)
    return sound


def dies_after(wish: Pluck) -> float:
    """Seconds until the fundamental has died by 60 dB."""
    return _FADED / (_FADED / wish.decay + wish.darkening * (wish.frequency / _REFERENCE) ** 2)


def _averaging(wish: Pluck, shortest: float) -> Samples:
    """The weights of the averaging filter, with the loop's gain; it delays by half its length less one half.

    Averages of three neighbours, made again and again: each adds its variance, and a variance of v samples squared
    loses v w^2 / 2 nepers a period at w radians a sample, for all w that matter. As the weights are symmetric, the
    delay is the same for every partial and is a whole number of samples. `shortest` is the shortest period, in
    samples.
    """
    reference = 2 * pi * _REFERENCE / RATE
    variance = 2 * wish.darkening / (reference**2 * wish.frequency)
    most = max(1, min(_MOST_PASSES, int(shortest * _PASSES_OF_PERIOD)))
    passes = min(most, max(1, ceil(variance / _STEP_VARIANCE)))
    side = min(_STEP_VARIANCE, variance / passes) / 2
    weights: Samples = np.array([exp(-_FADED / (wish.decay * wish.frequency))])
    for _ in range(passes):
        weights = np.convolve(weights, [side, 1 - 2 * side, side])
    return weights


def _split(delay: Samples) -> tuple[NDArray[np.int64], Samples]:
    """Whole samples of `delay`, and the weights (4 x n) of third-order Lagrange interpolation for the rest.

    The rest lies between 1 and 2, the middle of the four points, where the interpolation is best and never gains.
    """
    whole = np.floor(delay).astype(np.int64) - 1
    d = delay - whole
    weights = (
        -(d - 1) * (d - 2) * (d - 3) / 6,
        d * (d - 2) * (d - 3) / 2,
        -d * (d - 1) * (d - 3) / 2,
        d * (d - 1) * (d - 2) / 6,
    )
    return whole, np.stack(weights)


def _burst(wish: Pluck, periods: Samples) -> Samples:
    """The pick's noise as it fills the delay line; `periods` are in cycles from the start.

    Its partials have phases by chance but strengths by rule, so that all notes of one loudness are equally loud.
    """
    most = max(1, int(min(_BAND, RATE / 2.5) / wish.frequency))
    partial = np.arange(1, most + 1)
    cut = read_sound().softest_cut + read_sound().cut_growth * wish.loudness
    strength = np.abs(np.sin(pi * wish.position * partial)) / partial
    strength /= 1 + (partial * wish.frequency / cut) ** 2
    spectrum = np.zeros(_TABLE // 2 + 1, dtype=np.complex128)
    phase = np.random.default_rng(wish.seed).uniform(0, 2 * pi, most)
    spectrum[1 : most + 1] = strength * np.exp(1j * phase)
    table = np.fft.irfft(spectrum, _TABLE)
    table *= wish.loudness / np.sqrt(np.mean(table**2))
    filled: Samples = np.interp(periods % 1.0, np.arange(_TABLE + 1) / _TABLE, np.append(table, table[0]))
    return filled


def _steady(wish: Pluck, smooth: Samples, count: int) -> Samples:
    """A string of one pitch: averaging and fractional delay in one filter, a period at a time."""
    period = RATE / wish.frequency
    wholes, weights = _split(np.array([period - (len(smooth) - 1) // 2]))
    whole = int(wholes[0])
    loop = np.convolve(smooth, weights[:, 0])
    first = whole + len(loop)
    sound = np.empty(max(count, first) + whole)
    sound[:first] = _burst(wish, np.arange(first) / period)
    for start in range(first, count, whole):
        past = sound[start - first + 1 : start]
        sound[start : start + whole] = np.convolve(past, loop, "valid")
    return sound[:count]


def _moving(wish: Pluck, smooth: Samples, periods: Samples) -> Samples:
    """A string whose delay changes: `periods`, in samples, for every sample."""
    count, ahead = len(periods), len(smooth) - 1
    whole, weights = _split(periods - ahead // 2)
    block = int(whole.min())
    first = int(whole.max()) + len(weights) + ahead
    sound, blurred = np.zeros(max(count, first)), np.zeros(max(count, first))
    padded = np.pad(periods, (0, max(0, first - count)), mode="edge")
    sound[:first] = _burst(wish, np.cumsum(1 / padded[:first]))
    blurred[ahead:first] = np.convolve(sound[:first], smooth, "valid")
    places = np.arange(count) - whole - np.arange(len(weights))[:, None]
    for start in range(first, count, block):
        stop = min(start + block, count)
        sound[start:stop] = (weights[:, start:stop] * blurred[places[:, start:stop]]).sum(axis=0)
        blurred[start:stop] = np.convolve(sound[start - ahead : stop], smooth, "valid")
    return sound[:count]
