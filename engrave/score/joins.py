"""What joins notes of one voice: ties, and the hammer-ons, pull-offs and slides that lead from note to note.

They are found here and nowhere else, each with its two ends. A join leads from an event to the one after it, grace notes
among them. A rest between them cuts it, and so does a measure in which the voice has nothing or that repeats earlier ones.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import islice
from typing import NamedTuple, Protocol

from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Note, PartMeasure, Voice
from engrave.score.techniques import Bend, Technique

LEGATO = (SignName.HAMMER_ON, SignName.PULL_OFF, SignName.SLURRED_SLIDE, SignName.SLIDE)
"""Signs of a note that is reached from the note before it; they stand on the note that is reached."""
SLURRED = frozenset((SignName.HAMMER_ON, SignName.PULL_OFF, SignName.SLURRED_SLIDE))
"""Those that have a slur."""
SLIDING = frozenset((SignName.SLIDE, SignName.SLURRED_SLIDE))
"""Those that have a line."""
_UNBENT = Fraction(0)


class NoteAt(NamedTuple):
    """Where a note stands: its measure, its voice, its event in the order of playing, and which note there; all from 0.

    Grace notes are events too.
    """

    measure: int
    voice: int
    event: int
    note: int


class Tie(NamedTuple):
    """A tie from note to note; None for an end that is not there."""

    start: NoteAt | None
    stop: NoteAt | None


class Legato(NamedTuple):
    """How a note is reached from the one before it; `start` is None where there is none to start from."""

    start: NoteAt | None
    stop: NoteAt
    signs: tuple[SignName, ...]


class Joinable(Protocol):
    """What must be known of a note, in a score or while it is read, to find its joins."""

    @property
    def string(self) -> int:
        """From 1, 0 without strings."""

    @property
    def midi(self) -> int:
        """The written MIDI number."""

    @property
    def tie_from(self) -> bool:
        """True where a tie comes in."""

    @property
    def tie_to(self) -> bool:
        """True where a tie goes out."""

    @property
    def techniques(self) -> tuple[Technique, ...]:
        """How it is played."""

    @property
    def chosen(self) -> bool:
        """True where the string is not the author's choice."""


@dataclass(frozen=True)
class Joins:
    """The joins of one part, in the order of their later ends; and how far strings are bent before notes that ties hold."""

    ties: tuple[Tie, ...]
    legato: tuple[Legato, ...]
    bent: dict[NoteAt, Fraction]
    """In semitones; notes before which the string is straight are left out."""

    @cached_property
    def joined(self) -> frozenset[tuple[int, int, int]]:
        """The events (measure, voice, number) that a join leads from or to."""
        joins: tuple[Tie | Legato, ...] = (*self.ties, *self.legato)
        ends = [at for join in joins for at in (join.start, join.stop) if at is not None]
        return frozenset([at[:3] for at in ends])

    @cached_property
    def joining_voices(self) -> frozenset[tuple[int, int]]:
        """The voices (measure, voice) with such an event."""
        return frozenset([at[:2] for at in self.joined])

    @cached_property
    def held_from(self) -> dict[NoteAt, NoteAt]:
        """For each note that a tie holds, the note it comes from."""
        return {tie.stop: tie.start for tie in self.ties if tie.stop is not None and tie.start is not None}

    @cached_property
    def held_to(self) -> dict[NoteAt, NoteAt]:
        """For each note that a tie leaves, the note it leads to."""
        return {start: stop for stop, start in self.held_from.items()}

    @cached_property
    def reached(self) -> dict[NoteAt, Legato]:
        """For each note that is reached by a legato join, that join."""
        return {join.stop: join for join in self.legato}

    @cached_property
    def leading(self) -> dict[NoteAt, list[Legato]]:
        """For each note from which legato joins lead, those joins."""
        found: dict[NoteAt, list[Legato]] = {}
        for join in self.legato:
            if join.start is not None:
                found.setdefault(join.start, []).append(join)
        return found


class _Last(NamedTuple):
    """The event before in a voice: where its notes stand, and the notes."""

    at: NoteAt
    notes: Sequence[Joinable]


def events_in_order(voice: Voice) -> Iterator[Event]:
    """The events of a voice with their grace notes, in the order of playing: the numbers of `NoteAt.event`."""
    for event in voice.events:
        yield from event.before.events if event.before is not None else ()
        yield event
        yield from event.after.events if event.after is not None else ()


def note_at(content: PartMeasure, at: NoteAt) -> Note:
    """The note at `at` in its measure."""
    event = next(islice(events_in_order(content.voices[at.voice]), at.event, None))
    return event.notes[at.note]


