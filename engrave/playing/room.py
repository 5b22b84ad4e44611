"""A little body and room around the strings: resonances of a soundboard, the first echoes of walls, and a tail that dies away.

All of it is one response for each of two channels, with which the sound is convolved: the direct sound comes first and unchanged.
The tail is noise that dies away evenly (J. A. Moorer, "About This Reverberation Business", Computer Music Journal 3(2), 1979,
from memory); the resonances are those of a guitar's air and top, near 100 and 200 Hz, and of the top's next form (common
knowledge of makers, no source).
"""

from __future__ import annotations

from math import pi

import numpy as np

from engrave.playing.plucked_string import RATE, Samples
from engrave.playing.sounding import SoundingNote
from engrave.playing.taste import read_sound

CHANNELS = 2
_TAIL_SEED = 7
_BLOCK = 1 << 18
"""Samples that are convolved at once (safety limit)."""
_FADED = np.log(1000.0)
"""60 dB as a natural logarithm."""


def pan(note: SoundingNote, parts: int) -> tuple[float, float]:
    """How strong a note is on the left and on the right: parts are spread over the room, the strings of each a little too.

    The powers add up to 2, so that a sound in the middle is 1 on both sides.
    """
    taste = read_sound()
    place = taste.spread * (2 * note.part / (parts - 1) - 1) if parts > 1 else 0.0
    if note.string:
        place += taste.string_spread * (3.5 - note.string) / 3.5
    angle = (min(1.0, max(-1.0, place)) + 1) * pi / 4
    return float(np.sqrt(2) * np.cos(angle)), float(np.sqrt(2) * np.sin(angle))


def furnish(mix: Samples) -> None:
    """Put both rows of `mix` into the room."""
    for number, channel in enumerate(mix):
        _convolve(channel, _response(number))


def _response(channel: int) -> Samples:
    """What a channel makes of one click."""
    taste = read_sound()
    count = round(taste.room_seconds * RATE)
    times = np.arange(count) / RATE
    response = np.zeros(count)
    for tone in taste.body.values():
        shape = np.cos(2 * pi * tone.hertz * times) * np.exp(-pi * tone.hertz / tone.quality * times)
        response += tone.level * shape * 2 * pi * tone.hertz / tone.quality / RATE
    for number, delay in enumerate(taste.echoes):
        late = delay * (1 + taste.echo_skew * (-1) ** (number + channel))
        response[round(late * RATE)] += taste.echo_level * taste.echo_fall**number
    noise = np.random.default_rng(_TAIL_SEED + channel).standard_normal(count)
    noise = _darkened(noise) * np.exp(-_FADED * times / taste.room_seconds)
    noise[: round(taste.echoes[-1] * RATE)] = 0.0
    low = np.abs(np.fft.rfft(noise))[: round(taste.room_cut / 2 * taste.room_seconds)]
    response += taste.room_level * noise / np.sqrt(np.mean(low**2))
    response *= np.clip((times[-1] - times) / taste.echoes[0], 0.0, 1.0)
    response[0] += 1.0
    return response


def _darkened(noise: Samples) -> Samples:
    """Noise with less of its high partials, as walls leave it."""
    spectrum = np.fft.rfft(noise)
    hertz = np.fft.rfftfreq(len(noise), 1 / RATE)
    dark: Samples = np.fft.irfft(spectrum / (1 + (hertz / read_sound().room_cut) ** 2), len(noise))
    return dark


def _convolve(channel: Samples, response: Samples) -> None:
    """Convolve in place, block by block from the end, so that little memory is needed."""
    size = 1 << (_BLOCK + len(response) - 1).bit_length()
    spectrum = np.fft.rfft(response, size)
    for start in reversed(range(0, len(channel), _BLOCK)):
        block = channel[start : start + _BLOCK].copy()
        channel[start : start + _BLOCK] = 0.0
        sound = np.fft.irfft(np.fft.rfft(block, size) * spectrum, size)
        room = channel[start : start + len(block) + len(response) - 1]
        room += sound[: len(room)]
