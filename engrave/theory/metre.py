"""Metres: their length, their beats, and how notes are beamed in them."""

from __future__ import annotations

import re
from bisect import bisect
from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, pairwise
from typing import NamedTuple

_UNITS = (1, 2, 4, 8, 16, 32)
_UNDECLARED_GROUPS: dict[tuple[int, int], tuple[int, ...]] = {
    (5, 8): (3, 2),
    (7, 8): (2, 2, 3),
    (8, 8): (3, 3, 2),
    (10, 8): (3, 3, 2, 2),
    (11, 8): (3, 3, 3, 2),
    (5, 16): (3, 2),
    (7, 16): (2, 2, 3),
}
"""Beats of uneven metres that are not written as a sum (common practice, no source)."""


class Metre(NamedTuple):
    """A time signature: the summands of the upper number, the lower number, and whether C is wanted instead."""

    groups: tuple[int, ...]
    unit: int
    symbol: bool = False

    @property
    def length(self) -> Fraction:
        """A full measure in whole notes."""
        return Fraction(sum(self.groups), self.unit)

    @property
    def is_compound(self) -> bool:
        """True when the beat is dotted: 6/8, 9/8, 12/8."""
        return len(self.groups) == 1 and self.unit >= 8 and self.groups[0] > 3 and self.groups[0] % 3 == 0

    @property
    def beats(self) -> tuple[Fraction, ...]:
        """The onsets of the felt beats, in whole notes."""
        return _beats(self)

    @property
    def text(self) -> str:
        """As it is written in a score: "3+2/8"."""
        if self.symbol:
            return "C" if self.unit == 4 else "cut C"
        return f"{'+'.join(map(str, self.groups))}/{self.unit}"


class TimedEvent(NamedTuple):
    """What beaming needs to know of an event: times in whole notes, flags of the written value, tuplets outermost first."""

    onset: Fraction
    length: Fraction
    flags: int
    is_rest: bool
    tuplets: tuple[int, ...]


@lru_cache(maxsize=64)
def parse_metre(text: str) -> Metre:
    """Read "3/4", "3+2/8", "C", "cut C". Raises ValueError that says what would be right."""
    words = " ".join(text.split())
    if words in ("C", "c"):
        return Metre((4,), 4, True)
    if words.lower() == "cut c":
        return Metre((2,), 2, True)
    match = re.fullmatch(r"(\d+(?:\s*\+\s*\d+)*)\s*/\s*(\d+)", words)
    if match is None:
        raise ValueError(f'"{text}" is not a time; write 3/4, 6/8, 3+2/8, C or cut C')
    groups = tuple(int(number) for number in match.group(1).split("+"))
    unit = int(match.group(2))
    if unit not in _UNITS or not all(1 <= group <= 64 for group in groups):
        raise ValueError(f'"{text}" is not a time; the lower number is 1, 2, 4, 8, 16 or 32')
    return Metre(groups, unit)


