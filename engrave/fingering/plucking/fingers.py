"""Which finger plucks which string: every way for each moment, and what it costs after the moment before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import inf
from typing import NamedTuple

from engrave.fingering.plucking.figures import Figure
from engrave.fingering.plucking.right_hand import RANK, RightHand
from engrave.fingering.plucking.struck import Plucked, Struck
from engrave.score.techniques import RightFinger

THUMB = RightFinger.THUMB
Terms = tuple[tuple[str, float], ...]
"""What a way costs, by the name of each cost."""


class Above(NamedTuple):
    """The fingers beside the thumb at their last stroke, with their strings, and the place of the hand.

    The place is the string under the index finger when i, m and a lie over three neighbours; a chord may leave it
    between `low` and `high`.
    """

    fingers: tuple[RightFinger, ...]
    strings: tuple[int, ...]
    low: int
    high: int


class Hold(NamedTuple):
    """One way to pluck a moment: a finger for each string, the thickest first (None where none can be named).

    `above` are its fingers beside the thumb; after one stroke of the thumb alone those of the stroke before, for the hand
    still lies there; else nothing.
    """

    fingers: tuple[RightFinger | None, ...]
    strings: tuple[int, ...]
    above: Above | None = None
    is_carried: bool = False
    """`above` is that of the moment before."""

    @property
    def thumbs(self) -> tuple[int, ...]:
        """The strings of the thumb."""
        return tuple(s for s, finger in zip(self.strings, self.fingers, strict=True) if finger is THUMB)


def find_holds(struck: Struck, before: Sequence[Hold], allowed: Sequence[RightFinger]) -> tuple[Hold, ...]:
    """Every way to pluck a moment after the ways `before`, by fingers that are `allowed` where they are enough."""
    holds: dict[Hold, None] = {}
    for fingers in _assignments(struck.notes, allowed):
        above = _above(fingers, struck.strings)
        if above is not None or THUMB not in fingers:
            holds[Hold(fingers, struck.strings, above)] = None
            continue
        carried = {hold.above for hold in before if not hold.is_carried}
        for kept in sorted(carried, key=repr) or [None]:
            holds[Hold(fingers, struck.strings, kept, kept is not None)] = None
        if any(hold.is_carried for hold in before):
            holds[Hold(fingers, struck.strings)] = None
    return tuple(holds)


def _above(fingers: Sequence[RightFinger | None], strings: Sequence[int]) -> Above | None:
    upper = [(f, s) for f, s in zip(fingers, strings, strict=True) if f is not None and f is not THUMB]
    if not upper:
        return None
    places = [string + RANK[finger] - 1 for finger, string in upper]
    return Above(tuple(f for f, _ in upper), tuple(s for _, s in upper), min(places), max(places))


def _assignments(
    notes: Sequence[Plucked], allowed: Sequence[RightFinger]
) -> Sequence[tuple[RightFinger | None, ...]]:
    """Fingers in the order of the strings, the thumb on any number of the thickest; what the author wrote stays.

    Where more strings are struck than the allowed fingers can, all fingers may. Where what is written is out of
    order, the others are left open.
    """
    for fingers in (tuple(allowed), tuple(RightFinger)):
        found = [row for row in _in_order(len(notes), fingers) if _is_as_written(row, notes)]
        if found:
            return found
    return [tuple(note.finger for note in notes)]


def _in_order(count: int, fingers: Sequence[RightFinger]) -> Iterator[tuple[RightFinger, ...]]:
    upper = [finger for finger in fingers if finger is not THUMB]
    for others in range(min(count, len(upper)) + 1):
        if others < count and THUMB not in fingers:
            continue
        for chosen in combinations(upper, others):
            yield (THUMB,) * (count - others) + chosen


def _is_as_written(row: Sequence[RightFinger], notes: Sequence[Plucked]) -> bool:
    return all(note.finger in (None, finger) for finger, note in zip(row, notes, strict=True))


def hold_terms(hold: Hold, struck: Struck, figure: Figure, hand: RightHand, border: int) -> Terms:
    """What a way costs by itself; `border` is the thickest string of the fingers."""
    homes, chords = hand.homes, hand.chords
    fingers = own = voices = 0.0
    two_voices = any(note.is_lower for note in struck.notes) and not all(n.is_lower for n in struck.notes)
    for note, finger in zip(struck.notes, hold.fingers, strict=True):
        if finger is None:
            continue
        fingers += hand.finger.of(finger)
        outside = border - note.string + 1 if finger is THUMB else note.string - border
        if outside > 0:
            first = homes.thumb_inside if finger is THUMB else homes.finger_outside
            own += first + homes.further * (outside - 1)
        if note.is_lower and finger is not THUMB:
            voices += homes.lower_voice
        elif two_voices and not note.is_lower and finger is THUMB:
            voices += homes.upper_voice
    thumbs = hold.thumbs
    swept = chords.thumb_string * max(0, len(thumbs) - 1)
    if thumbs:
        swept += chords.thumb_gap * (thumbs[0] - thumbs[-1] + 1 - len(thumbs))
    above = hold.above if not hold.is_carried else None
    spread = hand.place.spread * (above.high - above.low) if above is not None else 0.0
    return (
        ("fingers", fingers),
        ("strings", own),
        ("voices", voices),
        ("thumb across strings", swept),
        ("spread", spread),
        *_figure_terms(hold, figure, hand),
    )


def _figure_terms(hold: Hold, figure: Figure, hand: RightHand) -> Terms:
    """What fingers cost that leave the figure which the moment is part of."""
    upper = hold.above if not hold.is_carried else None
    astray = 0
    if upper is not None and figure.index_string:
        pairs = zip(upper.fingers, upper.strings, strict=True)
        astray = sum(string != figure.own_string(finger) for finger, string in pairs)
    tremolo = figure.tremolo is not None and hold.fingers != (figure.tremolo,)
    return ("arpeggio", hand.figures.arpeggio * astray), ("tremolo", hand.figures.tremolo * tremolo)


def move_terms(old: Hold, new: Hold, seconds: float, hand: RightHand, in_run: bool = False) -> Terms:
    """What it costs to pluck `new` so many seconds after `old`; endless where the two do not fit together.

    `in_run`: it is a note of a run with several notes on a string.
    """
    if new.is_carried and (old.is_carried or new.above != old.above):
        return (("no way", inf),)
    if new.above is None and THUMB in new.fingers and old.above is not None and not old.is_carried:
        return (("no way", inf),)
    haste = hand.repeat.haste(seconds)
    return (
        ("finger twice running", _repeat(old, new, hand, in_run) * haste),
        ("hand moved", _shift(old, new, hand, in_run)),
        ("fingers crossed", _crossed(old, new, hand)),
    )


def _repeat(old: Hold, new: Hold, hand: RightHand, in_run: bool) -> float:
    """What fingers cost that pluck twice running; a chord after a chord takes the same ones as a matter of course."""
    repeat = hand.repeat
    cost = 0.0
    before, after = old.thumbs, new.thumbs
    if before and after and not (len(old.fingers) > 1 and len(new.fingers) > 1):
        on = repeat.thumb_on if before[-1] - after[0] == 1 else repeat.thumb
        cost += repeat.thumb_in_run if in_run else on
    if old.above is None or new.above is None or new.is_carried:
        return cost
    shared = set(old.above.fingers) & set(new.above.fingers)
    if not shared or (len(old.above.fingers) > 1 and len(new.above.fingers) > 1):
        return cost
    return cost + len(shared) * (repeat.over_thumb if old.is_carried else repeat.finger)


def _shift(old: Hold, new: Hold, hand: RightHand, in_run: bool) -> float:
    if old.above is None or new.above is None or new.is_carried:
        return 0.0
    away = max(new.above.low - old.above.high, old.above.low - new.above.high, 0)
    slack = hand.place.slack_in_run if in_run else hand.place.slack
    return hand.place.shift * max(0, away - slack)


def _crossed(old: Hold, new: Hold, hand: RightHand) -> float:
    """A finger after another, where the one nearer the thumb plays the thinner string."""
    if len(old.fingers) > 1 and len(new.fingers) > 1:
        return 0.0
    cost = 0.0
    for first, low in zip(old.fingers, old.strings, strict=True):
        for second, high in zip(new.fingers, new.strings, strict=True):
            if first is None or second is None or first is second:
                continue
            near, far = (low, high) if RANK[first] < RANK[second] else (high, low)
            if THUMB in (first, second):
                cost += hand.place.thumb_close if near <= far else 0.0
            elif near < far:
                cost += hand.place.crossed
    return cost
