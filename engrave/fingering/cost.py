"""What a grip costs, and what it costs to go from one to the next, term by term, in millimetres of hand travel.

A cost is a plain tuple in the order of `TERMS`; what the terms mean stands with their numbers in `styles/hands/`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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
    "string out of order",
)
"""The terms of one grip."""
MOVE_TERMS = (
    "shift",
    "string crossing",
    "finger jump",
    "kept fingers",
    "fingers changed",
    "strings changed",
    "legato broken",
    "note let go",
)
"""The terms of going from one grip to the next."""

_CROWD = 3
"""So many fingers at one fret are crowded (fact: fingers are wider than a fret is long up the neck)."""

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
        + hand.barre.by_finger[finger]
        + (hand.barre.arch if _arches(grip, finger) else 0.0)
        for finger, count in grip.barres
    )
    barre += hand.barre.same_fret * _side_by_side(grip)
    away = neck.reach(0, min(grip.position, neck.frets))
    opened = sum(1 for spot, struck in zip(grip.spots, asked.struck) if struck and not spot.fret)
    each = hand.strings.open + hand.strings.open_far * away
    each += hand.strings.open_avoided if avoid_open else 0.0
    return (
        0.0 if grip.is_open else hand.position.cost(away),
        stretch,
        hand.shift.stretching(len(grip.spots)) * grip.outside + hand.shift.crowded * grip.crowded,
        fingers,
        bend,
        each * opened,
        barre,
        hand.strings.changed
        * sum(1 for spot, home in zip(grip.spots, asked.home) if home not in (0, spot.string)),
        hand.strings.out_of_order
        if len(grip.spots) == 1 and asked.struck[0] and grip.spots[0].string in neck.out_of_order
        else 0.0,
    )


def _side_by_side(grip: Grip) -> int:
    """How many fingers stand at one fret, string by string, where one could lie: beyond two, or beside one that lies."""
    if len(grip.spots) < _CROWD:
        return 0
    crowd, lying = 0, {finger for finger, _ in grip.barres}
    rows: dict[int, list[Spot]] = {}
    for spot in sorted(grip.spots):
        if spot.finger:
            rows.setdefault(spot.fret, []).append(spot)
    for row in rows.values():
        for start, stop in _runs(row):
            fingers = {spot.finger for spot in row[start:stop]}
            crowd += len(fingers) - 1 if fingers & lying else max(0, len(fingers) - _CROWD + 1)
    return crowd


def _runs(row: Sequence[Spot]) -> Iterator[tuple[int, int]]:
    """Where spots lie on neighbouring strings, as ranges."""
    start = 0
    for stop in range(1, len(row) + 1):
        if stop == len(row) or row[stop].string != row[stop - 1].string + 1:
            yield start, stop
            start = stop


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
    far, shift = hand.strings.open_far, hand.shift
    positions = list(map(hand.position.cost, away))
    odd, out_of_order = neck.out_of_order if struck else frozenset(), hand.strings.out_of_order
    costs = []
    for position, ((string, _, finger),), _, outside, crowded, _ in grips:
        at = min(position, last)
        if finger:
            costs.append(
                positions[at] + stopping[finger] + shift.extension * outside + shift.crowded * crowded
            )
        else:
            costs.append((opened + far * away[at] if struck else 0.0) + stopping[0])
        if string in odd:
            costs[-1] += out_of_order
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
        hand.fingers.change * _changed(before, now),
        _other_strings(before, now, asked, neck, hand),
        hand.broken.legato * legato,
        hand.broken.held * let_go,
    )


def least_beside_shift(hand: Hand, seconds: float) -> float:
    """The least that the terms of a move beside its shift can be together: negative where something is rewarded."""
    fingers, strings, broken = hand.fingers, hand.strings, hand.broken
    for_each_finger = min(0.0, fingers.keep, fingers.jumping(seconds))
    for_each_string = sum(
        min(0.0, each) for each in (strings.crossing, fingers.change, broken.legato, broken.held)
    )
    return FINGERS * for_each_finger + _MOST_STRINGS * for_each_string + min(0.0, strings.parallel)


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


def _changed(before: Grip, now: Grip) -> int:
    """How many stopped places are stopped by another finger than before."""
    fingers = {(string, fret): finger for string, fret, finger in before.spots if finger}
    return sum(
        1 for string, fret, finger in now.spots if finger and fingers.get((string, fret), finger) != finger
    )


def _other_strings(before: Grip, now: Grip, asked: tuple[Asked, Asked], neck: Neck, hand: Hand) -> float:
    """What it costs when notes that move together (thirds, sixths, power chords) leave their strings.

    It is half of it for the same shape on other strings or with other fingers.
    """
    old = [spot for spot, struck in zip(before.spots, asked[0].struck) if struck]
    new = [spot for spot, struck in zip(now.spots, asked[1].struck) if struck]
    if len(old) != len(new) or len(new) < 2:
        return 0.0
    stays = {spot.string for spot in old} == {spot.string for spot in new}
    alike = _shape(old) == _shape(new)
    if stays and (not alike or _fingers_by_string(old) == _fingers_by_string(new)):
        return 0.0
    if not _are_parallel(old, new, neck):
        return 0.0
    cost = hand.strings.parallel
    return cost / 2 if alike else cost


def _fingers_by_string(spots: Sequence[Spot]) -> list[tuple[int, int]]:
    return sorted((string, finger) for string, fret, finger in spots if fret)


def _are_parallel(old: Sequence[Spot], new: Sequence[Spot], neck: Neck) -> bool:
    """True when the same intervals, to a semitone, sound a step or more away: as thirds of a scale do."""
    first, second = (
        sorted(neck.open_midi[spot.string - 1] + spot.fret for spot in spots) for spots in (old, new)
    )
    steps = [late - early for early, late in zip(first, second)]
    return max(steps) - min(steps) <= 1 and any(steps)


def _shape(spots: Sequence[Spot]) -> list[tuple[int, int]]:
    """Strings and frets, counted from the thickest string's."""
    ordered = sorted(spots, reverse=True)
    return [(ordered[0].string - spot.string, spot.fret - ordered[0].fret) for spot in ordered]


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
    if before.is_open:
        return cost * shift.while_open
    slides = _slides(before, now)
    if not slides:
        return cost
    way = max(way, *(neck.reach(old, new) for old, new in slides))
    return shift.guided * (way * shift.per_mm * (1 + shift.hurry / seconds) + shift.each)


def _slides(before: Grip, now: Grip) -> list[tuple[int, int]]:
    """From where to where the frets go, where several fingers all stay on their strings; else none."""
    old = {(string, finger): fret for string, fret, finger in before.spots if finger}
    kept = [(old[string, finger], fret) for string, fret, finger in now.spots if (string, finger) in old]
    return kept if len(now.spots) == len(kept) > 1 else []


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
