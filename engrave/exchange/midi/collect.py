"""What a Standard MIDI File holds for a score: notes by part, tempos, times and keys.

Times here are whole numbers: ticks times 192, so that a position in 192nds of a whole note is a multiple of `scale`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Generic, NamedTuple, TypeVar

from engrave.exchange.midi.messages import (
    KEY_SIGNATURE,
    META,
    NOTE_OFF,
    NOTE_ON,
    PROGRAM,
    SET_TEMPO,
    SYSEX,
    TIME_SIGNATURE,
    TRACK_NAME,
    Message,
    MidiTracks,
)
from engrave.theory.key import Key, Mode
from engrave.theory.metre import Metre

T = TypeVar("T")
UNITS = 192
"""Positions in a whole note: the least number that has both 64ths and eighth triplets."""
MOST_MEASURES = 2000
"""Measures of a score, at most (house rule)."""
_PERCUSSION = 9
"""The channel of the percussion, counted from 0 (General MIDI 1)."""
_LONGEST_NAME = 60
"""Letters of a name, at most (house rule)."""
_SLACK = 3
"""How far a time or key may stand after its barline: a 64th (house rule)."""
_TEMPOS = (1.0, 1000.0)
"""Quarter notes per minute that the score language takes."""


class RawNote(NamedTuple):
    """A note as played, in scaled ticks; `pitch` is its MIDI number."""

    start: int
    stop: int
    pitch: int


@dataclass(slots=True)
class RawPart:
    """The notes of one track or channel; `program` is -1 where the file names none."""

    name: str
    program: int = -1
    notes: list[RawNote] = field(default_factory=list)


class MidiMeasure(NamedTuple):
    """A measure: start and length in 192nds, its signatures, and the tempo where it changes (else 0)."""

    start: int
    length: int
    metre: Metre
    key: Key
    tempo: float = 0.0


@dataclass(slots=True)
class Collected:
    """All of a file. The signatures are (scaled ticks, value) in order."""

    scale: int
    title: str = ""
    parts: list[RawPart] = field(default_factory=list)
    tempos: list[tuple[int, float]] = field(default_factory=list)
    metres: list[tuple[int, Metre]] = field(default_factory=list)
    keys: list[tuple[int, Key]] = field(default_factory=list)
    lost: Counter[str] = field(default_factory=Counter)

    @property
    def dropped(self) -> list[str]:
        """A sentence for each kind of thing that was left out."""
        return [
            what if count == 1 else f"{what} ({count} times)" for what, count in self.lost.items() if count
        ]


def collect(file: MidiTracks) -> Collected:
    """The parts and signatures of a file: a part for each track (and program in it), in format 0 for each channel."""
    found = Collected(4 * file.division)
    for number, track in enumerate(file.tracks):
        name = next((clean(m.data) for m in track if m.status == META and m.meta == TRACK_NAME), "")
        for message in track:
            if message.status == META:
                _read_meta(found, message)
        parts = _read_notes(found, track, file.format == 0, name)
        if number == 0 and (not parts or file.format == 0):
            found.title = name
        found.parts.extend(parts)
    for row in (found.tempos, found.metres, found.keys):
        row.sort(key=lambda entry: entry[0])
    for index, part in enumerate(found.parts):
        part.name = part.name or f"Part {index + 1}"
    return found


def clean(data: bytes) -> str:
    """The printable text of a name, UTF-8 or else Latin-1."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    printable = "".join(letter if letter.isprintable() else " " for letter in text)
    return " ".join(printable.split())[:_LONGEST_NAME].strip()


def _read_meta(found: Collected, message: Message) -> None:
    data, tick = message.data, message.tick * UNITS
    if message.meta == SET_TEMPO:
        microseconds = int.from_bytes(data[:3], "big")
        quarters = 60_000_000 / microseconds if microseconds else 0.0
        if len(data) == 3 and _TEMPOS[0] <= quarters <= _TEMPOS[1]:
            found.tempos.append((tick, quarters))
        else:
            found.lost["a tempo that cannot be played was left out"] += 1
    elif message.meta == TIME_SIGNATURE:
        if len(data) >= 2 and 1 <= data[0] <= 64 and data[1] <= 5:
            found.metres.append((tick, Metre((data[0],), 2 ** data[1])))
        else:
            found.lost["a time signature that cannot be written was left out"] += 1
    elif message.meta == KEY_SIGNATURE:
        fifths = int.from_bytes(data[:1], "big", signed=True)
        if len(data) == 2 and -7 <= fifths <= 7 and data[1] <= 1:
            found.keys.append((tick, Key(fifths, Mode.MINOR if data[1] else Mode.MAJOR)))
        else:
            found.lost["a key signature that cannot be written was left out"] += 1


