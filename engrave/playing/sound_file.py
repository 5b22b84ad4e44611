"""A performance made a WAV file: every note a plucked string, mixed, and kept at a level that spares the ears.

Whatever the dynamics, the file is made no louder than -16 dBFS RMS in its loudest second and -3 dBFS at any sample,
so that nothing is clipped and nobody is startled. How loud it is played is for the listener to choose: keep it low.
`measure_levels` says how loud a file is, for people to read before they listen.
"""

from __future__ import annotations

import io
import wave
from collections.abc import Iterator
from math import pi
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from engrave.playing.pitch_path import PitchPath, pitch_path
from engrave.playing.plucked_string import RATE, Pluck, Samples, dies_after, pluck
from engrave.playing.sounding import Performance, SoundingNote
from engrave.playing.taste import read_sound
from engrave.score.sign_list import SignName

Whole = NDArray[np.int16]
"""Samples as they stand in a file."""
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
        sound = np.frombuffer(file.readframes(file.getnframes()), "<i2")
    full = np.iinfo(np.int16).max + 1
    return Levels(len(sound) / RATE, decibels(peak_of(sound) / full), decibels(loudest_second(sound) / full))


def peak_of(sound: Samples | Whole) -> float:
    """The greatest distance of a sample from silence."""
    return max(float(sound.max()), -float(sound.min()))


def decibels(amplitude: float) -> float:
    """Decibels below full scale, which is 1."""
    return float(max(_SILENT, 20 * np.log10(amplitude))) if amplitude > 0 else _SILENT


_BLOCK = 30 * RATE
"""Samples that are worked out at once, so that long sounds need little memory beside their own (safety limit)."""


def loudest_second(sound: Samples | Whole) -> float:
    """The RMS of the loudest second."""
    span, loudest = min(RATE, len(sound)), 0.0
    for start in range(0, len(sound) - span + 1, _BLOCK):
        powers = np.square(sound[start : start + _BLOCK + span - 1], dtype=float)
        sums = np.concatenate(([0.0], np.cumsum(powers)))
        loudest = max(loudest, float((sums[span:] - sums[:-span]).max()))
    return float(np.sqrt(loudest / span))


LOUDEST_RMS, LOUDEST_PEAK = -16.0, -3.0
"""The limits, in dB below full scale: RMS over the loudest second, and peak (house rule, to protect ears)."""
SLOWEST, FASTEST = 0.25, 4.0
"""The limits of the tempo scale (house rule, a safety limit)."""
LONGEST = 1800
"""Seconds of sound, at most: half an hour takes some 1 GB of memory (house rule, a safety limit)."""
CONCERT_A, CONCERT_A_MIDI = 440.0, 69
"""The hertz of a' (ISO 16:1975), from which all pitches go by equal temperament, and its MIDI number."""
_HARMONICS = frozenset(
    {
        SignName.NATURAL_HARMONIC,
        SignName.ARTIFICIAL_HARMONIC,
        SignName.TAPPED_HARMONIC,
        SignName.TOUCHED_HARMONIC,
        SignName.PINCH_HARMONIC,
    }
)
_FADE_IN = frozenset({SignName.FADE_IN, SignName.VOLUME_SWELL})


class _Planned(NamedTuple):
    """A note in seconds: where it starts, ends and has faded."""

    note: SoundingNote
    start: float
    end: float
    faded: float


def render_wav(
    performance: Performance, tempo_scale: float = 1.0, click: bool = False, loudness: float | None = None
) -> bytes:
    """A WAV file, 44.1 kHz, 16 bit, mono: the same bytes for the same performance.

    `tempo_scale` 0.5 plays half as fast. `click` adds a click on every beat, higher on the first of a bar. `loudness`
    is the RMS of the loudest second in dB below full scale, at most -16, -20 unless given; the peak is at most -3 dBFS, and where that
    limit holds the file is softer. Both protect ears; the playback level is for the listener to keep low. The file
    ends a while after the music, so that strings ring out.

    Raises ValueError for a tempo scale outside 0.25 to 4, a loudness above -16, or more than half an hour of sound.
    """
    taste = read_sound()
    loudness = taste.level if loudness is None else loudness
    if not SLOWEST <= tempo_scale <= FASTEST:
        raise ValueError(
            f"the tempo scale {tempo_scale:g} is outside {SLOWEST:g} to {FASTEST:g}; 0.5 is half as fast"
        )
    if not loudness <= LOUDEST_RMS:
        raise ValueError(f"a loudness of {loudness:g} dBFS is too loud; it is {LOUDEST_RMS:g} at most")
    whole = performance.seconds(performance.length) / tempo_scale + taste.tail
    if whole > LONGEST:
        raise ValueError(
            f"this makes {whole / 60:.0f} minutes of sound; at most {LONGEST // 60} can be written: "
            "use --measures, --no-repeats or a larger --tempo-scale"
        )
    mix = np.zeros(round(whole * RATE))
    for number, planned in enumerate(_plan(performance, tempo_scale, whole)):
        _add(mix, planned.start, _sound(planned, number))
    ending = round(taste.final_fade * RATE)
    mix[-ending:] *= np.linspace(1.0, 0.0, ending)
    if click:
        _add_clicks(mix, performance, tempo_scale)
    return _as_wav(_levelled(mix, loudness))


