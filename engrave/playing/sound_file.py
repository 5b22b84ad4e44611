"""A performance made a WAV file: every note a plucked string, mixed, and kept at a level that spares the ears.

Whatever the dynamics, the file is made no louder than -16 dBFS RMS in its loudest second and -3 dBFS at its true peak,
so that nothing is clipped and nobody is startled. How loud it is played is for the listener to choose: keep it low.
`levels.measure_levels` says how loud a file is, for people to read before they listen.
"""

from __future__ import annotations

import io
import wave
from collections.abc import Iterator, Sequence
from math import pi
from typing import NamedTuple

import numpy as np

from engrave.playing.levels import BLOCK, bring_to_level, loudest_second
from engrave.playing.pitch_path import PitchPath, pitch_path
from engrave.playing.plucked_string import RATE, Pluck, Samples, dies_after, pluck
from engrave.playing.room import CHANNELS, furnish, pan
from engrave.playing.sounding import Performance, SoundingNote
from engrave.playing.taste import read_sound
from engrave.score.sign_list import SignName

_LARGEST = 1 << 31
"""Bytes of a WAV file that every player takes: its sizes have 32 bits (fact)."""
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


def render_wav(performance: Performance, loudness: float | None = None, room: bool = False) -> bytes:
    """A WAV file, 44.1 kHz, 16 bit: the same bytes for the same performance.

    It is mono; with `room` it is stereo, the parts spread out, with a little body and room around the strings. `loudness`
    is the RMS of the loudest second in dB below full scale, at most -16, -20 unless given; the true peak is at most -3 dBFS,
    and where that limit holds the file is softer. Both protect ears; the playback level is for the listener to keep low. The
    file ends a while after the music, so that strings ring out.

    Raises ValueError for a loudness above -16, or more than half an hour of sound.
    """
    taste = read_sound()
    loudness = taste.level if loudness is None else loudness
    if not loudness <= taste.loudest_rms:
        raise ValueError(f"a loudness of {loudness:g} dBFS is too loud; it is {taste.loudest_rms:g} at most")
    whole = performance.seconds(performance.length) + taste.tail
    if whole > LONGEST:
        raise ValueError(
            f"this makes {whole / 60:.0f} minutes of sound; at most {LONGEST // 60} can be written: "
            "use --measures, --no-repeats, less --loop or a larger --tempo-scale"
        )
    parts = 1 + max((note.part for note in performance.notes), default=0)
    mix = np.zeros((CHANNELS if room else 1, round(whole * RATE)))
    for number, planned in enumerate(_plan(performance, whole)):
        sound = _sound(planned, number)
        for channel, strength in zip(mix, pan(planned.note, parts) if room else (1.0,), strict=True):
            _add(channel, planned.start, sound if strength == 1 else sound * strength)
    if room:
        furnish(mix)
    ending = round(taste.final_fade * RATE)
    mix[:, -ending:] *= np.linspace(1.0, 0.0, ending)
    _add_clicks(mix, performance)
    bring_to_level(mix, loudness)
    return _as_wav(mix)


def join_wavs(pieces: Sequence[bytes], pause: float) -> bytes:
    """WAV files of one form, one after the other with so many seconds of silence between.

    Raises ValueError for none, and where the whole would be larger than such a file can be.
    """
    if not pieces:
        raise ValueError("there is nothing to join")
    rows: list[bytes] = []
    for data in pieces:
        with wave.open(io.BytesIO(data)) as file:
            form = file.getparams()
            rows.append(file.readframes(file.getnframes()))
    silence = bytes(round(pause * RATE) * form.nchannels * form.sampwidth)
    if sum(map(len, rows)) + len(silence) * len(rows) > _LARGEST:
        raise ValueError("all of it is longer than one sound file can be; write it without --tour")
    joined = io.BytesIO()
    with wave.open(joined, "wb") as out:
        out.setparams(form)
        out.writeframes(silence.join(rows))
    return joined.getvalue()


def _plan(performance: Performance, whole: float) -> Iterator[_Planned]:
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
            start = performance.seconds(note.start) + note.delay
            end = performance.seconds(note.start + note.length)
            limit = whole
            if after is not None:
                limit = performance.seconds(after.start) + after.delay
            end = max(start, min(max(end, start + taste.release), limit))
            release = taste.long_release if end - start >= taste.long_from else taste.release
            damp = max(taste.damp, taste.damp_periods / frequency(note.midi))
            yield _Planned(note, start, end, end + max(damp, min(release, limit - end)))


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


def _add_clicks(mix: Samples, performance: Performance) -> None:
    """A short sine on every beat that is clicked, as loud as it takes beside the music."""
    taste = read_sound()
    times = np.arange(round(taste.click_seconds * RATE)) / RATE
    loudest = max(loudest_second(channel) for channel in mix) or 1.0
    shape = taste.click_level * loudest * (1 - times / taste.click_seconds)
    for beat in performance.clicks:
        hertz = taste.click_first if beat.is_first else taste.click_beat
        click = shape * np.sin(2 * pi * hertz * times)
        for channel in mix:
            _add(channel, performance.seconds(beat.moment), click)


def _as_wav(mix: Samples) -> bytes:
    """16 bit samples with a WAV header; they are cut towards 0, so that no rounding passes a limit."""
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(len(mix))
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.setnframes(mix.shape[1])
        for start in range(0, mix.shape[1], BLOCK):
            block = mix[:, start : start + BLOCK].T
            out.writeframes((block * np.iinfo(np.int16).max).astype("<i2").tobytes())
    return file.getvalue()
