"""The messages of Standard MIDI Files, which mido reads and writes, at absolute times and within limits.

Source: the Standard MIDI Files 1.0 specification and the MIDI 1.0 message table (from memory).
"""

from __future__ import annotations

import struct
from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Any, NamedTuple

import mido
from mido.midifiles.meta import KeySignatureError, build_meta_message

LARGEST = 2 * 1024 * 1024
"""Bytes of a file, at most (house rule)."""
MOST_TRACKS = 512
"""Tracks of a file, at most (house rule)."""
MOST_EVENTS = 200_000
"""Events of a file, at most (house rule)."""
NOTE_OFF, NOTE_ON, CONTROL, PROGRAM, PITCH_WHEEL = 0x80, 0x90, 0xB0, 0xC0, 0xE0
"""Kinds of channel messages: the upper half of the status byte."""
META = 0xFF
TRACK_NAME, END_OF_TRACK, SET_TEMPO, TIME_SIGNATURE, KEY_SIGNATURE = 0x03, 0x2F, 0x51, 0x58, 0x59
"""Kinds of meta events."""
SYSEX = 0xF0
"""The lowest status byte that belongs to no channel."""
_HEADER = struct.Struct(">4sIHHH")
_CHUNK = struct.Struct(">4sI")
_DAMAGE = (ValueError, OSError, EOFError, LookupError, TypeError, OverflowError, KeySignatureError)
"""What mido raises for damaged files."""


class Message(NamedTuple):
    """One event at `tick` from the start. `status` is META for meta events, whose kind is `meta`."""

    tick: int
    status: int
    data: bytes
    meta: int = 0

    @property
    def kind(self) -> int:
        """The kind of a channel message."""
        return self.status & 0xF0

    @property
    def channel(self) -> int:
        """The channel of a channel message, 0 to 15."""
        return self.status & 0x0F


class MidiTracks(NamedTuple):
    """A file: its format 0 or 1, ticks per quarter note, and the messages of each track in order of time."""

    format: int
    division: int
    tracks: tuple[tuple[Message, ...], ...]


def encode(tracks: Iterable[Sequence[Message]], division: int) -> bytes:
    """A file of format 1 with `division` ticks per quarter note. Each track is in order of time and ends with its end."""
    file = mido.MidiFile(type=1, ticks_per_beat=division)
    for track in tracks:
        now, row = 0, mido.MidiTrack()
        for message in track:
            row.append(_to_mido(message, message.tick - now))
            now = message.tick
        file.tracks.append(row)
    data = BytesIO()
    file.save(file=data)
    return data.getvalue()


def _to_mido(message: Message, delta: int) -> Any:
    if message.status == META:
        return build_meta_message(message.meta, message.data, delta)
    return mido.Message.from_bytes([message.status, *message.data], time=delta)


def decode(data: bytes) -> MidiTracks:
    """The tracks of a file. Raises ValueError that says why `data` cannot be read."""
    form, division = _read_header(data)
    _check_chunks(data)
    try:
        file = mido.MidiFile(file=BytesIO(data))
    except _DAMAGE as error:
        raise ValueError(f"the MIDI file is damaged: {str(error) or type(error).__name__}") from error
    if sum(len(track) for track in file.tracks) > MOST_EVENTS:
        raise ValueError(f"the MIDI file has more than {MOST_EVENTS} events, too many for a score")
    try:
        tracks = tuple(tuple(_absolute(track)) for track in file.tracks)
    except _DAMAGE as error:
        raise ValueError(f"the MIDI file is damaged: {str(error) or type(error).__name__}") from error
    return MidiTracks(form, division, tracks)


def _read_header(data: bytes) -> tuple[int, int]:
    """The format and the ticks per quarter note."""
    if len(data) > LARGEST:
        raise ValueError(f"the file has more than {LARGEST // 1024 // 1024} MB, which no score needs")
    if data[:4] != b"MThd" or len(data) < _HEADER.size:
        raise ValueError("this is not a MIDI file; such a file starts with MThd")
    _, length, form, _, division = _HEADER.unpack_from(data)
    if length < _HEADER.size - _CHUNK.size or form not in (0, 1):
        raise ValueError("only MIDI files of format 0 and 1 can be read; save it as format 1")
    if not 0 < division < 0x8000:
        raise ValueError("the MIDI file uses SMPTE time; save it with ticks per quarter note")
    return int(form), int(division)


def _check_chunks(data: bytes) -> None:
    """Every track is whole. Raises ValueError when one is cut off or when there is none."""
    offset, found = 0, 0
    while offset + _CHUNK.size <= len(data):
        name, size = _CHUNK.unpack_from(data, offset)
        offset += _CHUNK.size + size
        found += name == b"MTrk"
        if name == b"MTrk" and offset > len(data):
            raise ValueError("the MIDI file ends in the middle of a track; it has been cut off")
    if found > MOST_TRACKS:
        raise ValueError(f"the MIDI file has more than {MOST_TRACKS} tracks, too many for a score")
    if not found:
        raise ValueError("the MIDI file has no track")


def _absolute(track: Iterable[Any]) -> Iterable[Message]:
    """The messages of one track up to its end, at ticks from the start."""
    tick = 0
    for event in track:
        tick += event.time
        raw = bytes(event.bytes())
        if not event.is_meta:
            yield Message(tick, raw[0], raw[1:])
            continue
        start = next(index for index in range(2, len(raw)) if raw[index] < 0x80) + 1
        yield Message(tick, META, raw[start:], raw[1])
        if raw[1] == END_OF_TRACK:
            return
