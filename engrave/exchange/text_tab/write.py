"""Events as the score language writes them: a grid where it can say everything, else a list of notes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from engrave.exchange.text_tab.cells import Cell
from engrave.exchange.text_tab.fill import Item

_BEFORE = {"hammer-on": "h", "pull-off": "p", "slide": "/"}
_NAME_WIDTH = 7


def write_measure(items: Sequence[Item], short: bool = False) -> dict[str, Any]:
    """The key of a measure that holds its music: `grid`, or `notes` where the grid cannot say it all.

    `short`: only this music tells how long the measure is, so that its rests are written too.
    """
    if not any(item.cells or item.marks for item in items):
        return {"notes": _notes(items) if short and items else "rest"}
    plain = all(item.unit in (None, item.value) for item in items)
    plain = plain and not any(item.marks or item.held for item in items)
    if plain and all(_fits_grid(cell) for item in items for cell in item.cells):
        return {"grid": _grid(items)}
    return {"notes": _notes(items)}


def _fits_grid(cell: Cell) -> bool:
    joins = [mark for mark in cell.marks if mark in _BEFORE]
    others = [mark for mark in cell.marks if mark not in _BEFORE and mark != "vibrato"]
    return not (cell.bend or cell.details or cell.event_marks or others) and len(joins) <= 1


def _grid(items: Sequence[Item]) -> str:
    strings = sorted({cell.string for item in items for cell in item.cells})
    rows = {name: name.ljust(_NAME_WIDTH) for name in ("rhythm", *map(str, strings))}
    for item in items:
        head = _open_text(item)
        value = f"{item.value.denominator}{'.' * item.value.dots}{')' if item.closes else ''}"
        cells = {str(cell.string): _grid_cell(cell, item.tied) for cell in item.cells}
        lead = max([len(head), *(len(before) for before, _ in cells.values())])
        texts = {"rhythm": (head, value), **cells}
        width = lead + max(len(text) for _, text in texts.values())
        for name in rows:
            before, text = texts.get(name, ("", "-"))
            rows[name] += f"{before.rjust(lead)}{text}".ljust(width) + " "
    return "".join(f"{row.rstrip()}\n" for row in rows.values())


def _open_text(item: Item) -> str:
    return f"{item.opens[0]}:{item.opens[1]}(" if item.opens else ""


def _grid_cell(cell: Cell, tied: bool) -> tuple[str, str]:
    """What stands before the column of a cell, and from it on."""
    if tied:
        return "", "="
    before = next((_BEFORE[mark] for mark in cell.marks if mark in _BEFORE), "")
    fret = "x" if cell.fret is None else str(cell.fret)
    return before, fret + ("~" if "vibrato" in cell.marks else "")


def _notes(items: Sequence[Item]) -> list[dict[str, Any]]:
    """Durations with their events; tuplets stand in one entry each."""
    notes: list[dict[str, Any]] = []
    inside: list[dict[str, Any]] | None = None
    for item in items:
        if item.opens:
            inside = []
            unit = item.unit or item.value
            notes.append({f"{item.opens[0]} in {item.opens[1]} of {unit.name}": inside})
        (notes if inside is None else inside).append({item.value.name: _event(item)})
        if item.closes:
            inside = None
    return notes


def _event(item: Item) -> Any:
    marks = [*item.marks, *(mark for cell in item.cells if not item.tied for mark in cell.event_marks)]
    shared: dict[Any, Any] = {"marks": list(dict.fromkeys(marks))} if marks else {}
    if not item.cells:
        return shared or "rest"
    if item.tied and not marks and not item.held:
        return "tie"
    return {cell.string: _held(cell, item) if item.tied else _fret(cell) for cell in item.cells} | shared


def _held(cell: Cell, item: Item) -> Any:
    """A held note with the marks of its own."""
    own = [(name, amount) for string, name, amount in item.held if string == cell.string]
    marks = [name for name, amount in own if not amount]
    details = {name: amount for name, amount in own if amount}
    return {"fret": "tie", **details, **({"marks": marks} if marks else {})} if own else "tie"


def _fret(cell: Cell) -> Any:
    fret: int | str = "x" if cell.fret is None else cell.fret
    details = {name: int(text) if text.isdigit() else text for name, text in cell.details.items()}
    node = details.pop("natural-harmonic", "")
    if node:
        fret = f"{node} natural-harmonic"
    if cell.bend or details:
        bend = {"bend": cell.bend} if cell.bend else {}
        return {"fret": fret, **bend, **details, **({"marks": list(cell.marks)} if cell.marks else {})}
    return " ".join([str(fret), *cell.marks]) if cell.marks else fret
