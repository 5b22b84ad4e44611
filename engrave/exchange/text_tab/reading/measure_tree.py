"""Events as the score language writes them: a drawn tab where it can say everything, else a list of notes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from engrave.exchange.text_tab.reading.cells import Cell
from engrave.exchange.text_tab.reading.fill import Item
from engrave.exchange.text_tab.reading.pitch_cells import PITCHES

_BEFORE = {"hammer-on": "h", "pull-off": "p", "slide": "/"}
_NAME_WIDTH = 7


def write_measure(
    items: Sequence[Item], short: bool = False, lower: Sequence[Item] | None = None
) -> dict[str, Any]:
    """The keys of a measure that hold its music: `tab`, or `notes` where the tab cannot say it all, and `lower`.

    `short`: only this music tells how long the measure is, so that its rests are written too. `lower` is a second
    voice, None where there is none.
    """
    if lower is not None:
        return {"notes": _voice(items), "lower": _voice(lower)}
    if not any(item.sounds or item.marks or item.rest for item in items):
        return {"notes": _notes(items) if short and items else "rest"}
    if all(_is_plain(item) for item in items) and any(item.cells for item in items):
        return {"tab": _drawn(items)}
    return {"notes": _notes(items)}


def _voice(items: Sequence[Item]) -> Any:
    return _notes(items) if items else "rest"


def _is_plain(item: Item) -> bool:
    """Whether a drawn tab can say all of an event."""
    more = item.marks or item.held or item.ties or item.slash or item.before or item.after
    tuplet = all(opened.unit in (None, item.value) for opened in item.opens)
    return (
        not more and len(item.opens) <= 1 and item.closes <= 1 and tuplet and all(map(_fits_tab, item.cells))
    )


def _fits_tab(cell: Cell) -> bool:
    joins = [mark for mark in cell.marks if mark in _BEFORE]
    others = [mark for mark in cell.marks if mark not in _BEFORE and mark != "vibrato"]
    return not (cell.bend or cell.details or cell.event_marks or others) and len(joins) <= 1


def _drawn(items: Sequence[Item]) -> str:
    strings = sorted({cell.string for item in items for cell in item.cells})
    rows = {name: name.ljust(_NAME_WIDTH) for name in ("rhythm", *map(str, strings))}
    for item in items:
        head = _open_text(item)
        value = f"{item.value.denominator}{'.' * item.value.dots}{')' if item.closes else ''}"
        cells = {str(cell.string): _tab_cell(cell, item.tied) for cell in item.cells}
        lead = max([len(head), *(len(before) for before, _ in cells.values())])
        texts = {"rhythm": (head, value), **cells}
        width = lead + max(len(text) for _, text in texts.values())
        for name in rows:
            before, text = texts.get(name, ("", "-"))
            rows[name] += f"{before.rjust(lead)}{text}".ljust(width) + " "
    return "".join(f"{row.rstrip()}\n" for row in rows.values())


def _open_text(item: Item) -> str:
    return "".join(f"{opened.actual}:{opened.normal}(" for opened in item.opens)


def _tab_cell(cell: Cell, tied: bool) -> tuple[str, str]:
    """What stands before the column of a cell, and from it on."""
    if tied:
        return "", "="
    before = next((_BEFORE[mark] for mark in cell.marks if mark in _BEFORE), "")
    fret = "x" if cell.fret is None else str(cell.fret)
    return before, fret + ("~" if "vibrato" in cell.marks else "")


def _notes(items: Sequence[Item]) -> list[dict[str, Any]]:
    """Durations with their events; tuplets stand in one entry each."""
    levels: list[list[dict[str, Any]]] = [[]]
    for item in items:
        kind = "grace" if item.slashed else "appoggiatura"
        levels[-1].extend({f"{kind} {grace.value.name}": _event(grace)} for grace in item.before)
        for opened in item.opens:
            inside: list[dict[str, Any]] = []
            unit = opened.unit or item.value
            levels[-1].append({f"{opened.actual} in {opened.normal} of {unit.name}": inside})
            levels.append(inside)
        levels[-1].append({item.value.name: _event(item)})
        levels[-1].extend({f"closing-grace {grace.value.name}": _event(grace)} for grace in item.after)
        del levels[len(levels) - item.closes :]
    return levels[0]


def _event(item: Item) -> Any:
    if item.slash:
        return " ".join(["slash", *item.marks])
    pitches = next((cell.details[PITCHES] for cell in item.cells if PITCHES in cell.details), "")
    if pitches and not item.tied:
        marks = [*item.marks, *(mark for cell in item.cells for mark in cell.event_marks)]
        return {"pitch": pitches, "marks": list(dict.fromkeys(marks))} if marks else pitches
    struck = [cell for cell in item.cells if not item.tied and cell.string not in item.ties]
    marks = [*item.marks, *(mark for cell in struck for mark in cell.event_marks)]
    shared: dict[Any, Any] = {"marks": list(dict.fromkeys(marks))} if marks else {}
    if not item.cells:
        return shared or "rest"
    if item.tied and not marks and not item.held:
        return "tie"
    notes = {cell.string: _fret(cell) if cell in struck else _held(cell, item) for cell in item.cells}
    return notes | shared


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
