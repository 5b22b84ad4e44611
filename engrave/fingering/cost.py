"""What a grip costs, and what it costs to go from one to the next, term by term, in millimetres of hand travel.

A cost is a plain tuple in the order of `TERMS`; what the terms mean stands with their numbers in `styles/hands/`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.fingering.grips import FINGERS, Grip, Spot
from engrave.fingering.hand import Hand
from engrave.fingering.neck import Neck

GRIP_TERMS = (
    "position",
    "stretch",
    "extension",
    "fingers",
    "bend",
    "open strings",
    "barre",
    "string changed",
)
"""The terms of one grip."""
MOVE_TERMS = ("shift", "string crossing", "finger jump", "kept fingers", "legato broken", "note let go")
"""The terms of going from one grip to the next."""

_MOST_STRINGS = 8
"""Of the instruments that there are (fact)."""


class Link(NamedTuple):
    """How wants of one moment hang on wants of the moment before, by index."""

    held: tuple[tuple[int, int], ...] = ()
    joined: tuple[tuple[int, int, bool], ...] = ()
    """(before, now, by a slide)."""


class Asked(NamedTuple):
    """What the costs of a moment depend on beside its grip, want by want."""

    struck: tuple[bool, ...]
    bends: tuple[bool, ...]
    home: tuple[int, ...] = ()
    """The strings that notes should keep, 0 for any; empty where none matters."""


def grip_cost(
    grip: Grip, asked: Asked, neck: Neck, hand: Hand, avoid_open: bool = False
) -> tuple[float, ...]:
    """The cost of holding `grip`, in the order of `GRIP_TERMS`."""
    reach = hand.reach
    stretch = max(0.0, grip.reach - reach.relaxed) * reach.per_mm
    stretch += max(0.0, grip.reach - reach.comfortable) * reach.per_mm_far
    stopping, bending = hand.fingers.stopping, hand.fingers.bending
    fingers = sum(stopping[finger] for finger in {spot.finger for spot in grip.spots})
    bend = sum(bending[spot.finger] for spot, bends in zip(grip.spots, asked.bends) if bends)
    barre = sum(
        hand.barre.each
        + hand.barre.per_string * count
        + (hand.barre.other_finger if finger != 1 else 0.0)
        + (hand.barre.arch if _arches(grip, finger) else 0.0)
        for finger, count in grip.barres
    )
    away = neck.reach(0, min(grip.position, neck.frets))
    opened = sum(1 for spot, struck in zip(grip.spots, asked.struck) if struck and not spot.fret)
    each = hand.strings.open + hand.strings.open_far * away
    each += hand.strings.open_avoided if avoid_open else 0.0
    return (
        0.0 if grip.is_open else hand.position.per_mm * away,
        stretch,
        hand.shift.extension * grip.outside + hand.shift.crowded * grip.crowded,
        fingers,
        bend,
        each * opened,
        barre,
        hand.strings.changed
        * sum(1 for spot, home in zip(grip.spots, asked.home) if home not in (0, spot.string)),
    )


def _arches(grip: Grip, finger: int) -> bool:
    """Whether a barre must bend away from a thinner string that sounds behind it."""
    fret, thinnest = min((spot.fret, spot.string) for spot in grip.spots if spot.finger == finger)
    return any(spot.string < thinnest and spot.fret < fret for spot in grip.spots)


def single_costs(
    grips: Sequence[Grip], asked: Asked, neck: Neck, hand: Hand, avoid_open: bool
) -> list[float]:
    """The same as the sum of `grip_cost` for grips of one note each, without a string to keep: melodies are mostly this."""
    away = [distance - neck.distances[0] for distance in neck.distances]
    last = len(away) - 1
    stopping, (bends,), (struck,) = hand.fingers.stopping, asked.bends, asked.struck
    if bends:
        stopping = tuple(map(sum, zip(stopping, hand.fingers.bending)))
    opened = hand.strings.open + (hand.strings.open_avoided if avoid_open else 0.0)
    far, per_mm, shift = hand.strings.open_far, hand.position.per_mm, hand.shift
    costs = []
    for position, ((_, _, finger),), _, outside, crowded, _ in grips:
        way = away[min(position, last)]
        if finger:
            costs.append(
                per_mm * way + stopping[finger] + shift.extension * outside + shift.crowded * crowded
            )
        else:
            costs.append((opened + far * way if struck else 0.0) + stopping[0])
    return costs


def move_cost(
    before: Grip, now: Grip, link: Link, asked: tuple[Asked, Asked], seconds: float, neck: Neck, hand: Hand
) -> tuple[float, ...]:
    """The cost of going from `before` to `now` in `seconds`, in the order of `MOVE_TERMS`."""
    moves = before.position != now.position and before.position and now.position
    shift = _shift(before, now, seconds, neck, hand) if moves else 0.0
    kept, jumps, news = _compare_fingers(before, now, bool(moves))
    legato = let_go = 0
    for old, new, slides in link.joined:
        legato += not _joins(before.spots[old], now.spots[new], slides)
    for old, new in link.held:
        let_go += before.spots[old] != now.spots[new]
    return (
        shift,
        hand.strings.crossing * _crossed(before, now, asked),
        hand.fingers.jumping(seconds) * jumps,
        hand.fingers.keep * kept if news else 0.0,
        hand.broken.legato * legato,
        hand.broken.held * let_go,
    )


def least_beside_shift(hand: Hand, seconds: float) -> float:
    """The least that the terms of a move beside its shift can be together: negative where something is rewarded."""
    fingers, strings, broken = hand.fingers, hand.strings, hand.broken
    for_each_finger = min(0.0, fingers.keep, fingers.jumping(seconds))
    for_each_string = min(0.0, strings.crossing) + min(0.0, broken.legato) + min(0.0, broken.held)
    return FINGERS * for_each_finger + _MOST_STRINGS * for_each_string


def _compare_fingers(before: Grip, now: Grip, moves: bool) -> tuple[int, int, bool]:
    """How many fingers stay, how many jump, and whether any string is newly stopped.

    A finger that slides along its string with the hand leads it and does not jump.
    """
    kept = jumps = 0
    news = False
    lay = _by_finger(before)
    for finger, new in _by_finger(now).items():
        old = lay.get(finger)
        if old is None:
            news = True
        elif old == new:
            kept += 1
        else:
            staying = [spot for spot in new if spot in old]
            news = news or len(staying) < len(new)
            if staying:
                kept += 1
            elif not (moves and {spot[0] for spot in old} & {spot[0] for spot in new}):
                jumps += 1
    return kept, jumps, news


def _by_finger(grip: Grip) -> dict[int, list[Spot]]:
    """What each finger stops."""
    found: dict[int, list[Spot]] = {}
    for spot in grip.spots:
        finger = spot[2]
        if finger in found:
            found[finger].append(spot)
        elif finger:
            found[finger] = [spot]
    return found


def _shift(before: Grip, now: Grip, seconds: float, neck: Neck, hand: Hand) -> float:
    shift = hand.shift
    most = neck.frets
    way = neck.reach(min(before.position, most), min(now.position, most))
    cost = way * shift.per_mm * (1 + shift.hurry / seconds) + shift.each
    return cost * shift.while_open if before.is_open else cost


def _joins(old: tuple[int, int, int], new: tuple[int, int, int], slides: bool) -> bool:
    """True when one string carries both notes, and the fingers allow it: one for a slide, two for a hammer-on."""
    if old[0] != new[0]:
        return False
    if not old[1] or not new[1]:
        return True
    return (old[2] == new[2]) == slides


def _crossed(before: Grip, now: Grip, asked: tuple[Asked, Asked]) -> int:
    """How many strings lie between what was struck and what is struck next."""
    least = _MOST_STRINGS
    olds = [spot[0] for spot, struck in zip(before.spots, asked[0].struck) if struck]
    if not olds:
        return 0
    for (string, _, _), struck in zip(now.spots, asked[1].struck):
        if struck:
            for old in olds:
                apart = old - string if old > string else string - old
                if apart < least:
                    least = apart
    return least if least < _MOST_STRINGS else 0
