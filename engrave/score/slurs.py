"""Slurs of a part: where each starts and ends. They lead from an event to a later one of the same voice, over measures.

`slur` starts one and `end-slur` ends the innermost that is open, as brackets do; `phrase` and `end-phrase` are a second
pair, for slurs over others and for those that cross. An event ends slurs before it starts new ones.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, Protocol

from engrave.score.joins import events_in_order
from engrave.score.sign_list import SLUR_ENDS, SignName
from engrave.score.structure import PartMeasure
from engrave.score.techniques import Technique

_ENDS = {end: start for start, end in SLUR_ENDS.items()}
_WORDS = frozenset((*SLUR_ENDS, *_ENDS))


class EventAt(NamedTuple):
    """Where an event stands: its measure, its voice, and its number in the order of playing; all from 0.

    Grace notes are events too.
    """

    measure: int
    voice: int
    event: int


class Slur(NamedTuple):
    """A slur from event to event; `start` comes before `stop`."""

    start: EventAt
    stop: EventAt

    @property
    def voice(self) -> int:
        """The voice that it stands in."""
        return self.start.voice

    def holds(self, other: Slur) -> bool:
        """True when `other` lies in it: then it stands outside."""
        return self.voice == other.voice and self.start <= other.start and other.stop <= self.stop


class LooseEnd(NamedTuple):
    """A word of a slur whose other end is missing."""

    at: EventAt
    word: SignName


class _Player(Protocol):
    @property
    def techniques(self) -> tuple[Technique, ...]:
        """How it is played."""


class Played(_Player, Protocol):
    """What slurs know of an event, read or still being read."""

    @property
    def notes(self) -> Sequence[_Player]:
        """Its notes."""


class Slurs(NamedTuple):
    """The slurs of a part in the order of their ends, and what has no other end."""

    found: tuple[Slur, ...]
    loose: tuple[LooseEnd, ...]


def slur_words(event: Played) -> list[SignName]:
    """The words of slurs at an event: the event's own, and each of a note's once."""
    words = [technique.sign for technique in event.techniques if technique.sign in _WORDS]
    for note in event.notes:
        for technique in note.techniques:
            if technique.sign in _WORDS and technique.sign not in words:
                words.append(technique.sign)
    return words


def match_slurs(events: Iterable[tuple[EventAt, Played]]) -> Slurs:
    """The slurs of events that come in order, voice beside voice."""
    opened: dict[tuple[int, SignName], list[EventAt]] = {}
    found: list[Slur] = []
    loose: list[LooseEnd] = []
    for at, event in events:
        words = slur_words(event)
        for word in words:
            if word in _ENDS:
                starts = opened.get((at.voice, _ENDS[word]))
                if starts:
                    found.append(Slur(starts.pop(), at))
                else:
                    loose.append(LooseEnd(at, word))
        for word in words:
            if word in SLUR_ENDS:
                opened.setdefault((at.voice, word), []).append(at)
    left = [LooseEnd(at, word) for (_, word), starts in opened.items() for at in starts]
    return Slurs(tuple(found), tuple(sorted((*loose, *left))))


def resolve_slurs(contents: Sequence[PartMeasure]) -> tuple[Slur, ...]:
    """The slurs of a part whose measures come one after the other as `contents`; loose ends, as of excerpts, are left out."""
    return match_slurs(_slurred_events(contents)).found


def _slurred_events(contents: Sequence[PartMeasure]) -> Iterator[tuple[EventAt, Played]]:
    """The events that have any technique."""
    for index, content in enumerate(contents):
        for number, voice in enumerate(content.voices):
            for order, event in enumerate(events_in_order(voice)):
                if event.techniques or any(note.techniques for note in event.notes):
                    yield EventAt(index, number, order), event


def outermost_last(slurs: Iterable[Slur]) -> list[Slur]:
    """The slurs so that each comes after those that lie in it."""
    row = list(slurs)
    return sorted(row, key=lambda slur: (sum(slur.holds(other) for other in row), slur))