class _Strikes(NamedTuple):
    """When one pitch of one channel is struck and when it ends, in ticks and in the order of the file."""

    starts: list[int]
    ends: list[int]

    def spans(self, latest: int, whole: int) -> Iterator[tuple[int, int, bool]]:
        """(start, end, whether the end is there) of each note: a note that is struck again ends.

        Where every strike has its end they follow each other in the same order, so that the end of a note which was
        struck again is not taken for that of the next. Else a note ends at the first end after it; one without any, as in
        a damaged file, lasts a whole note: it could hold through hundreds of measures.
        """
        starts, ends = self
        paired = len(starts) == len(ends) and all(
            start <= end for start, end in zip(starts, ends, strict=True)
        )
        for index, start in enumerate(starts):
            again = starts[index + 1] if index + 1 < len(starts) else None
            place = index if paired else bisect_right(ends, start)
            end = ends[place] if place < len(ends) else None
            if end is None or (again is not None and again < end):
                end = again
            yield start, max(start + 1, min(latest, start + whole) if end is None else end), end is not None


def _read_notes(found: Collected, track: Sequence[Message], by_channel: bool, name: str) -> list[RawPart]:
    """The parts of one track."""
    programs = _programs(track)
    strikes: dict[tuple[int, int], _Strikes] = {}
    for message in track:
        if message.status >= SYSEX or message.kind not in (NOTE_ON, NOTE_OFF):
            continue
        starts = message.kind == NOTE_ON and message.data[1] > 0
        if message.channel == _PERCUSSION:
            found.lost["percussion was left out"] += starts
            continue
        row = strikes.setdefault((message.channel, message.data[0]), _Strikes([], []))
        (row.starts if starts else row.ends).append(message.tick)
    parts: dict[int, RawPart] = {}
    for (channel, pitch), row in strikes.items():
        used = programs.get(channel, -1)
        for start, end, is_there in row.spans(track[-1].tick, found.scale):
            found.lost["a note without an end lasts a whole note"] += not is_there
            part = parts.setdefault(
                channel if by_channel else used, RawPart("" if by_channel else name, used)
            )
            part.notes.append(RawNote(start * UNITS, end * UNITS, pitch))
    for part in parts.values():
        part.notes.sort()
    return list(parts.values())


def _programs(track: Sequence[Message]) -> dict[int, int]:
    """The first program of each channel."""
    programs: dict[int, int] = {}
    for message in track:
        if message.status < SYSEX and message.kind == PROGRAM:
            programs.setdefault(message.channel, message.data[0])
    return programs


def lay_measures(found: Collected, end: int) -> list[MidiMeasure]:
    """The measures from the start on, until one starts after `end` (scaled ticks).

    Signatures within a measure wait for the next one. Raises ValueError when there are more than MOST_MEASURES.
    """
    measures: list[MidiMeasure] = []
    metre, key, tempo = Metre((4,), 4), Key(0), 0.0
    metres, keys, tempos = _Signatures(found.metres), _Signatures(found.keys), _Signatures(found.tempos)
    start = 0
    while not measures or measures[-1].start * found.scale <= end:
        if len(measures) >= MOST_MEASURES:
            raise ValueError(
                f"the music of the MIDI file is longer than {MOST_MEASURES} measures, too long for a score"
            )
        reach, exact = (start + _SLACK) * found.scale, (start - _SLACK) * found.scale
        metre, key = metres.take(reach, exact) or metre, keys.take(reach, exact) or key
        now = tempos.take(reach, exact) or tempo
        length = int(metre.length * UNITS)
        measures.append(MidiMeasure(start, length, metre, key, now if now != tempo else 0.0))
        tempo = now
        start += length
    for late, what in ((metres.late, "a time"), (keys.late, "a key"), (tempos.late, "a tempo")):
        if late:
            found.lost[f"{what} within a measure was moved to the next barline or left out"] += late
    return measures


class _Signatures(Generic[T]):
    """Signatures of one kind, taken measure by measure; `late` counts those that do not stand at a barline."""

    def __init__(self, entries: Sequence[tuple[int, T]]) -> None:
        self._entries = entries
        self._next = 0
        self.late = 0

    def take(self, reach: int, exact: int) -> T | None:
        """The last signature at or before `reach`, if there is a new one; those before `exact` are late."""
        value: T | None = None
        while self._next < len(self._entries) and self._entries[self._next][0] <= reach:
            tick, value = self._entries[self._next]
            self.late += tick < exact
            self._next += 1
        return value
