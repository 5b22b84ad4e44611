"""The shapes of a chord in any tuning, the best first: frets, fingers, barres, and what each costs and why.

Every shape is considered (`shape_search.py`); one that cannot be cheaper than what is found already is not looked at further.
"""

from __future__ import annotations

from bisect import insort
from functools import lru_cache
from typing import NamedTuple

from engrave.fingering.cost import GRIP_TERMS, Asked, grip_cost
from engrave.fingering.grips import Grip, NoteChoice, find_grips
from engrave.fingering.hand import Hand, load_hand
from engrave.fingering.neck import Neck, build_neck
from engrave.fingering.shape_search import (
    Frets,
    Instrumental,
    WindowCost,
    can_be_damped,
    can_be_spanned,
    count_fingers,
    finger_frets,
    inner_mutes,
    search_frets,
    strings_of,
)
from engrave.fingering.shape_sound import (
    colours,
    foreign_bass,
    is_diminished,
    narrowness,
    times_doubled,
    unisons,
)
from engrave.theory.chord_name import ChordName
from engrave.theory.chord_shape import ChordShape
from engrave.theory.chord_tones import ChordTones, chord_tones
from engrave.theory.instrument import Instrument

_USUAL_MOST = 6
_USUAL_HIGHEST = 15
"""Shapes beyond are not looked for unless asked (house rule)."""
_MOST_STRINGS_WITHOUT_BASS = 4
"""On so few strings any tone may be the lowest, though the root is better (house rule)."""

_LONG_BARRE = 2
"""From so many strings away from where it starts a finger lies long: two strings are a small barre (common practice, no source)."""
_FINGERS_BELOW = 3
"""So many fingers lie below the fourth (fact)."""

SHAPE_TERMS = (
    "away from the nut",
    "muted inside",
    "left silent",
    "left out",
    "inversion",
    "unison",
    "narrow bass",
    "bass doubled",
    "colour doubled",
    "spread",
    "fuller shape",
)
"""What a shape costs beside its grip."""


class ShapeLimits(NamedTuple):
    """What is asked for: how many shapes, up to which fret, other tones in the bass, the root left to another player."""

    most: int = _USUAL_MOST
    highest: int = _USUAL_HIGHEST
    inversions: bool = False
    rootless: bool = False


USUAL_LIMITS = ShapeLimits()
"""What is asked for when nothing is said."""


class RankedShape(NamedTuple):
    """One shape. `left_out` are pitch classes (C = 0); `reach` in millimetres; `terms` are named costs, none of them 0."""

    shape: ChordShape
    grip: Grip
    cost: float
    terms: tuple[tuple[str, float], ...]
    left_out: frozenset[int]
    is_inverted: bool

    @property
    def reach(self) -> float:
        """Millimetres along the neck between the outer stopped frets."""
        return self.grip.reach


def find_shapes(
    name: ChordName, neck: Neck, hand: Hand, limits: ShapeLimits = USUAL_LIMITS
) -> list[RankedShape]:
    """The best shapes of `name`, the cheapest first; none when the hand cannot play it.

    Raises ValueError for "no chord", which has no shape.
    """
    return _Search(name, neck, hand, limits).run()


def allows_inversions(neck: Neck) -> bool:
    """True where any tone may be lowest without being asked: few strings, or strings not in the order of their pitches."""
    return len(neck.open_midi) <= _MOST_STRINGS_WITHOUT_BASS or is_reentrant(neck)


def is_reentrant(neck: Neck) -> bool:
    """True where strings are not in the order of their pitches: no tone is heard as the bass (common practice, no source)."""
    return list(neck.open_midi) != sorted(neck.open_midi, reverse=True)


def is_small(frets: Frets, strings: int) -> bool:
    """True when only the thinnest strings sound, all of them, and no more than `strings`."""
    sounding = [index for index, fret in enumerate(frets) if fret is not None]
    return len(sounding) <= strings and sounding == list(range(len(frets) - len(sounding), len(frets)))


