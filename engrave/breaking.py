"""Optimal breaking of a sequence into lines and pages (Knuth and Plass 1981). Knows nothing of music."""

from collections.abc import Callable, Sequence, Set
from itertools import accumulate
from typing import NamedTuple

_IMPOSSIBLE = 1e12
"""Cost of a single item that the caller forbids even alone: taken only when there is no other way."""


def break_optimally(
    count: int, cost: Callable[[int, int], float | None], forced: Set[int], longest: int
) -> tuple[list[int], float]:
    """Cut items 0 to `count` - 1 into lines of least total cost.

    `cost(i, j)` is the cost of a line holding items i to j - 1, None when it is not allowed. A line always ends before
    an item in `forced` and holds at most `longest` items. Returns the stops of the lines (the last one is
    `count`) and the total. Never fails; of equal totals the one with fewer lines wins. Takes
    count x longest calls of `cost` at most.
    """
    best: list[tuple[float, int, int]] = [(0.0, 0, 0)] + [(float("inf"), 0, 0)] * count
    for stop in range(1, count + 1):
        choice: tuple[float, int, int] | None = None
        for start in range(stop - 1, max(-1, stop - 1 - longest), -1):
            price = cost(start, stop)
            if price is None and start == stop - 1:
                price = _IMPOSSIBLE
            if price is not None:
                total, lines, _ = best[start]
                candidate = (total + price, lines + 1, start)
                if choice is None or candidate[:2] < choice[:2]:
                    choice = candidate
            if start in forced:
                break
        assert choice is not None
        best[stop] = choice
    stops: list[int] = []
    position = count
    while position > 0:
        stops.append(position)
        position = best[position][2]
    return stops[::-1], best[count][0]


_TORN = 1e6
"""Cost of a page break between two things that belong together."""


class PageCosts(NamedTuple):
    """Weights of the page search, without unit. A page may be filled up to 1; `*_fill` are shares of its height.

    `lone_system` is the cost of a page with one thing on it that is neither the first nor the last, `lone_last` that of
    a last page with one thing. `sparse_last` is the cost of a last page with next to nothing on it; it falls evenly to
    0 for one that is full to `sparse_fill`. A last page less full than `ragged_fill` is not stretched. `last_foot` is
    how much an empty foot counts on the last page, `overfull` how much narrowed gaps count beside widened ones.
    """

    fill_weight: float
    lone_system: float
    ragged_fill: float
    sparse_last: float = 0.0
    sparse_fill: float = 0.0
    lone_last: float = 0.0
    last_foot: float = 1.0
    overfull: float = 1.0


class SystemBox(NamedTuple):
    """One system's height and the least and ideal gap above it, all in one unit."""

    height: float
    least_gap: float
    ideal_gap: float
    keeps_next: bool = False
    """True where a page break after it is a last resort."""
    grows: bool = True
    """False where the gap above is never wider than ideal."""


class FilledPage(NamedTuple):
    """Systems `first` to `stop` - 1, and the gap above each (the first has none)."""

    first: int
    stop: int
    gaps: tuple[float, ...]


class _Sums:
    """Heights and gaps added up from the first system on, so that a page of any systems is weighed at once."""

    def __init__(self, systems: Sequence[SystemBox]) -> None:
        self.systems = systems
        self.growing = [system.ideal_gap if system.grows else 0.0 for system in systems]
        self.inks = list(accumulate([system.height for system in systems], initial=0.0))
        self.least_gaps = list(accumulate([system.least_gap for system in systems], initial=0.0))
        self.ideal_gaps = list(accumulate([system.ideal_gap for system in systems], initial=0.0))
        self.growing_gaps = list(accumulate(self.growing, initial=0.0))


