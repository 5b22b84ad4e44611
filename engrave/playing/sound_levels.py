"""How loud a WAV file is, for people to read before they listen."""

from __future__ import annotations

import io
import wave
from typing import NamedTuple

import numpy as np

from engrave.playing.plucked_string import RATE, Samples

CAUTION = (
    "turn the volume down before you listen; loud or long listening can harm hearing, so keep it low and ask a"
    " clinician if in doubt"
)
"""What is said wherever sound is written."""
_SILENT = -120.0
"""Decibels below full scale that are called silence."""


class Levels(NamedTuple):
    """Seconds of a sound, and its peak and the RMS of its loudest second in dB below full scale."""

    seconds: float
    peak: float
    loudest: float

    def __str__(self) -> str:
        """All three in words."""
        return f"{self.seconds:.1f} s of sound, peak {self.peak:.1f} dBFS, loudest second {self.loudest:.1f} dBFS RMS"


def measure_levels(data: bytes) -> Levels:
    """The levels of a WAV file as `render_wav` makes it. Raises wave.Error or EOFError for anything else."""
    with wave.open(io.BytesIO(data)) as file:
        sound = np.frombuffer(file.readframes(file.getnframes()), "<i2") / (np.iinfo(np.int16).max + 1)
    return Levels(len(sound) / RATE, decibels(float(np.abs(sound).max())), decibels(loudest_second(sound)))


def decibels(amplitude: float) -> float:
    """Decibels below full scale, which is 1."""
    return float(max(_SILENT, 20 * np.log10(amplitude))) if amplitude > 0 else _SILENT


def loudest_second(sound: Samples) -> float:
    """The RMS of the loudest second."""
    sums = np.concatenate(([0.0], np.cumsum(sound**2)))
    span = min(RATE, len(sound))
    return float(np.sqrt(max(0.0, (sums[span:] - sums[:-span]).max()) / span))
