"""How long each measure is: pickups, halves of a measure, measures longer than their time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from engrave.exchange.musicxml.reading.losses import FILLED_UP, LossLog
from engrave.exchange.musicxml.reading.music import ZERO, Shared
from engrave.exchange.musicxml.reading.setup import time_for
from engrave.theory.metre import Metre, parse_metre

_USUAL_TIME = "4/4"


@dataclass(slots=True)
class Plan:
    """One measure: its time, its real length in whole notes, and whether it is a pickup.

    `short`: it ends a section that began with a pickup and needs no rests to fill it up.
    """

    time: str
    metre: Metre
    length: Fraction
    pickup: bool = False
    short: bool = False
    number: int | None = None

    @property
    def offset(self) -> Fraction:
        """How far into its time the measure starts."""
        return self.metre.length - self.length if self.pickup else ZERO

    @property
    def is_full(self) -> bool:
        """True when the measure is as long as its time."""
        return self.length == self.metre.length


def plan_measures(
    row: Sequence[Shared], lengths: Sequence[Fraction], rests: Sequence[Fraction], losses: LossLog
) -> list[Plan]:
    """The plan of each measure; `lengths` is how long the music of each lasts, 0 for silence, and `rests` how long silence.

    Rests may make a measure shorter than its time, but never longer.
    """
    plans = _times(row, lengths, losses)
    lengths = [
        length or (rest if rest < plan.metre.length else ZERO)
        for plan, length, rest in zip(plans, lengths, rests, strict=True)
    ]
    pickup = ZERO
    count = 1
    half = False
    for index, (shared, plan, length) in enumerate(zip(row, plans, lengths, strict=True)):
        losses.at("", shared.number)
        whole = plan.metre.length
        if ZERO < length < whole:
            last = index == len(row) - 1
            ends = last or bool(shared.ends)
            halves = not last and length + lengths[index + 1] == whole == plans[index + 1].metre.length
            after_section = index > 0 and plans[index - 1].short and not ends
            if (
                half
                or index == 0
                or after_section
                or (shared.implicit and not (ends and pickup and length == whole - pickup))
            ):
                plan.pickup, half = True, False
            elif ends and pickup and length == whole - pickup:
                plan.short = True
            elif halves and shared.rests == 1 and row[index + 1].rests == 1:
                plan.pickup, half = True, True
                plan.number = count
            else:
                losses.add(FILLED_UP)
            if plan.pickup:
                pickup = length
            if plan.pickup or plan.short:
                plan.length = length
        else:
            half = False
        counts = not plan.pickup or plan.number is not None
        count += shared.rests if counts else 0
    return plans


def _times(row: Sequence[Shared], lengths: Sequence[Fraction], losses: LossLog) -> list[Plan]:
    """The time of each measure, wider where its music needs it."""
    plans = []
    current, free = _USUAL_TIME, False
    for shared, length in zip(row, lengths, strict=True):
        if shared.time:
            current, free = shared.time, False
        elif shared.free:
            free = True
        time = current
        if free and length:
            time = time_for(length)
        elif length > parse_metre(current).length:
            losses.at("", shared.number)
            losses.add("measure longer than its time")
            time = time_for(length)
        metre = parse_metre(time)
        plans.append(Plan(time, metre, metre.length))
    return plans