class _Sheet:
    """The sums of one page: what stands on it, and how far its white stretches."""

    def __init__(self, sums: _Sums, first: int, stop: int, height: float) -> None:
        self.first, self.stop, self.height = first, stop, height
        self._sums = sums
        inks = sums.inks[stop] - sums.inks[first]
        self.least = inks + sums.least_gaps[stop] - sums.least_gaps[first + 1]
        self.ideal = inks + sums.ideal_gaps[stop] - sums.ideal_gaps[first + 1]
        self._growing = sums.growing_gaps[stop] - sums.growing_gaps[first + 1]

    @property
    def inner(self) -> Sequence[SystemBox]:
        """The systems that have a gap above them on this page."""
        return self._sums.systems[self.first + 1 : self.stop]

    @property
    def _widest(self) -> float:
        """The widest gap that grows."""
        return max(self._sums.growing[self.first + 1 : self.stop], default=0.0)

    def blank(self, most: float) -> float:
        """What stays white at the foot when no gap is wider than `most`."""
        widest = self._widest
        stretch = max(1.0, most / widest) if widest else 1.0
        return max(0.0, self.height - self.ideal - self._growing * (stretch - 1))

    def stretch(self, most: float) -> float | None:
        """By how much the gaps are multiplied to reach the foot; None when one would be wider than `most`."""
        if self.ideal >= self.height:
            return 1.0
        if not self._growing:
            return None
        stretch = 1 + (self.height - self.ideal) / self._growing
        return stretch if self._widest * stretch <= most else None

    def gaps(self, stretch: float) -> tuple[float, ...]:
        """The gap above each system, multiplied by `stretch` or less, so that the page does not overflow."""
        if self.ideal > self.height:
            slack = self.ideal - self.least
            share = max(0.0, (self.height - self.least) / slack) if slack else 0.0
            return (0.0, *(s.least_gap + (s.ideal_gap - s.least_gap) * share for s in self.inner))
        if self._growing:
            stretch = min(stretch, 1 + (self.height - self.ideal) / self._growing)
        return (0.0, *(s.ideal_gap * (stretch if s.grows else 1.0) for s in self.inner))


def fill_pages(
    systems: Sequence[SystemBox],
    first_height: float,
    other_height: float,
    most_gap: float,
    forced: Set[int],
    costs: PageCosts,
) -> list[FilledPage]:
    """Cut the systems into pages and share out the white. A system too tall for any page stands alone on one.

    Pages reach their foot where no gap becomes wider than `most_gap`. The others have the gaps of the least stretched
    of those, so that the pages of one piece look alike.
    """
    if not systems:
        return []
    count = len(systems)
    sums = _Sums(systems)

    def sheet(first: int, stop: int) -> _Sheet:
        return _Sheet(sums, first, stop, first_height if first == 0 else other_height)

    def cost(first: int, stop: int) -> float | None:
        page = sheet(first, stop)
        if page.least > page.height:
            return None
        share = (page.height - page.ideal) / page.height
        price = costs.fill_weight * share * share * (1.0 if share > 0 else costs.overfull)
        if stop == count:
            price *= costs.last_foot if share > 0 else 1.0
            return price + 1.0 + (_cost_of_rest(1 - share, stop - first, costs) if first > 0 else 0.0)
        price += costs.fill_weight * page.blank(most_gap) / page.height
        if systems[stop - 1].keeps_next:
            price += _TORN
        if stop - first == 1 and first > 0:
            price += costs.lone_system
        return price + 1.0

    least = min(system.height for system in systems)
    longest = max(1, int(max(first_height, other_height) / least) + 1) if least > 0 else count
    stops, _ = break_optimally(count, cost, forced, longest)
    sheets = [sheet(first, stop) for first, stop in zip([0, *stops[:-1]], stops, strict=True)]
    stretches = [
        None
        if page.stop == count and page.ideal < costs.ragged_fill * page.height
        else page.stretch(most_gap)
        for page in sheets
    ]
    common = min((stretch for stretch in stretches if stretch is not None), default=1.0)
    return [
        FilledPage(page.first, page.stop, page.gaps(common if stretch is None else stretch))
        for page, stretch in zip(sheets, stretches, strict=True)
    ]


def _cost_of_rest(fill: float, things: int, costs: PageCosts) -> float:
    """What a last page costs that is full to `fill` and has so few `things` on it that they look left over."""
    sparse = costs.sparse_last * (1 - fill / costs.sparse_fill) if fill < costs.sparse_fill else 0.0
    return sparse + (costs.lone_last if things == 1 else 0.0)


def ease_turns(
    pages: list[FilledPage],
    first_turned: int,
    free: Sequence[bool],
    forced: Set[int],
    fill: Callable[[set[int]], list[FilledPage]],
    look_back: int,
) -> list[FilledPage]:
    """Pages that end earlier where a leaf is turned, at a system after which the hands are free, if no page is added.

    `first_turned` is the first page (from 1) that is turned, then every second one. `free` says of each system whether
    it ends well; `fill` fills the pages anew with more forced breaks than those in `forced`. A page ends at most `look_back` systems earlier.
    """
    breaks = set(forced)
    for number in range(first_turned, len(pages), 2):
        page = pages[number - 1]
        if free[page.stop - 1]:
            continue
        for stop in range(page.stop - 1, max(page.first, page.stop - 1 - look_back), -1):
            tried = fill(breaks | {stop}) if free[stop - 1] else pages
            if tried is not pages and len(tried) <= len(pages):
                breaks.add(stop)
                pages = tried
                break
    return pages
