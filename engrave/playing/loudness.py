"""How loud a part is at each written moment: dynamics, hairpins between them, attacks, accents."""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.playing.taste import Taste
from engrave.score.joins import SLURRED
from engrave.score.sign_list import SignName
from engrave.score.spans import Span
from engrave.score.structure import Part

_HAIRPINS = {SignName.CRESCENDO: 1, SignName.DIMINUENDO: -1}
UNSTRUCK = SLURRED | {SignName.TAP, SignName.LEFT_HAND_TAP}
"""Marks of notes that no pick strikes."""


class _Hairpin(NamedTuple):
    start: Fraction
    stop: Fraction
    before: float
    goal: float


class Loudness:
    """The loudness of one part. `starts` are the written moments at which its measures begin."""

    def __init__(self, part: Part, starts: Sequence[Fraction], spans: Sequence[Span], house: Taste) -> None:
        self._house = house
        self._attacks: dict[Fraction, float] = {}
        self._levels: list[tuple[Fraction, float]] = []
        for start, content in zip(starts, part.measures):
            for dynamic in sorted(content.dynamics, key=lambda dynamic: dynamic.onset):
                self._add_dynamic(start + dynamic.onset, dynamic.text)
        self._hairpins: list[_Hairpin] = []
        for span in sorted(spans, key=lambda span: (span.first, span.onset)):
            if span.sign.name in _HAIRPINS:
                way = _HAIRPINS[span.sign.name]
                self._add_hairpin(starts[span.first] + span.onset, starts[span.last] + span.end, way)

    def _add_dynamic(self, moment: Fraction, text: str) -> None:
        if text in self._house.attacks:
            self._attacks[moment] = self._house.attacks[text]
            if text in self._house.after_attacks:
                self._levels.append((moment, self._house.after_attacks[text]))
        else:
            self._levels.append((moment, self._house.dynamics[text]))

    def _add_hairpin(self, start: Fraction, stop: Fraction, way: int) -> None:
        """A hairpin leads to the dynamic at its end if that is where it points, else a step; the level stays there."""
        before = self._level(start)
        place = bisect_right(self._levels, start, key=lambda level: level[0])
        goal = min(1.0, max(self._house.softest, before + way * self._house.hairpin_step))
        following, level = self._levels[place] if place < len(self._levels) else (None, 0.0)
        if following is None or following > stop:
            insort(self._levels, (stop, goal))
        if following is not None and following <= stop + self._house.hairpin_reach:
            goal = level if (level - before) * way > 0 else goal
        self._hairpins.append(_Hairpin(start, stop, before, goal))

    def _level(self, moment: Fraction) -> float:
        place = bisect_right(self._levels, moment, key=lambda level: level[0])
        return self._levels[place - 1][1] if place else self._house.dynamics["mf"]

    def at(self, moment: Fraction, signs: frozenset[SignName]) -> float:
        """The loudness of a note struck at the written `moment` with these signs, `softest` to 1."""
        level = self._level(moment)
        place = bisect_right(self._hairpins, moment, key=lambda hairpin: hairpin.start)
        if place and moment < self._hairpins[place - 1].stop:
            start, stop, before, goal = self._hairpins[place - 1]
            level = before + (goal - before) * float((moment - start) / (stop - start))
        level = max(level, self._attacks.get(moment, 0.0))
        level += sum(self._house.emphasis.get(mark, 0.0) for mark in sorted(signs))
        level = min(1.0, max(self._house.softest, level))
        return level * self._house.unstruck if signs & UNSTRUCK else level