def resolve_joins(contents: Iterable[PartMeasure], are_placed: bool = True) -> Joins:
    """The joins of a part whose measures come one after the other as `contents`: as written, or as they are played.

    `are_placed`: notes whose string is the program's choice have it; else they are reached from the note nearest in pitch.
    """
    return join_notes(
        (
            None
            if content.repeats
            else [[event.notes for event in events_in_order(voice)] for voice in content.voices]
            for content in contents
        ),
        are_placed,
    )


def join_notes(
    measures: Iterable[Sequence[Sequence[Sequence[Joinable]]] | None], are_placed: bool = True
) -> Joins:
    """As `resolve_joins`, of the notes alone: measure by measure, each voice with the notes of its events.

    A measure whose music is not its own is None.
    """
    resolver = _Resolver(are_placed)
    for index, voices in enumerate(measures):
        resolver.read(index, voices or ())
    resolver.cut(range(len(resolver.last)))
    return Joins(tuple(resolver.ties), tuple(resolver.legato), resolver.bent)


class _Resolver:
    """Goes through the measures of a part once."""

    def __init__(self, are_placed: bool) -> None:
        self.last: list[_Last | None] = []
        self.ties: list[Tie] = []
        self.legato: list[Legato] = []
        self.bent: dict[NoteAt, Fraction] = {}
        self._are_placed = are_placed
        self._left: dict[NoteAt, Fraction] = {}
        """How far strings are still bent where notes end."""

    def read(self, index: int, voices: Sequence[Sequence[Sequence[Joinable]]]) -> None:
        """The next measure."""
        self.last.extend([None] * (len(voices) - len(self.last)))
        silent = [number for number in range(len(self.last)) if number >= len(voices) or not voices[number]]
        self.cut(silent)
        for number, events in enumerate(voices):
            for order, notes in enumerate(events):
                self._join(_Last(NoteAt(index, number, order, 0), notes))

    def cut(self, voices: Iterable[int]) -> None:
        """Nothing follows in these voices for now: their ties lead nowhere."""
        for number in voices:
            self._leave(self.last[number], frozenset())
            self.last[number] = None

    def _leave(self, last: _Last | None, held: frozenset[NoteAt]) -> None:
        """Tell the ties of an event that hold no note after it."""
        if last is None:
            return
        for index, note in enumerate(last.notes):
            if note.tie_to and (at := last.at._replace(note=index)) not in held:
                self.ties.append(Tie(at, None))

    def _join(self, now: _Last) -> None:
        """Join an event to the one before it."""
        last = self.last[now.at.voice]
        before = last.notes if last is not None else ()
        held = set[NoteAt]()
        for index, note in enumerate(now.notes):
            if not note.tie_from and not note.techniques:
                continue
            at = now.at._replace(note=index)
            level = _UNBENT
            if note.tie_from:
                start = _end(last, find_tied(before, note))
                self.ties.append(Tie(start, at))
                if start is not None:
                    held.add(start)
                    level = self._left.get(start, _UNBENT)
            if level:
                self.bent[at] = level
            if note.techniques:
                level = next((t.steps[-1].semitones for t in note.techniques if isinstance(t, Bend)), level)
                signs = tuple([t.sign for t in note.techniques if t.sign in LEGATO])
                if signs:
                    start = _end(last, _find_reached_from(before, note, index, self._are_placed))
                    self.legato.append(Legato(start, at, signs))
            if level:
                self._left[at] = level
        self._leave(last, frozenset(held))
        self.last[now.at.voice] = now


def _end(last: _Last | None, index: int | None) -> NoteAt | None:
    return last.at._replace(note=index) if last is not None and index is not None else None


def find_tied(before: Sequence[Joinable], note: Joinable) -> int | None:
    """Which of the notes `before` a tie holds in `note`: the same pitch, on the same string if there is a choice."""
    alike = [index for index, other in enumerate(before) if other.midi == note.midi]
    return next((i for i in alike if before[i].string == note.string), alike[0] if alike else None)


def _find_reached_from(
    before: Sequence[Joinable], note: Joinable, index: int, are_placed: bool
) -> int | None:
    """Which of the notes `before` leads to `note`, which is number `index` of its chord.

    It is the note on its string; without strings, the one at the same place of the chord; where a string is still to be
    found, the one that is nearest in pitch.
    """
    if not note.string and not note.chosen:
        return index if index < len(before) else None
    is_open = note.chosen and not are_placed
    if not is_open:
        same = next((i for i, other in enumerate(before) if other.string == note.string), None)
        if same is not None or are_placed:
            return same
    near = [i for i, other in enumerate(before) if is_open or other.chosen]
    return min(near, key=lambda i: abs(before[i].midi - note.midi), default=None)
