"""How loud a sound is: true peak, and the RMS of its loudest second; and a sound brought within the limits that spare ears."""

from __future__ import annotations

import io
import wave
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from engrave.playing.plucked_string import RATE, Samples
from engrave.playing.taste import read_sound

Whole = NDArray[np.int16]
"""Samples as they stand in a file."""
CAUTION = (
    "turn the volume down before you listen; loud or long listening can harm hearing, so keep it low and ask a"
    " clinician if in doubt"
)
"""What is said wherever sound is written."""
BLOCK = 30 * RATE
"""Samples that are worked out at once, so that long sounds need little memory beside their own (safety limit)."""
_SILENT = -120.0
"""Decibels below full scale that are called silence."""
_PHASES, _REACH = 4, 12
"""The true peak is that of four times as many samples, each from so many on both sides (ITU-R BS.1770-4, annex 2, asks for four)."""


class Levels(NamedTuple):
    """Seconds of a sound, its true peak and the RMS of its loudest second in dB below full scale (of its louder channel)."""

    seconds: float
    peak: float
    loudest: float

    def __str__(self) -> str:
        """All three in words."""
        return (
            f"{self.seconds:.1f} s of sound, true peak {self.peak:.1f} dBFS, "
            f"loudest second {self.loudest:.1f} dBFS RMS"
        )


def measure_levels(data: bytes) -> Levels:
    """The levels of a WAV file as `render_wav` makes it. Raises wave.Error or EOFError for anything else."""
    with wave.open(io.BytesIO(data)) as file:
        sound = np.frombuffer(file.readframes(file.getnframes()), "<i2").reshape(-1, file.getnchannels())
    full = np.iinfo(np.int16).max + 1
    channels = [sound[:, number] for number in range(sound.shape[1])]
    return Levels(
        len(sound) / RATE,
        max(decibels(true_peak(channel) / full) for channel in channels),
        max(decibels(loudest_second(channel) / full) for channel in channels),
    )


def decibels(amplitude: float) -> float:
    """Decibels below full scale, which is 1."""
    return float(max(_SILENT, 20 * np.log10(amplitude))) if amplitude > 0 else _SILENT


def true_peak(sound: Samples | Whole) -> float:
    """The greatest distance from silence of the wave that passes through the samples, also between them."""
    taps = np.arange(-_REACH + 1, _REACH + 1)
    window = 0.5 + 0.5 * np.cos(np.pi * taps / _REACH)
    peak = 0.0
    for start in range(0, len(sound), BLOCK):
        block = np.asarray(sound[max(0, start - _REACH) : start + BLOCK + _REACH], dtype=float)
        peak = max(peak, float(np.abs(block).max(initial=0.0)))
        for phase in range(1, _PHASES):
            weights = np.sinc(taps - phase / _PHASES) * np.interp(
                taps - phase / _PHASES, taps, window, left=0.0, right=0.0
            )
            between = (
                np.convolve(block, weights[::-1], "valid") if len(block) >= len(weights) else np.zeros(1)
            )
            peak = max(peak, float(np.abs(between).max()))
    return peak


def loudest_second(sound: Samples | Whole) -> float:
    """The RMS of the loudest second."""
    span, loudest = min(RATE, len(sound)), 0.0
    for start in range(0, len(sound) - span + 1, BLOCK):
        powers = np.square(sound[start : start + BLOCK + span - 1], dtype=float)
        sums = np.concatenate(([0.0], np.cumsum(powers)))
        loudest = max(loudest, float((sums[span:] - sums[:-span]).max()))
    return float(np.sqrt(loudest / span))


def bring_to_level(mix: Samples, loudness: float) -> None:
    """Bring `mix` (a row for each channel) to the level wished, within the limits that protect ears; full scale is 1."""
    peak = max(true_peak(channel) for channel in mix)
    rms = max(loudest_second(channel) for channel in mix)
    if peak and rms:
        mix *= min(10 ** (loudness / 20) / rms, 10 ** (read_sound().loudest_peak / 20) / peak)
