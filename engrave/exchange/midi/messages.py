"""The bytes of Standard MIDI Files: chunks, delta times, running status.

Source: the Standard MIDI Files 1.0 specification and the MIDI 1.0 message table (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

LARGEST = 16 * 1024 * 1024
"""Bytes of a file, at most (house rule)."""
MOST_EVENTS = 400_000
"""Events of a file, at most (house rule)."""
NOTE_OFF, NOTE_ON, CONTROL, PROGRAM, PITCH_WHEEL = 0x80, 0x90, 0xB0, 0xC0, 0xE0
"""Kinds of channel messages: the upper half of the status byte."""
META = 0xFF
TRACK_NAME, END_OF_TRACK, SET_TEMPO, TIME_SIGNATURE, KEY_SIGNATURE = 0x03, 0x2F, 0x51, 0x58, 0x59
"""Kinds of meta events."""
SYSEX = 0xF0
"""The lowest status byte that belongs to no channel."""
_EXCLUSIVES = (0xF0, 0xF7)
_DATA_BYTES = {0x80: 2, 0x90: 2, 0xA0: 2, 0xB0: 2, 0xC0: 1, 0xD0: 1, 0xE0: 2}
_HEADER_LENGTH = 6
_LONGEST_NUMBER = 4


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
    """A file: its format 0 or 1, ticks a quarter, and the messages of each track in order of time."""

    format: int
    division: int
    tracks: tuple[tuple[Message, ...], ...]


def encode(tracks: Iterable[Sequence[Message]], division: int) -> bytes:
    """A file of format 1 with `division` ticks a quarter. Each track is in order of time and ends with its end."""
    chunks = [_chunk(b"MTrk", _encode_track(track)) for track in tracks]
    head = (1).to_bytes(2, "big") + len(chunks).to_bytes(2, "big") + division.to_bytes(2, "big")
    return _chunk(b"MThd", head) + b"".join(chunks)


def _chunk(name: bytes, content: bytes) -> bytes:
    return name + len(content).to_bytes(4, "big") + content


def _encode_track(track: Sequence[Message]) -> bytes:
    content = bytearray()
    now = 0
    for message in track:
        content += _number(message.tick - now)
        now = message.tick
        content.append(message.status)
        if message.status == META:
            content.append(message.meta)
            content += _number(len(message.data))
        content += message.data
    return bytes(content)


def _number(value: int) -> bytes:
    """A number in groups of seven bits, all but the last with the eighth bit set."""
    groups = [value & 0x7F]
    while value := value >> 7:
        groups.append(value & 0x7F | 0x80)
    return bytes(reversed(groups))


def decode(data: bytes) -> MidiTracks:
    """The tracks of a file. Raises ValueError that says why `data` cannot be read."""
    if len(data) > LARGEST:
        raise ValueError(f"the file has more than {LARGEST // 1024 // 1024} MB, which no score needs")
    if data[:4] != b"MThd" or len(data) < 8 + _HEADER_LENGTH:
        raise ValueError("this is not a MIDI file; such a file starts with MThd")
    length = int.from_bytes(data[4:8], "big")
    form, division = int.from_bytes(data[8:10], "big"), int.from_bytes(data[12:14], "big")
    if length < _HEADER_LENGTH or form not in (0, 1):
        raise ValueError("only MIDI files of format 0 and 1 can be read; save it as format 1")
    if not 0 < division < 0x8000:
        raise ValueError("the MIDI file counts film frames, not beats; save it with ticks a quarter")
    tracks: list[tuple[Message, ...]] = []
    place, left = 8 + length, MOST_EVENTS
    while place + 8 <= len(data):
        name, size = data[place : place + 4], int.from_bytes(data[place + 4 : place + 8], "big")
        place += 8
        if name == b"MTrk":
            if place + size > len(data):
                raise ValueError("the MIDI file ends in the middle of a track; it has been cut off")
            track = _TrackReader(data, place, place + size).read(left)
            left -= len(track)
            tracks.append(track)
        place += size
    if not tracks:
        raise ValueError("the MIDI file has no track")
    return MidiTracks(form, division, tuple(tracks))


class _TrackReader:
    """Reads one track from `place` to `stop`."""

    def __init__(self, data: bytes, place: int, stop: int) -> None:
        self._data, self._place, self._stop = data, place, stop

    def read(self, most: int) -> tuple[Message, ...]:
        """All messages; at most `most`."""
        messages: list[Message] = []
        tick = running = 0
        while self._place < self._stop:
            tick += self._number()
            status = self._data[self._place] if self._place < self._stop else META
            if status & 0x80:
                self._place += 1
            else:
                status = running
            message = self._message(tick, status)
            running = status if status < SYSEX else 0
            if len(messages) >= most:
                raise ValueError(f"the MIDI file has more than {MOST_EVENTS} events, too many for a score")
            messages.append(message)
            if message.status == META and message.meta == END_OF_TRACK:
                break
        return tuple(messages)

    def _message(self, tick: int, status: int) -> Message:
        if status == META:
            meta = self._bytes(1)[0]
            return Message(tick, META, self._bytes(self._number()), meta)
        if status in _EXCLUSIVES:
            return Message(tick, status, self._bytes(self._number()))
        count = _DATA_BYTES.get(status & 0xF0)
        if count is None:
            raise ValueError(f"the MIDI file is damaged: {status:#04x} at byte {self._place} begins no event")
        data = self._bytes(count)
        if max(data) > 0x7F:
            raise ValueError(f"the MIDI file is damaged: an event before byte {self._place} is not whole")
        return Message(tick, status, data)

    def _bytes(self, count: int) -> bytes:
        start, self._place = self._place, self._place + count
        if self._place > self._stop:
            raise ValueError("the MIDI file is damaged: an event goes on after the end of its track")
        return self._data[start : self._place]

    def _number(self) -> int:
        value = 0
        for _ in range(_LONGEST_NUMBER):
            byte = self._bytes(1)[0]
            value = value << 7 | byte & 0x7F
            if byte < 0x80:
                return value
        raise ValueError("the MIDI file is damaged: a number has more than four bytes")