def _plan(performance: Performance, tempo_scale: float, whole: float) -> Iterator[_Planned]:
    """The notes as their strings allow: a string that is struck anew ends what it sounded before."""
    taste = read_sound()
    lines: dict[tuple[int, int, int], list[SoundingNote]] = {}
    for note in performance.notes:
        line = lines.setdefault((note.part, note.string, 0 if note.string else note.midi), [])
        if line and line[-1].start == note.start:
            # Two voices share the string: it is plucked once, and held as long as either wants.
            line[-1] = max(line[-1], note, key=lambda shared: shared.length)
        else:
            line.append(note)
    for line in lines.values():
        for note, after in zip(line, [*line[1:], None]):
            start = performance.seconds(note.start) / tempo_scale + note.delay
            end = performance.seconds(note.start + note.length) / tempo_scale
            limit = whole
            if after is not None:
                limit = performance.seconds(after.start) / tempo_scale + after.delay
            end = max(start, min(max(end, start + taste.release), limit))
            release = taste.long_release if end - start >= taste.long_from else taste.release
            yield _Planned(note, start, end, end + max(taste.damp, min(release, limit - end)))


def frequency(midi: float) -> float:
    """The hertz of a MIDI number, in equal temperament with a' = 440 Hz (ISO 16)."""
    return CONCERT_A * 2 ** ((midi - CONCERT_A_MIDI) / 12)


def _sound(planned: _Planned, seed: int) -> Samples:
    """The samples of one note."""
    taste = read_sound()
    wish = _pluck_of(planned, seed)
    seconds = min(wish.seconds, dies_after(wish))
    count = max(1, round(seconds * RATE))
    wish = wish._replace(seconds=count / RATE)
    times = np.arange(count) / RATE
    sound = pluck(wish, _semitones(pitch_path(planned.note, planned.end - planned.start), times))
    sound *= wish.loudness ** (taste.level_power - 1)
    held = planned.end - planned.start
    fade = (times - held) / (planned.faded - planned.end)
    sound *= 0.5 + 0.5 * np.cos(pi * np.clip(fade, 0.0, 1.0))
    if planned.note.signs & _FADE_IN:
        sound *= np.clip(times / max(held, taste.release), 0.0, 1.0)
    if SignName.FADE_OUT in planned.note.signs:
        sound *= 1 - np.clip(times / max(held, taste.release), 0.0, 1.0)
    return sound


def _pluck_of(planned: _Planned, seed: int) -> Pluck:
    """How the string is plucked for a note with these signs.

    A string touched at a node keeps only the partials that have a node there. They are all the partials of the pitch
    that sounds and none below, so that the string is as long as its sounding part, and dies as slowly as an open one.
    """
    note, signs = planned.note, planned.note.signs
    hertz, taste = frequency(note.midi), read_sound()
    decay, darkening = taste.low_decay * (taste.low_hertz / hertz) ** taste.decay_power, taste.darkening
    harmonic = bool(signs & _HARMONICS)
    if harmonic:
        darkening = taste.harmonic_darkening
    if SignName.PALM_MUTE in signs:
        decay, darkening = taste.muted_decay, taste.muted_darkening
    if SignName.DEAD in signs:
        decay, darkening = taste.dead_decay, taste.dead_darkening
    return Pluck(
        frequency=hertz,
        loudness=note.loudness,
        seconds=planned.faded - planned.start,
        decay=decay,
        darkening=darkening,
        position=taste.pick_on_harmonic
        if harmonic
        else min((taste.picks[mark] for mark in signs if mark in taste.picks), default=taste.pick),
        seed=seed,
    )


def _semitones(path: PitchPath, times: Samples) -> Samples | None:
    """How far the pitch lies above the note at each time, None where it never moves."""
    if path.is_still:
        return None
    total = np.zeros(len(times))
    for line in path.lines:
        total += np.interp(times, [at for at, _ in line], [by for _, by in line])
    for swing in path.waves:
        since = np.maximum(0.0, times - swing.start)
        total += (
            swing.semitones * np.sin(2 * pi * swing.hertz * since) * np.clip(since / swing.wait, 0.0, 1.0)
        )
    return total


def _add(mix: Samples, start: float, sound: Samples) -> None:
    """Add `sound` to `mix` from `start` seconds on, as far as there is room."""
    first = round(start * RATE)
    room = mix[first : first + len(sound)]
    room += sound[: len(room)]


def _add_clicks(mix: Samples, performance: Performance, tempo_scale: float) -> None:
    """A short sine on every beat, as loud as it takes beside the music."""
    taste = read_sound()
    times = np.arange(round(taste.click_seconds * RATE)) / RATE
    shape = taste.click_level * (loudest_second(mix) or 1.0) * (1 - times / taste.click_seconds)
    measures = frozenset(performance.measures)
    for moment in sorted(measures.union(performance.beats)):
        hertz = taste.click_first if moment in measures else taste.click_beat
        _add(mix, performance.seconds(moment) / tempo_scale, shape * np.sin(2 * pi * hertz * times))


def _levelled(mix: Samples, loudness: float) -> Samples:
    """`mix`, brought to the level wished, within the limits that protect ears; full scale is 1."""
    peak, rms = peak_of(mix), loudest_second(mix)
    if peak and rms:
        mix *= min(10 ** (loudness / 20) / rms, 10 ** (LOUDEST_PEAK / 20) / peak)
    return mix


def _as_wav(sound: Samples) -> bytes:
    """16 bit samples with a WAV header; they are cut towards 0, so that no rounding passes a limit."""
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.setnframes(len(sound))
        for start in range(0, len(sound), _BLOCK):
            block = sound[start : start + _BLOCK]
            out.writeframes((block * np.iinfo(np.int16).max).astype("<i2").tobytes())
    return file.getvalue()
