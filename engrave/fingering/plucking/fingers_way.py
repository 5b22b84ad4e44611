"""The cheapest way of a right hand through all its moments, and for each moment the next best whole way."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence
from typing import NamedTuple

from engrave.fingering.moves import AllMoves, costs_through, find_way
from engrave.fingering.plucking.figures import Figure, find_figures
from engrave.fingering.plucking.fingers import THUMB, Hold, Terms, find_holds, hold_terms, move_terms
from engrave.fingering.plucking.right_hand import RightHand
from engrave.fingering.plucking.struck import Struck
from engrave.score.techniques import RightFinger
from engrave.theory.instrument import Instrument


class Task(NamedTuple):
    """A moment, what it is part of, and every way to pluck it."""

    moment: Struck
    figure: Figure
    holds: tuple[Hold, ...]


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

    def prepare(self, moments: Sequence[Struck]) -> list[Task]:
        """Each moment with what it is part of and every way to pluck it."""
        tasks: list[Task] = []
        for moment, figure in zip(moments, find_figures(moments, self._hand, self._border), strict=True):
            before = tasks[-1].holds if tasks else ()
            tasks.append(Task(moment, figure, find_holds(moment, before, self._allowed)))
        return tasks

    def own_terms(self, hold: Hold, task: Task) -> Terms:
        """What a way to pluck a moment costs by itself."""
        return hold_terms(hold, task.moment, task.figure, self._hand, self._border)

    def move_terms(self, old: Hold, new: Hold, task: Task) -> Terms:
        """What it costs to pluck the moment of `task` as `new` after `old`."""
        return move_terms(old, new, task.moment.seconds, self._hand, task.figure.in_run)

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
        tasks = self.prepare(moments)
        own = [[_total(self.own_terms(hold, task)) for hold in task.holds] for task in tasks]

        def between(index: int) -> AllMoves:
            return self._moves(tasks[index].holds, tasks[index + 1])

        forward, chosen = find_way(own, between)
        through = costs_through(own, between, forward) if explained else None
        steps = []
        before: Hold | None = None
        for index, at in enumerate(chosen):
            task = tasks[index]
            rival = self._rival(task, at, before, through[index]) if through is not None else None
            steps.append(Plucking(task.holds[at].fingers, self._terms(task, task.holds[at], before), rival))
            before = task.holds[at]
        return FingerWay(tuple(steps), min(forward[-1]))

    def _moves(self, old: Sequence[Hold], task: Task) -> AllMoves:
        key = (tuple(old), task.holds, task.moment.seconds, task.figure.in_run)
        known = self._tables.get(key)
        if known is None:
            known = self._tables[key] = AllMoves(
                [[_total(self.move_terms(a, b, task)) for a in old] for b in task.holds]
            )
        return known

    def _terms(self, task: Task, hold: Hold, before: Hold | None) -> Terms:
        moved = self.move_terms(before, hold, task) if before is not None else ()
        return tuple((name, value) for name, value in (*self.own_terms(hold, task), *moved) if value)

    def _rival(self, task: Task, at: int, before: Hold | None, totals: Sequence[float]) -> Rival | None:
        holds = task.holds
        others = [n for n, hold in enumerate(holds) if hold.fingers != holds[at].fingers]
        if not others:
            return None
        best = min(others, key=lambda n: totals[n])
        chosen = Counter(dict(self._terms(task, holds[at], before)))
        other = dict(self._terms(task, holds[best], before))
        name = max(other, key=lambda term: other[term] - chosen[term], default="")
        mostly = name if name and other[name] > chosen[name] else ""
        return Rival(holds[best].fingers, totals[best] - totals[at], mostly)


def _total(terms: Terms) -> float:
    return sum(value for _, value in terms)


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
