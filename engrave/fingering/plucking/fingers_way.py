"""The cheapest way of a right hand through all its moments, and for each moment the next best whole way."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence
from typing import NamedTuple

from engrave.fingering.moves import AllMoves, costs_through, find_way
from engrave.fingering.plucking.fingers import THUMB, Hold, Terms, find_holds, hold_terms, move_terms
from engrave.fingering.plucking.right_hand import RightHand
from engrave.fingering.plucking.struck import Struck
from engrave.score.techniques import RightFinger
from engrave.theory.instrument import Instrument

_TREMOLO = (RightFinger.RING, RightFinger.MIDDLE, RightFinger.INDEX)
"""The fingers of a tremolo after the thumb (common practice, no source)."""


class Rival(NamedTuple):
    """The next best whole way through other fingers of a moment: how much more it costs, and mostly for what."""

    fingers: tuple[RightFinger | None, ...]
    more: float
    mostly: str


class Plucking(NamedTuple):
    """How one moment is plucked, and what it costs with the way there; `rival` is None unless asked for."""

    fingers: tuple[RightFinger | None, ...]
    terms: Terms
    rival: Rival | None = None


class FingerWay(NamedTuple):
    """How all moments are plucked, and what all of it costs."""

    steps: tuple[Plucking, ...]
    cost: float


class FingerSolver:
    """Finds fingers for moments on one instrument. Time grows in proportion to the number of moments."""

    def __init__(self, hand: RightHand, instrument: Instrument) -> None:
        self._hand = hand
        self._allowed = hand.fingers_on(instrument)
        self._border = hand.border(instrument)
        self._tables: dict[Hashable, AllMoves] = {}

    def choices(self, moments: Sequence[Struck]) -> list[tuple[Hold, ...]]:
        """Every way to pluck each moment."""
        found: list[tuple[Hold, ...]] = []
        for moment in moments:
            found.append(find_holds(moment, found[-1] if found else (), self._allowed))
        return found

    def own_terms(self, moments: Sequence[Struck], index: int, hold: Hold) -> Terms:
        """What a way to pluck a moment costs by itself."""
        terms = hold_terms(hold, moments[index], self._hand, self._border)
        return (*terms, ("tremolo", self._tremolo(moments, index, hold)))

    def move(self, old: Hold, new: Hold, to: Struck) -> Terms:
        """What it costs to pluck the moment `to` as `new` after `old`."""
        return move_terms(old, new, to.seconds, self._hand, to.is_in_run)

    def solve(self, moments: Sequence[Struck], explained: bool = False) -> FingerWay:
        """The cheapest way through `moments`; what repeats is plucked alike where that costs little more."""
        if not moments:
            return FingerWay((), 0.0)
        way = self._solve(moments, explained=False)
        fixed, changed = _alike(moments, way)
        if changed:
            alike = self._solve(fixed, explained=False)
            if alike.cost - way.cost <= self._hand.figures.alike * changed:
                way, moments = alike, fixed
        return self._solve(moments, explained=True) if explained else way

    def _solve(self, moments: Sequence[Struck], explained: bool) -> FingerWay:
        choices = self.choices(moments)
        own = [
            [sum(value for _, value in self.own_terms(moments, index, hold)) for hold in holds]
            for index, holds in enumerate(choices)
        ]

        def between(index: int) -> AllMoves:
            return self._moves(choices[index], choices[index + 1], moments[index + 1])

        forward, chosen = find_way(own, between)
        through = costs_through(own, between, forward) if explained else None
        steps = []
        for index, at in enumerate(chosen):
            before = choices[index - 1][chosen[index - 1]] if index else None
            terms = self._terms(moments, index, choices[index][at], before)
            rival = None
            if through is not None:
                rival = self._rival(moments, index, choices[index], at, before=before, totals=through[index])
            steps.append(Plucking(choices[index][at].fingers, terms, rival))
        return FingerWay(tuple(steps), min(forward[-1]))

    def _moves(self, old: Sequence[Hold], new: Sequence[Hold], to: Struck) -> AllMoves:
        key = (tuple(old), tuple(new), to.seconds, to.is_in_run)
        known = self._tables.get(key)
        if known is None:
            known = self._tables[key] = AllMoves(
                [[sum(value for _, value in self.move(a, b, to)) for a in old] for b in new]
            )
        return known

    def _terms(self, moments: Sequence[Struck], index: int, hold: Hold, before: Hold | None) -> Terms:
        own = self.own_terms(moments, index, hold)
        moved = self.move(before, hold, moments[index]) if before is not None else ()
        return tuple((name, value) for name, value in (*own, *moved) if value)

    def _rival(
        self,
        moments: Sequence[Struck],
        index: int,
        holds: Sequence[Hold],
        at: int,
        *,
        before: Hold | None,
        totals: Sequence[float],
    ) -> Rival | None:
        others = [n for n, hold in enumerate(holds) if hold.fingers != holds[at].fingers]
        if not others:
            return None
        best = min(others, key=lambda n: totals[n])
        chosen = Counter(dict(self._terms(moments, index, holds[at], before)))
        other = dict(self._terms(moments, index, holds[best], before))
        name = max(other, key=lambda term: other[term] - chosen[term], default="")
        mostly = name if name and other[name] > chosen[name] else ""
        return Rival(holds[best].fingers, totals[best] - totals[at], mostly)

    def _tremolo(self, moments: Sequence[Struck], index: int, hold: Hold) -> float:
        """What another finger costs where three quick strokes on one string follow the thumb."""
        if len(hold.fingers) != 1 or moments[index].notes[0].is_lower:
            return 0.0
        string, limit = hold.strings[0], self._hand.figures.tremolo_time
        run = 0
        while run <= index and moments[index - run].strings == (string,):
            run += 1
            if moments[index - run + 1].seconds > limit:
                break
        start = index - run + 1
        rest = 0
        while rest < len(_TREMOLO) and index + rest + 1 < len(moments):
            after = moments[index + rest + 1]
            if after.strings != (string,) or after.seconds > limit:
                break
            rest += 1
        is_three = run + rest == len(_TREMOLO) and start > 0 and moments[start].seconds <= limit
        if not is_three or string >= self._border or max(moments[start - 1].strings) <= self._border:
            return 0.0
        return 0.0 if hold.fingers[0] is _TREMOLO[run - 1] else self._hand.figures.tremolo


def _alike(moments: Sequence[Struck], way: FingerWay) -> tuple[list[Struck], int]:
    """The moments with measures that repeat fixed to the fingers found most often for them, and how many that changes.

    Strings of the thumb alone may differ: the pattern of an arpeggio goes on over another bass.
    """
    rows: dict[int, list[int]] = {}
    for index, moment in enumerate(moments):
        rows.setdefault(moment.measure, []).append(index)
    repeats: dict[Hashable, list[list[int]]] = {}
    for numbers in rows.values():
        if len(numbers) > 1:
            repeats.setdefault(tuple(_asked(moments[n], way.steps[n]) for n in numbers), []).append(numbers)
    found, changed = list(moments), 0
    for measures in repeats.values():
        seen = [tuple(way.steps[n].fingers for n in numbers) for numbers in measures]
        common = Counter(seen).most_common(1)[0][0]
        changed += sum(1 for one in seen if one != common)
        if len(set(seen)) == 1 or any(None in fingers for fingers in common):
            continue
        for numbers in measures:
            for number, fingers in zip(numbers, common, strict=True):
                notes = zip(found[number].notes, fingers, strict=True)
                fixed = tuple(note._replace(finger=note.finger or finger) for note, finger in notes)
                found[number] = found[number]._replace(notes=fixed)
    return found, changed


def _asked(moment: Struck, step: Plucking) -> Hashable:
    """What a moment of a pattern asks of the fingers, whatever the bass."""
    notes = tuple(
        ("bass" if finger is THUMB else note.string, note.finger, note.is_lower)
        for note, finger in zip(moment.notes, step.fingers, strict=True)
    )
    return moment.onset, notes
