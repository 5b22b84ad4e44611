"""Notes that are held: which they are, and whether two voices need one string at once."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.exchange.text_tab.reading.cells import Cell
from engrave.exchange.text_tab.reading.fill import Item, item_starts


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