@lru_cache(maxsize=128)
def _beats(metre: Metre) -> tuple[Fraction, ...]:
    groups = metre.groups
    if len(groups) == 1:
        total = groups[0]
        if metre.is_compound:
            groups = (3,) * (total // 3)
        elif (total, metre.unit) in _UNDECLARED_GROUPS:
            groups = _UNDECLARED_GROUPS[total, metre.unit]
        elif metre.unit >= 8 and total == 3:
            groups = (3,)
        else:
            per_beat = max(1, metre.unit // 4)
            groups = (per_beat,) * (total // per_beat) + ((total % per_beat,) if total % per_beat else ())
    elif metre.unit <= 4:
        groups = (1,) * sum(groups)
    starts = list(accumulate(groups, initial=0))[:-1]
    return tuple(Fraction(start, metre.unit) for start in starts)


@lru_cache(maxsize=128)
def _wide_borders(metre: Metre) -> tuple[Fraction, ...]:
    """Where beams of plain eighths stop: by half notes in 4/4 and 2/2, by the measure in 2/4 and 3/4, else by beat.

    Source: Open University, An introduction to music theory, 3.6, for 2/4, 3/4 and 4/4; the others common practice.
    """
    length = metre.length
    if len(metre.groups) > 1:
        starts = list(accumulate(metre.groups, initial=0))[:-1]
        return tuple(Fraction(start, metre.unit) for start in starts)
    if (metre.groups[0], metre.unit) in ((2, 4), (3, 4), (3, 8)):
        return (Fraction(0),)
    if metre.unit in (2, 4) and length % Fraction(1, 2) == 0:
        return tuple(Fraction(half, 2) for half in range(int(length * 2)))
    return metre.beats


def decide_beam_groups(
    metre: Metre, events: Sequence[tuple[Fraction, Fraction, int, bool, tuple[int, ...]]]
) -> list[list[int]]:
    """Which events share a beam: lists of indices, two notes or more, rests inside a beam left out.

    `events` are (onset, length, flags, is rest, tuplets) in order of time; a pickup's onsets count from where the
    metre would start. A beam never crosses a beat (or half measure of plain eighths), never starts or ends on a rest,
    passes one rest inside a beat but never two in a row, and a tuplet is beamed by itself (common practice, no source).
    """
    timed = [TimedEvent(*event) for event in events]
    spans = _beam_onsets(metre, timed)
    groups: list[list[int]] = []
    for start, stop in pairwise((*_wide_borders(metre), metre.length)):
        members = [i for i, onset in enumerate(spans) if start <= onset < stop]
        plain = all(timed[i].flags <= 1 and not timed[i].tuplets for i in members)
        if plain:
            for run in _split_runs(timed, members, spans, metre):
                groups.extend(_split_offbeat(timed, run, metre))
        else:
            borders = [beat for beat in metre.beats if start < beat < stop]
            for low, high in pairwise((start, *borders, stop)):
                inner = [i for i in members if low <= spans[i] < high]
                groups.extend(_split_runs(timed, inner, spans, metre))
    return groups


def _beam_onsets(metre: Metre, timed: Sequence[TimedEvent]) -> list[Fraction]:
    """The moment by which each event is counted to a beat.

    That is its onset; but a beat cuts a tuplet only where one of its events starts, and never a tuplet inside a tuplet:
    what follows in the tuplet counts to the beat before.
    """
    onsets: list[Fraction] = []
    for i, event in enumerate(timed):
        before = timed[i - 1].tuplets if i else ()
        inside = bool(event.tuplets) and event.tuplets[:1] == before[:1]
        nested = inside and len(event.tuplets) > 1 and event.tuplets[:2] == before[:2]
        cut = event.onset in metre.beats and not nested
        onsets.append(onsets[-1] if inside and not cut else event.onset)
    return onsets


def _split_runs(
    timed: Sequence[TimedEvent], members: Sequence[int], spans: Sequence[Fraction], metre: Metre
) -> list[list[int]]:
    """Cut the events of one span into runs of two flagged notes or more; rests are left out."""
    runs: list[list[int]] = [[]]
    for i in members:
        event = timed[i]
        if event.flags == 0 or (runs[-1] and not _may_share(timed, runs[-1][-1], i, spans, metre)):
            runs.append([])
        if event.flags and not event.is_rest:
            runs[-1].append(i)
    return [run for run in runs if len(run) > 1]


def _may_share(
    timed: Sequence[TimedEvent], note: int, following: int, spans: Sequence[Fraction], metre: Metre
) -> bool:
    """True when a beam may go on from `note` to `following`: in one tuplet, over one rest at most, and that in one beat."""
    if timed[note].tuplets[:1] != timed[following].tuplets[:1]:
        return False
    if timed[following].is_rest or following == note + 1:
        return True
    return following == note + 2 and bisect(metre.beats, spans[note]) == bisect(metre.beats, spans[following])


def _split_offbeat(timed: Sequence[TimedEvent], run: list[int], metre: Metre) -> list[list[int]]:
    """A run that starts off the beat after a longer, undotted note is cut at the next beat (a primer on grouping)."""
    first = timed[run[0]]
    before = timed[run[0] - 1] if run[0] else None
    if (
        first.onset in metre.beats
        or before is None
        or before.is_rest
        or before.flags
        or _is_dotted(before.length)
    ):
        return [run]
    beat = next((beat for beat in metre.beats if beat > first.onset), None)
    if beat is None:
        return [run]
    halves = [[i for i in run if timed[i].onset < beat], [i for i in run if timed[i].onset >= beat]]
    return [half for half in halves if len(half) > 1]


def _is_dotted(length: Fraction) -> bool:
    return length.numerator > 1


def decide_secondary_breaks(
    metre: Metre, onsets: Sequence[Fraction], flags: Sequence[int], tuplets: Sequence[tuple[int, ...]]
) -> frozenset[int]:
    """Where only the primary beam goes on: index i stands for the gap before note i of the group.

    Thirty-seconds and shorter break at every eighth, sixteenths that share a beam over several quarters at every
    beat, and all of them where a tuplet inside a tuplet starts or ends, never inside it (common practice, no source).
    """
    breaks: set[int] = set()
    finest = max(flags, default=0)
    for i in range(1, len(onsets)):
        if min(flags[i - 1], flags[i]) < 2:
            continue
        at_beat = onsets[i] in metre.beats or (finest >= 3 and onsets[i] % Fraction(1, 8) == 0)
        inside = len(tuplets[i]) > 1 and tuplets[i] == tuplets[i - 1]
        if tuplets[i] != tuplets[i - 1] or (at_beat and not inside):
            breaks.add(i)
    return frozenset(breaks)


def beat_text(onset: Fraction, metre: Metre) -> str:
    """A moment as a beat, counted from 1 in the metre's lower number: "2", "2 1/2"."""
    beat = onset * metre.unit + 1
    whole, rest = divmod(beat, 1)
    return f"{whole} {rest}" if rest else str(whole)
