"""From moments to written values: events that fill a measure, and what they hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from engrave.exchange.text_tab.reading.cells import Cell
from engrave.theory.duration import NoteValue, decompose_length
from engrave.theory.metre import Metre

_BEAT = Fraction(1, 4)

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


def beat_of(metre: Metre) -> Fraction:
    """What values are written by: a dotted quarter or the like in compound metres, else a quarter."""
    return Fraction(3, metre.unit) if metre.is_compound else _BEAT


def fill(moments: Sequence[Struck], length: Fraction, beat: Fraction = _BEAT) -> list[Item]:
    """Events that fill `length`: each lasts until the next, tied where one value cannot say it.

    Dead notes do not last: what remains of them is rests.
    """
    items: list[Item] = []
    start = moments[0][0] if moments else length
    items.extend(Item(value, ()) for value in written_values(Fraction(0), start, beat))
    for index, (onset, cells) in enumerate(moments):
        stop = moments[index + 1][0] if index + 1 < len(moments) else length
        dead = all(cell.fret is None for cell in cells)
        for number, value in enumerate(written_values(onset, stop, beat)):
            held = number > 0
            items.append(Item(value, () if held and dead else cells, held and not dead))
    return items


@lru_cache(maxsize=4096)
def written_values(start: Fraction, stop: Fraction, beat: Fraction = _BEAT) -> tuple[NoteValue, ...]:
    """Written values from `start` to `stop`; off the beat they go to the next beat first, but for a syncopated quarter."""
    if beat != _BEAT:
        return tuple(_compound_values(start, stop, beat))
    values: list[NoteValue] = []
    if start % _BEAT and not (stop - start == _BEAT and start % (_BEAT / 2) == 0):
        following = (start // _BEAT + 1) * _BEAT
        if following < stop:
            values.extend(decompose_length(following - start))
            start = following
    return (*values, *(decompose_length(stop - start) if stop > start else ()))


def _compound_values(start: Fraction, stop: Fraction, beat: Fraction) -> Iterator[NoteValue]:
    """Values where the beat is dotted: none reaches over a beat but those of two or four whole beats."""
    while start < stop:
        whole = (stop - start) // beat
        if start % beat or not whole:
            piece = min(stop, (start // beat + 1) * beat) - start
        else:
            many = next((n for n in (4, 2) if whole >= n and start % (n * beat) == 0), 1)
            piece = (whole if whole == 2 else many) * beat
        yield from decompose_length(piece)
        start += piece


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
        if item.slash and item.tied:
            whole = whole._replace(tied=index > 0 and items[index - 1].slash)
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
