"""A score as a Standard MIDI File: what the performance says, note by note.

Fretted parts have a channel for each string, so that a bend moves its own string alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from engrave.exchange.midi.messages import (
    CONTROL,
    END_OF_TRACK,
    KEY_SIGNATURE,
    META,
    NOTE_OFF,
    NOTE_ON,
    PITCH_WHEEL,
    PROGRAM,
    SET_TEMPO,
    TIME_SIGNATURE,
    TRACK_NAME,
    Message,
    encode,
)
from engrave.playing.performance import perform
from engrave.playing.pitch_path import pitch_path
from engrave.playing.sounding import Performance, SoundingNote, TempoAt
from engrave.playing.tempos import tempo_at
from engrave.score.sign_list import SignName
from engrave.score.structure import Measure, Part, Score
from engrave.theory.instrument import Instrument
from engrave.theory.key import Mode
from engrave.theory.repeats import unfold

USUAL_DIVISION = 480
"""Ticks per quarter note where they make all times exact (common practice, no source)."""
FINEST_DIVISION = 0x7FFF
"""The most ticks per quarter note that a file can have (Standard MIDI Files 1.0, header chunk)."""
BEND_RANGE = 12
"""Semitones that the pitch wheel moves up and down (house rule)."""
_WHEEL_TOP = 8191
_WHEEL_MIDDLE = 8192
_PERCUSSION, _FIRST_CLICK, _CLICK = 9, 76, 77
"""The channel of percussion, and its high and low wood block (General MIDI 1)."""
_CLICK_VELOCITY = 90
"""House rule."""
_CHANNELS = tuple(channel for channel in range(16) if channel != _PERCUSSION)
"""All channels but that of the percussion, the tenth (General MIDI 1)."""
_NYLON, _STEEL, _CLEAN, _BASS, _BANJO, _VOICE = 24, 25, 27, 33, 105, 52
_PROGRAMS = {
    "guitar-7": _CLEAN, "guitar-8": _CLEAN, "baritone-guitar": _CLEAN, "twelve-string-guitar": _STEEL, "tenor-guitar": _STEEL,
    "mandolin": _STEEL, "banjo": _BANJO,
}  # fmt: skip
"""Programs of General MIDI 1, counted from 0, by instrument."""
_MUTED = Fraction(1, 2)
"""How much of its length a palm-muted note sounds (house rule)."""
_DEAD = Fraction(1, 32)
"""How long a dead note sounds at most (house rule)."""
_STEP = 0.01
"""Seconds between two positions of the wheel while the pitch moves (house rule)."""
_EXPRESSION, _FULL = 11, 127
"""The controller of loudness within a note, and its usual value (MIDI 1.0, controller numbers)."""
_FADES = {SignName.FADE_IN: (0.0, 1.0), SignName.VOLUME_SWELL: (0.0, 1.0), SignName.FADE_OUT: (1.0, 0.0)}
"""The loudness of a faded note at its beginning and at its end."""
_FADE_STEPS = 32
"""Values of the controller on the way (house rule)."""
_OFF, _RESET, _SETUP, _BEND, _ON, _END = range(6)
"""The order of messages at one tick."""


class _Played(NamedTuple):
    """A note in ticks on its channel."""

    start: int
    stop: int
    channel: int
    pitch: int
    velocity: int
    note: SoundingNote


class _Ranked(NamedTuple):
    tick: int
    rank: int
    status: int
    data: bytes
    meta: int = 0


def write_midi(score: Score, first: int = 0, stop: int | None = None, repeats: bool = True) -> bytes:
    """The Standard MIDI File (format 1) of measures `first` to `stop` - 1, with repeats taken if `repeats`."""
    return write_performance(score, perform(score, first, stop, repeats), first, stop, repeats)


def write_performance(
    score: Score, performance: Performance, first: int = 0, stop: int | None = None, repeats: bool = True
) -> bytes:
    """The Standard MIDI File (format 1) of a performance of these measures of a score.

    The first track has the tempos, times and keys, then comes a track for each part, and one of percussion where something
    is clicked. The same performance gives the same bytes. Raises nothing of its own.
    """
    division = _division(performance)
    end = _ticks(performance.length, division)
    tracks = [_finish(_conductor(score, performance, first, stop, repeats, division), end)]
    for number, (part, channels) in enumerate(zip(score.parts, _channels(score.parts))):
        notes = [note for note in performance.notes if note.part == number]
        played = _cut(_play(notes, performance.tempos, channels, division), len(channels) > 1)
        tracks.append(_finish([*_head(part, channels), *_sound(played, performance.tempos, division)], end))
    if performance.clicks:
        tracks.append(_finish(list(_clicks(performance, division)), end))
    return encode(tracks, division)


def _clicks(performance: Performance, division: int) -> Iterator[_Ranked]:
    """A track of wood blocks, the high one on the first beat of a measure."""
    yield _meta(0, TRACK_NAME, b"Click")
    short = max(1, division // 8)
    for beat in performance.clicks:
        tick, block = _ticks(beat.moment, division), _FIRST_CLICK if beat.is_first else _CLICK
        yield _Ranked(tick, _ON, NOTE_ON | _PERCUSSION, bytes((block, _CLICK_VELOCITY)))
        yield _Ranked(tick + short, _OFF, NOTE_OFF | _PERCUSSION, bytes((block, 0)))


def wheel(semitones: float) -> int:
    """The position of the pitch wheel, -8191 to 8191, that moves the pitch by `semitones`."""
    limited = max(-BEND_RANGE, min(BEND_RANGE, semitones))
    return round(limited * _WHEEL_TOP / BEND_RANGE)


def program(instrument: Instrument) -> int:
    """The program of General MIDI 1, counted from 0, for an instrument."""
    if not instrument.tuning:
        return _VOICE
    usual = _BASS if "bass" in instrument.name else _NYLON
    return _PROGRAMS.get(instrument.name, usual)


def _division(performance: Performance) -> int:
    """The least multiple of 480 ticks that makes all times exact, 480 where there is none."""
    times = {tempo.start for tempo in performance.tempos} | set(performance.measures) | {performance.length}
    times.update(beat.moment for beat in performance.clicks)
    for note in performance.notes:
        times.update((note.start, note.start + note.length))
    division = USUAL_DIVISION
    for time in times:
        division = lcm(division, (time * 4).denominator)
        if division > FINEST_DIVISION:
            return USUAL_DIVISION
    return division


def _ticks(time: Fraction, division: int) -> int:
    return round(time * 4 * division)


def _channels(parts: Sequence[Part]) -> list[tuple[int, ...]]:
    """The channels of each part: one a string while there are enough, else one for all its strings.

    Parts share channels when there are more parts than channels.
    """
    spare = len(_CHANNELS) - len(parts)
    wished = []
    for part in parts:
        more = max(0, part.instrument.strings - 1)
        taken = more if more <= spare else 0
        spare -= taken
        wished.append(1 + taken)
    rows, next_one = [], 0
    for count in wished:
        rows.append(tuple(_CHANNELS[(next_one + index) % len(_CHANNELS)] for index in range(count)))
        next_one += count
    return rows


def _conductor(
    score: Score, performance: Performance, first: int, stop: int | None, repeats: bool, division: int
) -> Iterator[_Ranked]:
    """Title, tempos, times and keys."""
    if score.title:
        yield _meta(0, TRACK_NAME, score.title.encode())
    for tempo in performance.tempos:
        microseconds = max(1, min(0xFFFFFF, round(60_000_000 / tempo.quarters)))
        yield _meta(_ticks(tempo.start, division), SET_TEMPO, microseconds.to_bytes(3, "big"))
    last = len(score.measures) if stop is None else stop
    order = unfold([m.repeat for m in score.measures]) if repeats else range(len(score.measures))
    time = key = b""
    moment = performance.lead
    played = [score.measures[index] for index in order if first <= index < last] * performance.times
    if performance.lead:  # the count fills the measure that a pickup leaves open
        time = _time_bytes(replace(played[0], length=played[0].metre.length))
        yield _meta(0, TIME_SIGNATURE, time)
    for number, measure in enumerate(played):
        tick = _ticks(moment, division)
        is_counted = bool(performance.lead) and number == 0 and measure.pickup
        if (now := time if is_counted else _time_bytes(measure)) != time:
            time = now
            yield _meta(tick, TIME_SIGNATURE, time)
        is_minor = measure.key.mode is Mode.MINOR
        if (now := bytes((measure.key.fifths % 256, is_minor))) != key:
            key = now
            yield _meta(tick, KEY_SIGNATURE, key)
        moment += measure.length * measure.rests


def _time_bytes(measure: Measure) -> bytes:
    """The time of a measure; a shorter one has a time of its own, so that barlines fall where they stand."""
    upper, unit = sum(measure.metre.groups), measure.metre.unit
    if measure.length != measure.metre.length and (measure.length * 64).denominator == 1:
        unit = max(unit, measure.length.denominator)
        upper = int(measure.length * unit)
    clocks = 36 if measure.metre.is_compound else max(1, 96 // unit)
    return bytes((min(255, upper), unit.bit_length() - 1, clocks, 8))


def _head(part: Part, channels: Sequence[int]) -> Iterator[_Ranked]:
    """Name, programs, and the range of the pitch wheel (registered parameter 0) of each channel."""
    yield _meta(0, TRACK_NAME, part.name.encode())
    for channel in channels:
        yield _Ranked(0, _SETUP, PROGRAM | channel, bytes((program(part.instrument),)))
        for control, value in ((101, 0), (100, 0), (6, BEND_RANGE), (38, 0), (101, 127), (100, 127)):
            yield _Ranked(0, _SETUP, CONTROL | channel, bytes((control, value)))


def _meta(tick: int, meta: int, data: bytes) -> _Ranked:
    return _Ranked(tick, _SETUP, META, data, meta)


def _play(
    notes: Sequence[SoundingNote], tempos: Sequence[TempoAt], channels: Sequence[int], division: int
) -> Iterator[_Played]:
    """The notes in ticks; notes outside the range of MIDI are left out."""
    at = 0
    for note in notes:
        while at + 1 < len(tempos) and tempos[at + 1].start <= note.start:
            at += 1
        start, stop = _ticks(note.start, division), _ticks(note.start + _sounding_length(note), division)
        stop = max(stop, start + 1)
        delay = round(note.delay * tempos[at].quarters / 60 * division)
        start += min(delay, (stop - start) // 2)
        velocity = max(1, min(127, round(note.loudness * 127)))
        channel = channels[(note.string - 1) % len(channels)] if note.string else channels[0]
        if 0 <= note.midi <= 127:
            yield _Played(start, stop, channel, note.midi, velocity, note)


def _sounding_length(note: SoundingNote) -> Fraction:
    """A channel has no muted strings: what is muted is shorter."""
    if SignName.DEAD in note.signs:
        return min(note.length, _DEAD)
    return note.length * _MUTED if SignName.PALM_MUTE in note.signs else note.length


def _cut(played: Iterator[_Played], by_string: bool) -> list[_Played]:
    """Each note ends where its string (or, on a channel of many strings, its pitch) is struck again."""
    rows: dict[tuple[int, int], list[_Played]] = defaultdict(list)
    for note in sorted(played, key=lambda n: (n.start, n.channel, n.pitch, -n.stop)):
        row = rows[note.channel, 0 if by_string else note.pitch]
        if row and row[-1].start == note.start and row[-1].pitch == note.pitch:
            continue
        if row and row[-1].stop > note.start > row[-1].start:
            row[-1] = row[-1]._replace(stop=note.start)
        row.append(note)
    return [note for row in rows.values() for note in row]


def _sound(played: Sequence[_Played], tempos: Sequence[TempoAt], division: int) -> Iterator[_Ranked]:
    for note in played:
        yield _Ranked(note.start, _ON, NOTE_ON | note.channel, bytes((note.pitch, note.velocity)))
        yield _Ranked(note.stop, _OFF, NOTE_OFF | note.channel, bytes((note.pitch, 0)))
        moves = [move for move in _moves(note, tempos, division) if move[0] < note.stop]
        for tick, semitones in moves:
            yield _wheel_message(tick, _BEND, note.channel, semitones)
        if moves:
            yield _wheel_message(note.stop, _RESET, note.channel, 0.0)
        yield from _fades(note)


def _fades(note: _Played) -> Iterator[_Ranked]:
    """The controller of expression over a note that is faded, and back to its usual value."""
    for name, (before, after) in _FADES.items():
        if name in note.note.signs:
            for index in range(_FADE_STEPS):
                tick = note.start + (note.stop - note.start) * index // _FADE_STEPS
                value = round(_FULL * (before + (after - before) * index / (_FADE_STEPS - 1)))
                yield _Ranked(tick, _BEND, CONTROL | note.channel, bytes((_EXPRESSION, value)))
            yield _Ranked(note.stop, _RESET, CONTROL | note.channel, bytes((_EXPRESSION, _FULL)))


def _wheel_message(tick: int, rank: int, channel: int, semitones: float) -> _Ranked:
    position = wheel(semitones) + _WHEEL_MIDDLE
    return _Ranked(tick, rank, PITCH_WHEEL | channel, bytes((position & 0x7F, position >> 7)))


def _moves(played: _Played, tempos: Sequence[TempoAt], division: int) -> Iterator[tuple[int, float]]:
    """(tick, semitones) wherever the wheel goes to another position."""
    quarters = tempo_at(tempos, Fraction(played.start, 4 * division))
    seconds = (played.stop - played.start) / division * 60 / quarters
    path = pitch_path(played.note, seconds)
    if path.is_still:
        return
    steps = round(seconds / _STEP)
    times = {_STEP * step for step in range(steps + 1)}
    times.update(time for line in path.lines for time, _ in line if 0 <= time <= seconds)
    now = None
    for time in sorted(times):
        semitones = path.at(time)
        if wheel(semitones) != now:
            now = wheel(semitones)
            yield played.start + round((played.stop - played.start) * time / seconds), semitones


def _finish(messages: Iterator[_Ranked] | Sequence[_Ranked], end: int) -> list[Message]:
    """A track in order, with its end."""
    ordered = sorted(messages, key=lambda message: (message.tick, message.rank))
    end = max(end, ordered[-1].tick if ordered else 0)
    ordered.append(_Ranked(end, _END, META, b"", END_OF_TRACK))
    return [Message(message.tick, message.status, message.data, message.meta) for message in ordered]
