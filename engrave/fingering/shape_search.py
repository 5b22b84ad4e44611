"""Every way to stop the strings for a chord: frets only, before fingers are thought of.

A shape is kept when its tones are the chord's, its lowest note is the bass asked for, no more fingers are needed than a hand
has, the outer stopped frets are within reach, and every muted string between sounding ones has a finger beside it that
damps it. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from engrave.fingering.hand import Hand
from engrave.fingering.neck import Neck
from engrave.theory.chord_tones import ChordTones

Frets = tuple[int | None, ...]
"""A fret for every string, the thickest first; None: not played."""

_FINGERS = 4
_NO_NOTE = 999
"""Higher than every MIDI number."""
_NOTHING, _MUST_STOP, _MUST_END = 0, 1, 2
"""What a muted string asks of the strings after it: nothing, a finger beside it, or silence to the edge."""


class Instrumental(NamedTuple):
    """What the search needs to know of an instrument, the thickest string first."""

    open_midi: tuple[int, ...]
    stoppable: tuple[bool, ...]
    """False for a short string, which is played open or not at all (house rule)."""


def strings_of(neck: Neck) -> Instrumental:
    """The strings of `neck`, the thickest first."""
    short = neck.first_frets or (0,) * len(neck.open_midi)
    return Instrumental(tuple(reversed(neck.open_midi)), tuple(not first for first in reversed(short)))


def count_fingers(frets: Sequence[int | None]) -> int:
    """The fewest fingers that can hold `frets`: one lies across strings only where none between sounds lower or is silent."""
    return len(finger_frets(frets))


def finger_frets(frets: Sequence[int | None]) -> list[int]:
    """Where the fewest fingers that can hold `frets` stand, from the nut on."""
    found = []
    fingers = lying = 0
    for fret in frets:
        before = fingers
        fingers, lying = _lay(fret, fingers, lying)
        if fingers > before and fret:
            found.append(fret)
    return sorted(found)


def can_be_spanned(standing: Sequence[int], neck: Neck, hand: Hand) -> bool:
    """False when some two fingers that stand at these frets, in order, cannot be so far apart, whichever they are."""
    spare = _FINGERS - len(standing)
    return all(
        neck.reach(standing[low], standing[high]) <= hand.reach.between(low + 1, high + 1 + spare)
        for high in range(1, len(standing))
        for low in range(high)
    )


def _lay(fret: int | None, fingers: int, lying: int) -> tuple[int, int]:
    """Fingers used, and the frets (as bits) at which one lies that can go on, after one more string."""
    if not fret:
        return fingers, 0
    bit = 1 << fret
    if not lying & bit:
        fingers += 1
    return fingers, (lying & (bit - 1)) | bit


def inner_mutes(frets: Sequence[int | None]) -> int:
    """How many strings between sounding ones are not played."""
    sounding = [index for index, fret in enumerate(frets) if fret is not None]
    return sounding[-1] - sounding[0] + 1 - len(sounding) if sounding else 0


def can_be_damped(frets: Sequence[int | None]) -> bool:
    """True when every muted string between sounding ones has a stopped neighbour."""
    sounding = [index for index, fret in enumerate(frets) if fret is not None]
    return all(
        frets[index] is not None or frets[index - 1] or frets[index + 1]
        for index in range(sounding[0], sounding[-1])
    )


class WindowCost(NamedTuple):
    """What shapes of one window cost at least: the window itself, then by what they hold.

    `fingers[n]`: n fingers; `stretch[fret]`: the highest stopped fret; `open_string`: each, less than 0 where welcome.
    `silent_low`: each string below the lowest sounding one after the first `spare`.
    """

    window: float
    fingers: tuple[float, ...]
    stretch: tuple[float, ...]
    open_string: float
    inner_mute: float
    silent_low: float
    spare: int
    inner_mutes_most: int


def search_frets(
    tones: ChordTones,
    neck: Neck,
    hand: Hand,
    highest: int,
    cost: Callable[[int], WindowCost],
    limit: Callable[[], float],
) -> Iterator[Frets]:
    """The shapes with frets up to `highest`, those nearest the nut first.

    `cost(lowest stopped fret)` says what shapes cost at least; those that reach `limit()` are left out.
    """
    strings = strings_of(neck)
    top = min(highest, neck.frets)
    high = 0
    for low in range(top + 1):
        while low and high < top and neck.reach(low, high + 1) <= hand.reach.hard:
            high += 1
        yield from _Window(tones, strings, low, high, cost(low), limit).shapes()


class _Partial(NamedTuple):
    """A shape as far as it goes. `fingers` and `lying`: see `_lay`; `waiting`: mutes since the last sounding string."""

    sounding: int = 0
    lowest: int = _NO_NOTE
    fingers: int = 0
    lying: int = 0
    high: int = 0
    has_low: bool = False
    below: int = 0
    inner: int = 0
    waiting: int = 0
    asks: int = _NOTHING
    spent: float = 0.0


class _Window:
    """The shapes whose lowest stopped fret is `low` and whose highest is at most `high`; 0: open strings only."""

    def __init__(
        self,
        tones: ChordTones,
        strings: Instrumental,
        low: int,
        high: int,
        cost: WindowCost,
        limit: Callable[[], float],
    ) -> None:
        self._tones = tones
        self._low = low
        self._cost = cost
        self._limit = limit
        self._count = len(strings.open_midi)
        self._options = [
            self._places(midi, stoppable, low, high)
            for midi, stoppable in zip(strings.open_midi, strings.stoppable)
        ]
        self._needed = sum(1 << tone for tone in tones.needed)
        self._one_of = sum(1 << tone for tone in tones.one_of)
        self._ahead = self._tones_ahead()
        self._basses = self._basses_ahead()
        self._lows = [
            any(fret == low for options in self._options[index:] for fret, _, _ in options)
            for index in range(self._count + 1)
        ]
        self._chosen: list[int | None] = [None] * self._count

    def _places(self, midi: int, stoppable: bool, low: int, high: int) -> list[tuple[int, int, int]]:
        """(fret, tone as a bit, MIDI number) of what one string can sound."""
        frets = [0, *(range(low, high + 1) if low and stoppable else ())]
        wanted = self._tones.all
        return [(f, 1 << (midi + f) % 12, midi + f) for f in frets if (midi + f) % 12 in wanted]

    def _tones_ahead(self) -> list[int]:
        """By string: the tones that it and the strings after it can sound."""
        ahead = [0] * (self._count + 1)
        for index in range(self._count - 1, -1, -1):
            ahead[index] = ahead[index + 1]
            for _, tone, _ in self._options[index]:
                ahead[index] |= tone
        return ahead

    def _basses_ahead(self) -> list[int]:
        """By string: the lowest bass that it and the strings after it can sound."""
        ahead = [_NO_NOTE] * (self._count + 1)
        bass = self._tones.bass
        for index in range(self._count - 1, -1, -1):
            own = [midi for _, _, midi in self._options[index] if midi % 12 == bass]
            ahead[index] = min([ahead[index + 1], *own])
        return ahead

    def shapes(self) -> Iterator[Frets]:
        """Every shape of the window."""
        return self._extend(0, _Partial(has_low=not self._low, spent=self._cost.window))

    def _extend(self, index: int, so_far: _Partial) -> Iterator[Frets]:
        """The shapes that go on from string `index`."""
        if index == self._count:
            if self._is_finished(so_far):
                yield tuple(self._chosen)
            return
        if self._is_lost(index, so_far):
            return
        inner = so_far.inner + so_far.waiting
        if so_far.asks != _MUST_END and inner <= self._cost.inner_mutes_most:
            for place in self._options[index]:
                if not place[0] and so_far.asks == _MUST_STOP:
                    continue
                after = self._sound(so_far, place)
                if after.fingers <= _FINGERS and self._least(index + 1, after) < self._limit():
                    self._chosen[index] = place[0]
                    yield from self._extend(index + 1, after)
        self._chosen[index] = None
        yield from self._extend(index + 1, self._mute(index, so_far))

    def _sound(self, before: _Partial, place: tuple[int, int, int]) -> _Partial:
        fret, tone, midi = place
        cost = self._cost
        fingers, lying = _lay(fret, before.fingers, before.lying)
        return _Partial(
            sounding=before.sounding | tone,
            lowest=min(before.lowest, midi),
            fingers=fingers,
            lying=lying,
            high=max(before.high, fret),
            has_low=before.has_low or fret == self._low,
            below=before.below,
            inner=before.inner + before.waiting,
            waiting=0,
            asks=_NOTHING,
            spent=before.spent + before.waiting * cost.inner_mute + (0.0 if fret else cost.open_string),
        )

    def _mute(self, index: int, before: _Partial) -> _Partial:
        if before.sounding:
            asks = _NOTHING if self._chosen[index - 1] else _MUST_STOP
            return before._replace(
                waiting=before.waiting + 1, lying=0, asks=_MUST_END if before.asks else asks
            )
        paid = self._cost.silent_low if before.below >= self._cost.spare else 0.0
        return before._replace(below=before.below + 1, spent=before.spent + paid)

    def _least(self, index: int, so_far: _Partial) -> float:
        """What a shape that goes on like this costs at least, strings from `index` on being free."""
        cost = self._cost
        welcome = min(0.0, cost.open_string) * (self._count - index)
        return so_far.spent + cost.fingers[so_far.fingers] + cost.stretch[so_far.high] + welcome

    def _is_lost(self, index: int, so_far: _Partial) -> bool:
        missing = self._needed & ~so_far.sounding
        if missing & ~self._ahead[index] or missing.bit_count() > self._count - index:
            return True
        if not so_far.has_low and not self._lows[index]:
            return True
        bass = self._tones.bass
        if bass is None or (so_far.lowest != _NO_NOTE and so_far.lowest % 12 == bass):
            return False
        return self._basses[index] >= so_far.lowest

    def _is_finished(self, so_far: _Partial) -> bool:
        sounding = so_far.sounding
        if not sounding or self._needed & ~sounding or (self._one_of and not self._one_of & sounding):
            return False
        return so_far.has_low and self._tones.bass in (None, so_far.lowest % 12)