def is_simple(ranked: RankedShape, hand: Hand) -> bool:
    """True for a form that a beginner can be given: open or on few strings, low on the neck, and without a long barre."""
    shape = ranked.shape
    low = max(shape.stopped, default=0) <= hand.shapes.simple_fret
    short = all(barre.highest - barre.lowest < _LONG_BARRE for barre in shape.barres)
    return low and short and (0 in shape.frets or is_small(shape.frets, hand.shapes.small_strings))


class _Search:
    """The best shapes found so far."""

    def __init__(self, name: ChordName, neck: Neck, hand: Hand, limits: ShapeLimits) -> None:
        self._finger_costs = sorted(hand.fingers.stopping[1:])
        self._neck = neck
        self._hand = hand = hand._replace(strings=hand.strings._replace(open_far=hand.shapes.open_far))
        self._limits = limits
        self._strings: Instrumental = strings_of(neck)
        tones = chord_tones(name, limits.rootless)
        free = limits.inversions or allows_inversions(neck)
        self._small = 0 if free or name.bass is not None else hand.shapes.small_strings
        if self._small or (name.bass is None and free):
            tones = tones._replace(bass=None)
        self._tones: ChordTones = tones
        self._enough = len(tones.all) + 1
        self._colours = colours(tones)
        self._is_power = len(tones.all) == 2
        self._spare = max(0, len(neck.open_midi) - hand.shapes.strings_a_tone * len(tones.all))
        if is_diminished(tones):
            self._spare = len(neck.open_midi) - len(tones.all)
        self._is_ordered = not is_reentrant(neck)
        self._has_bass = not allows_inversions(neck)
        self._foreign_bass = foreign_bass(name)
        self._low = min(neck.open_midi) + hand.shapes.low_bass
        self._root = None if is_reentrant(neck) or name.bass is not None else tones.root
        self._found: list[tuple[float, int, int, RankedShape]] = []

    def run(self) -> list[RankedShape]:
        """All windows, then the best."""
        highest = self._limits.highest
        for number, frets in enumerate(
            search_frets(self._tones, self._neck, self._hand, highest, self._window_cost, self._limit)
        ):
            ranked = self._rank(frets)
            if ranked is not None and ranked.cost < self._limit():
                fullness = -len(ranked.grip.spots)
                insort(self._found, (round(ranked.cost, 6), fullness, number, ranked))
                del self._found[self._limits.most :]
        return [item[-1] for item in self._found]

    def _limit(self) -> float:
        return self._found[-1][0] if len(self._found) >= self._limits.most else float("inf")

    def _window_cost(self, low: int) -> WindowCost:
        """What every shape costs at least whose lowest stopped fret is `low`."""
        costs, hand, neck = self._hand.shapes, self._hand, self._neck
        below = _FINGERS_BELOW * neck.width + neck.width - 1 + hand.reach.side
        away = neck.reach(0, max(1, low - below)) if low else 0.0
        return WindowCost(
            window=costs.position_per_mm * neck.reach(0, low),
            fingers=tuple(sum(self._finger_costs[:count]) for count in range(len(self._finger_costs) + 1)),
            stretch=tuple(
                hand.reach.stretch(neck.reach(low, max(low, fret))) for fret in range(neck.frets + 1)
            ),
            open_string=hand.strings.open + hand.strings.open_far * away,
            inner_mute=costs.inner_mute,
            silent_low=min(costs.silent_low, costs.small) if self._small else costs.silent_low,
            spare=self._spare,
            inner_mutes_most=costs.inner_mutes_most,
        )

    def _rank(self, frets: Frets) -> RankedShape | None:
        """The shape with its best fingers, None when no hand can hold it or it cannot be good enough."""
        small = self._small and is_small(frets, self._small)
        if self._small and not small and self._is_inverted(frets):
            return None
        held = self._hold(frets, self._limit())
        if held is None:
            return None
        grip, costs = held
        fuller = (
            self._hand.shapes.fuller
            if not (small or self._is_power) and self._has_fuller(frets, sum(costs))
            else 0.0
        )
        terms = tuple(
            (term, cost) for term, cost in zip((*GRIP_TERMS, *SHAPE_TERMS), (*costs, fuller)) if cost
        )
        return RankedShape(
            ChordShape(frets, _fingers(frets, grip)),
            grip,
            sum(cost for _, cost in terms),
            terms,
            self._tones.left_out(self._sounding(frets)),
            self._is_inverted(frets),
        )

    def _hold(self, frets: Frets, limit: float) -> tuple[Grip, tuple[float, ...]] | None:
        """The best fingers for `frets`, and all costs but the last of `SHAPE_TERMS`; None when they reach `limit`."""
        own = self._own_costs(frets)
        standing = finger_frets(frets)
        if len(standing) > len(self._finger_costs) or not can_be_spanned(standing, self._neck, self._hand):
            return None
        if sum(own) + self._least_grip(frets, standing) >= limit:
            return None
        held = self._best_grip(frets)
        if held is None or sum(held[1]) + sum(own) >= limit:
            return None
        return held[0], (*held[1], *own)

    def _least_grip(self, frets: Frets, standing: list[int]) -> float:
        """What every grip of `frets` costs at least: stretch, fingers and barres of the fewest fingers."""
        hand = self._hand
        least = min(0.0, hand.strings.open) * sum(1 for fret in frets if fret == 0)
        if standing:
            least += hand.reach.stretch(self._neck.reach(standing[0], standing[-1]))
            least += sum(self._finger_costs[: len(standing)])
            stopped = sum(1 for fret in frets if fret)
            if len(standing) < stopped:
                barre = hand.barre.each + hand.barre.per_string * 2
                single = sum(self._finger_costs[len(standing) : stopped])
                least += min(barre, single) if stopped <= len(self._finger_costs) else barre
        return least

    def _own_costs(self, frets: Frets) -> tuple[float, ...]:
        """In the order of `SHAPE_TERMS`, without the last."""
        costs = self._hand.shapes
        stopped = [fret for fret in frets if fret] or [0]
        pitches = self._pitches(frets)
        small = self._small and is_small(frets, self._small)
        sounding = [index for index, fret in enumerate(frets) if fret is not None]
        return (
            costs.position_per_mm * self._neck.reach(0, min(stopped)),
            costs.inner_mute * inner_mutes(frets),
            costs.small * sounding[0]
            if small
            else self._cost_of_silence(sounding[0], len(frets) - 1 - sounding[-1], len(sounding)),
            self._cost_of_left_out(frets),
            self._cost_of_inversion(frets, bool(small)),
            costs.unison * unisons(pitches) if self._is_ordered else 0.0,
            costs.narrow_bass * narrowness(pitches, self._low) if self._has_bass else 0.0,
            costs.bass_doubled * times_doubled(pitches, self._foreign_bass),
            costs.colour_doubled * times_doubled(pitches, self._colours) if self._has_bass else 0.0,
            costs.span * (max(stopped) - min(stopped)),
        )

    def _cost_of_inversion(self, frets: Frets, small: bool) -> float:
        if not self._has_bass or not self._is_inverted(frets):
            return 0.0
        costs = self._hand.shapes
        return costs.small_inversion if small else costs.inversion

    def _cost_of_silence(self, below: int, above: int, sounding: int) -> float:
        """Of strings left silent at the edges. As many as a chord of few tones does not need are free, the dearer first."""
        costs, free = self._hand.shapes, self._spare
        if self._is_power:
            return costs.silent_low * below + costs.thin * max(0, self._enough - sounding)
        (dear, many), (cheap, few) = sorted(
            ((costs.silent_low, below), (costs.silent_high, above)), reverse=True
        )
        paid = dear * max(0, many - free) + cheap * max(0, few - max(0, free - many))
        return paid + costs.thin * max(0, min(costs.full_strings, self._enough) - sounding)

    def _cost_of_left_out(self, frets: Frets) -> float:
        costs, tones = self._hand.shapes, self._tones
        each = {tones.fifth: costs.left_out_fifth, tones.root: costs.left_out_root}
        return sum(each.get(tone, costs.left_out_other) for tone in tones.left_out(self._sounding(frets)))

    def _is_inverted(self, frets: Frets) -> bool:
        return self._root is not None and self._lowest(frets) % 12 != self._root

    def _lowest(self, frets: Frets) -> int:
        return min(self._pitches(frets))

    def _pitches(self, frets: Frets) -> list[int]:
        return [midi + fret for midi, fret in zip(self._strings.open_midi, frets) if fret is not None]

    def _sounding(self, frets: Frets) -> frozenset[int]:
        return frozenset(pitch % 12 for pitch in self._pitches(frets))

    def _has_fuller(self, frets: Frets, cost: float) -> bool:
        """True when one string more could sound over the same bass, for less or with no finger more."""
        stopped = [fret for fret in frets if fret]
        fingers, mutes = count_fingers(frets), inner_mutes(frets)
        bass = self._lowest(frets)
        places = [0, *(range(min(stopped), max(stopped) + 1) if stopped else ())]
        for index in [index for index, fret in enumerate(frets) if fret is None]:
            for place in places if self._strings.stoppable[index] else [0]:
                midi = self._strings.open_midi[index] + place
                if midi % 12 not in self._tones.all or (midi < bass and midi % 12 != bass % 12):
                    continue
                fuller = (*frets[:index], place, *frets[index + 1 :])
                if not can_be_damped(fuller):
                    continue
                is_free = count_fingers(fuller) <= fingers and inner_mutes(fuller) <= mutes
                if is_free or self._hold(fuller, cost) is not None:
                    return True
        return False

    def _best_grip(self, frets: Frets) -> tuple[Grip, tuple[float, ...]] | None:
        """The cheapest fingers, with the terms of their cost."""
        count = len(frets)
        notes = [NoteChoice(((count - index, fret),)) for index, fret in enumerate(frets) if fret is not None]
        asked = Asked((True,) * len(notes), (False,) * len(notes))
        grips = [
            grip for grip in find_grips(notes, self._neck, self._hand) if not _crosses_silence(grip, frets)
        ]
        held = [(grip, grip_cost(grip, asked, self._neck, self._hand)) for grip in grips]
        return min(held, key=lambda pair: (sum(pair[1]), pair[0]), default=None)


def _crosses_silence(grip: Grip, frets: Frets) -> bool:
    """True when a finger lies over a string that must not sound."""
    for finger, _ in grip.barres:
        strings = [spot.string for spot in grip.spots if spot.finger == finger]
        if any(frets[len(frets) - string] is None for string in range(min(strings), max(strings))):
            return True
    return False


def _fingers(frets: Frets, grip: Grip) -> tuple[str, ...]:
    """A finger for every string, the thickest first; "" for none."""
    by_string = {spot.string: str(spot.finger) for spot in grip.spots if spot.finger}
    return tuple(by_string.get(len(frets) - index, "") for index in range(len(frets)))


_HAND = "intermediate"
"""Shapes are chosen for this hand (house rule)."""


@lru_cache(maxsize=1024)
def find_best_shape(name: ChordName, instrument: Instrument) -> ChordShape | None:
    """The best shape of `name` on `instrument`, counted from its capo; None when there is none."""
    hand = load_hand(_HAND)
    found = find_shapes(name, build_neck(instrument, hand), hand, ShapeLimits(most=1))
    return found[0].shape if found else None
