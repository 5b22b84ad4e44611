"""Which systems share a page, and how the white between them is shared out."""

from __future__ import annotations

from collections.abc import Callable, Sequence, Set
from dataclasses import dataclass

from engrave.breaking.total_fit import break_optimally

_TORN = 1e6
"""Cost of a page break between two things that belong together."""


@dataclass(frozen=True, slots=True)
class PageCosts:
    """Weights of the page search, without unit. A page may be filled up to 1; `ragged_fill` is a share of its height."""

    fill_weight: float
    lone_system: float
    ragged_fill: float


@dataclass(frozen=True, slots=True)
class SystemBox:
    """One system's height and the least and ideal gap above it, all in one unit."""

    height: float
    least_gap: float
    ideal_gap: float
    keeps_next: bool = False
    """True where a page break after it is a last resort."""


@dataclass(frozen=True, slots=True)
class FilledPage:
    """Systems `first` to `stop` - 1, and the gap above each (the first has none)."""

    first: int
    stop: int
    gaps: tuple[float, ...]


def fill_pages(
    systems: Sequence[SystemBox],
    first_height: float,
    other_height: float,
    most_gap: float,
    forced: Set[int],
    costs: PageCosts,
) -> list[FilledPage]:
    """Cut the systems into pages and share out the white. A system too tall for any page stands alone on one."""
    if not systems:
        return []
    count = len(systems)

    def least(first: int, stop: int) -> float:
        return sum(s.height for s in systems[first:stop]) + sum(
            s.least_gap for s in systems[first + 1 : stop]
        )

    def cost(first: int, stop: int) -> float | None:
        height = first_height if first == 0 else other_height
        needed = least(first, stop)
        if needed > height:
            return None
        ideal = needed + sum(s.ideal_gap - s.least_gap for s in systems[first + 1 : stop])
        is_last = stop == count
        share = (height - ideal) / height
        price = costs.fill_weight * share * share if share > 0 else costs.fill_weight * 4 * share * share
        if is_last and share > 0:
            price *= 0.1
        if not is_last and systems[stop - 1].keeps_next:
            price += _TORN
        if stop - first == 1 and first > 0:
            price += costs.lone_system
        return price + 1.0

    longest = max(1, int(max(first_height, other_height) / min((s.height for s in systems), default=1.0)) + 1)
    stops, _ = break_optimally(count, cost, forced, longest)
    pages = []
    for first, stop in zip([0, *stops[:-1]], stops, strict=True):
        height = first_height if first == 0 else other_height
        pages.append(
            FilledPage(first, stop, _share_gaps(systems, first, stop, height, most_gap, stop == count, costs))
        )
    return pages


def _share_gaps(
    systems: Sequence[SystemBox],
    first: int,
    stop: int,
    height: float,
    most: float,
    is_last: bool,
    costs: PageCosts,
) -> tuple[float, ...]:
    """The gap above each system: ideal where the page stays ragged, else stretched or shrunk to fill it."""
    inner = systems[first + 1 : stop]
    if not inner:
        return (0.0,)
    inks = sum(system.height for system in systems[first:stop])
    ideal = sum(system.ideal_gap for system in inner)
    room = height - inks
    if room >= ideal:
        if is_last and (inks + ideal) / height < costs.ragged_fill:
            return (0.0, *(system.ideal_gap for system in inner))
        widest = max(system.ideal_gap for system in inner)
        stretch = room / ideal if ideal else 1.0
        if widest * stretch > most:
            stretch = 1.0 if is_last else max(1.0, most / widest)
        return (0.0, *(system.ideal_gap * stretch for system in inner))
    least = sum(system.least_gap for system in inner)
    share = (room - least) / (ideal - least) if ideal > least else 0.0
    share = max(0.0, share)
    return (0.0, *(s.least_gap + (s.ideal_gap - s.least_gap) * share for s in inner))


_LOOK_BACK = 3
"""How many systems earlier than it would a page may end for an easier turn (house rule)."""


def ease_turns(
    pages: list[FilledPage],
    first_turned: int,
    free: Sequence[bool],
    forced: Set[int],
    fill: Callable[[set[int]], list[FilledPage]],
) -> list[FilledPage]:
    """Pages that end earlier where a leaf is turned, at a system after which the hands are free, if no page is added.

    `first_turned` is the first page (from 1) that is turned, then every second one. `free` says of each system whether
    it ends well; `fill` fills the pages anew with more forced breaks than those in `forced`.
    """
    breaks = set(forced)
    for number in range(first_turned, len(pages), 2):
        page = pages[number - 1]
        if free[page.stop - 1]:
            continue
        for stop in range(page.stop - 1, max(page.first, page.stop - 1 - _LOOK_BACK), -1):
            tried = fill(breaks | {stop}) if free[stop - 1] else pages
            if tried is not pages and len(tried) <= len(pages):
                breaks.add(stop)
                pages = tried
                break
    return pages
