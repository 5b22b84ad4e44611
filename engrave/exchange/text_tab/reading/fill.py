"""From moments to written values: events that fill a measure, what they hold, and moments guessed from the spacing."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, pairwise
from math import gcd
from typing import NamedTuple

from engrave.exchange.text_tab.reading.cells import Cell, Cluster
from engrave.theory.duration import NoteValue, decompose_length

_BEAT = Fraction(1, 4)
_GRIDS = (8, 16, 32, 64)
"""The grids that columns are rounded to, coarsest first: eighths where they fit, then sixteenths."""
_FITTING = Fraction(3, 10)
"""How far, in grid steps, a column may miss the grid of eighths before sixteenths are tried (house rule)."""
_ONE_DIGIT = 9
_LONGEST_LEAD = 2
"""Dashes before the first note of a measure that do not count as time (common practice, no source)."""
_TELLING_GAPS = 3
"""Gaps between notes that show an even step (house rule)."""

Struck = tuple[Fraction, tuple[Cell, ...]]


class Tuplet(NamedTuple):
    """`actual` notes in the time of `normal`, counted by `unit` (None: by the value of the first event)."""

    actual: int
    normal: int
    unit: NoteValue | None = None


class Item(NamedTuple):
    """One written event: its value, its notes (none: a rest), whether it holds all of the event before.

    `ties` are the strings held from before beside the notes. `opens` are the tuplets that open here, outermost first,
    `closes` how many close. `rest`: a rest that is written out as such. `before` and `after` are grace notes;
    `slashed`: those before are played as short as can be.
    `marks` are those of a rest or a held event; `held` are (string, name, amount) of marks on held notes.
    """

    value: NoteValue
    cells: tuple[Cell, ...]
    tied: bool = False
    opens: tuple[Tuplet, ...] = ()
    closes: int = 0
    marks: tuple[str, ...] = ()
    held: tuple[tuple[int, str, str], ...] = ()
    ties: tuple[int, ...] = ()
    slash: bool = False
    rest: bool = False
    before: tuple[Item, ...] = ()
    after: tuple[Item, ...] = ()
    slashed: bool = True

    @property
    def sounds(self) -> bool:
        """Whether it is more than a rest."""
        return bool(self.cells or self.ties or self.slash or self.tied)


def item_starts(items: Sequence[Item]) -> list[Fraction]:
    """When each event of a measure begins, in whole notes."""
    starts: list[Fraction] = []
    now, factors = Fraction(0), [Fraction(1)]
    for item in items:
        starts.append(now)
        for opened in item.opens:
            factors.append(factors[-1] * Fraction(opened.normal, opened.actual))
        now += item.value.length * factors[-1]
        del factors[len(factors) - item.closes :]
    return starts


def fill(moments: Sequence[Struck], length: Fraction) -> list[Item]:
    """Events that fill `length`: each lasts until the next, tied where one value cannot say it.

    Dead notes do not last: what remains of them is rests.
    """
    items: list[Item] = []
    start = moments[0][0] if moments else length
    items.extend(Item(value, ()) for value in _values(Fraction(0), start))
    for index, (onset, cells) in enumerate(moments):
        stop = moments[index + 1][0] if index + 1 < len(moments) else length
        dead = all(cell.fret is None for cell in cells)
        for number, value in enumerate(_values(onset, stop)):
            held = number > 0
            items.append(Item(value, () if held and dead else cells, held and not dead))
    return items


@lru_cache(maxsize=4096)
def _values(start: Fraction, stop: Fraction) -> tuple[NoteValue, ...]:
    """Written values from `start` to `stop`; off the beat they go to the next beat first, but for a syncopated quarter."""
    values: list[NoteValue] = []
    if start % _BEAT and not (stop - start == _BEAT and start % (_BEAT / 2) == 0):
        beat = (start // _BEAT + 1) * _BEAT
        if beat < stop:
            values.extend(decompose_length(beat - start))
            start = beat
    return (*values, *(decompose_length(stop - start) if stop > start else ()))


def lead_of(measures: Sequence[Sequence[Cluster]]) -> int:
    """The dashes that stand before the first beat throughout a block."""
    firsts = [clusters[0].column for clusters in measures if clusters]
    return min([*firsts, _LONGEST_LEAD])


def guess_onsets(
    clusters: Sequence[Cluster], width: int, lead: int, length: Fraction
) -> list[Fraction] | None:
    """Onsets in whole notes for the notes of a measure `width` columns wide that lasts `length`.

    Columns are taken in proportion; where they miss the grid of eighths, once more without the second digits of
    frets, which some people do not count. None when even sixty-fourths cannot hold the notes.
    """
    columns = [cluster.column for cluster in clusters]
    wide = [any((cell.fret or 0) > _ONE_DIGIT for cell in cluster.cells) for cluster in clusters]
    narrow = [c - more for c, more in zip(columns, accumulate(wide, initial=0))] if any(wide) else columns
    if narrow is not columns and not _fits(columns, width - lead, lead, length):
        narrow_width = width - sum(wide)
        if _fits(narrow, narrow_width - lead, lead, length):
            columns, width = narrow, narrow_width
    if not _fits(columns, width - lead, lead, length) and (even := _even_onsets(columns, width, length)):
        return even
    return _round_columns(columns, width, lead, length)


def _even_onsets(columns: Sequence[int], width: int, length: Fraction) -> list[Fraction] | None:
    """Onsets of notes that stand a whole number of steps apart, where the measure is drawn about a step short or long.

    The first note is on the first beat and a step is the grid that comes nearest to filling the measure; None when
    columns are too few to show a step, or when none of the grids fills the measure to a step.
    """
    gaps = [b - a for a, b in pairwise(columns)]
    if len(gaps) < _TELLING_GAPS or columns[0] > _LONGEST_LEAD:
        return None
    step = gcd(*gaps)
    drawn = Fraction(width - columns[0], step) if step > 1 else Fraction(0)
    for grid in _GRIDS[:2]:
        steps = length * grid
        last = (columns[-1] - columns[0]) // max(1, step)
        if abs(steps - drawn) <= 1 and last < steps:
            return [Fraction((column - columns[0]) // step, grid) for column in columns]
    return None


def _fits(columns: Sequence[int], span: int, lead: int, length: Fraction) -> bool:
    """Whether all columns lie on the grid of eighths."""
    steps = length * _GRIDS[0]
    exact = [Fraction(max(0, column - lead) * steps, max(1, span)) for column in columns]
    return steps >= len(columns) and all(abs(value - round(value)) <= _FITTING for value in exact)


def _round_columns(columns: Sequence[int], width: int, lead: int, length: Fraction) -> list[Fraction] | None:
    """Columns rounded to the coarsest grid that keeps them apart."""
    span = max(1, width - lead)
    fallback: list[Fraction] | None = None
    for grid in _GRIDS:
        steps = length * grid
        if steps.denominator != 1 or steps < len(columns):
            continue
        exact = [max(0, column - lead) * int(steps) / span for column in columns]
        slots = [min(int(steps) - 1, int(value + 0.5)) for value in exact]
        clean = len(set(slots)) == len(slots)
        misses = max((abs(slot - value) for slot, value in zip(slots, exact)), default=0.0)
        if clean and (grid > _GRIDS[0] or misses <= _FITTING):
            return [Fraction(slot, grid) for slot in slots]
        if fallback is None and grid > _GRIDS[0]:
            fallback = [Fraction(slot, grid) for slot in _spread(slots, int(steps))]
        if fallback is not None and grid > _GRIDS[1]:
            break
    return fallback


def _spread(slots: Sequence[int], steps: int) -> list[int]:
    """Slots moved as little as necessary so that no two are equal and all lie below `steps`."""
    moved: list[int] = []
    for slot in slots:
        moved.append(max(slot, moved[-1] + 1) if moved else slot)
    limit = steps
    for index in range(len(moved) - 1, -1, -1):
        limit = min(limit - 1, moved[index])
        moved[index] = limit
    return moved


def collide(upper: Sequence[Item], lower: Sequence[Item]) -> bool:
    """Whether two voices have different frets on one string at one moment."""
    starts = {
        (start, cell.string): cell.fret for start, i in zip(item_starts(upper), upper) for cell in i.cells
    }
    return any(
        starts.get((start, cell.string), cell.fret) != cell.fret
        for start, item in zip(item_starts(lower), lower)
        for cell in item.cells
    )


def hold_voice(items: list[Item], before: tuple[Cell, ...]) -> tuple[Cell, ...]:
    """The events of a voice with what they hold of the notes `before`, else as rests; the notes at its end."""
    for index, item in enumerate(items):
        early, before = _hold_graces(item.before, before)
        whole, before = _hold_one(item, before)
        late, before = _hold_graces(item.after, before) if whole.sounds else ((), before)
        items[index] = whole._replace(before=early if whole.sounds else (), after=late)
    return before if any(item.sounds for item in items) else ()


def _hold_graces(
    graces: Sequence[Item], before: tuple[Cell, ...]
) -> tuple[tuple[Item, ...], tuple[Cell, ...]]:
    """Grace notes with what they hold, and the notes that sound after them."""
    kept: list[Item] = []
    for grace in graces:
        held, before = _hold_one(grace, before)
        kept.extend([held] if held.sounds else [])
    return tuple(kept), before


def _hold_one(item: Item, before: tuple[Cell, ...]) -> tuple[Item, tuple[Cell, ...]]:
    """An event with the notes that it holds of those `before`, and the notes that sound after it."""
    if item.tied:
        item = item._replace(cells=before, tied=bool(before))
    elif item.ties:
        struck = {cell.string for cell in item.cells}
        held = tuple(cell for cell in before if cell.string in item.ties and cell.string not in struck)
        both = tuple(sorted((*item.cells, *held), key=lambda cell: cell.string))
        whole = not struck and len(held) == len(before)
        ties = () if whole else tuple(cell.string for cell in held)
        item = item._replace(cells=both, tied=whole and bool(held), ties=ties)
    return item, item.cells
