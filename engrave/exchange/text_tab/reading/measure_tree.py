"""Events as the score language writes them: a drawn tab where it can say everything, else a list of notes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from engrave.exchange.text_tab.reading.cells import PITCHES, Cell
from engrave.exchange.text_tab.reading.fill import Item
from engrave.score.short_form import BEND, DEAD, FINGER, PITCH, SLASH, TIE, format_words
from engrave.writing.short_events import Item as Timed
from engrave.writing.short_events import join_runs, short_event, short_tie, tuplet_content

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


def _notes(items: Sequence[Item]) -> list[Timed]:
    """Durations with their events; tuplets stand in one entry each."""
    levels: list[list[Timed]] = [[]]
    tuplets: list[tuple[str, str]] = []
    for item in items:
        kind = "grace" if item.slashed else "appoggiatura"
        levels[-1].extend({f"{kind} {grace.value.name}": _event(grace)} for grace in item.before)
        for opened in item.opens:
            unit = (opened.unit or item.value).name
            tuplets.append((f"{opened.actual} in {opened.normal} of {unit}", unit))
            levels.append([])
        levels[-1].append({item.value.name: _event(item)})
        levels[-1].extend({f"closing-grace {grace.value.name}": _event(grace)} for grace in item.after)
        for _ in range(item.closes):
            name, unit = tuplets.pop()
            content = levels.pop()
            levels[-1].append({name: tuplet_content(unit, content)})
    return join_runs(levels[0])


def _event(item: Item) -> Any:
    if item.slash:
        return " ".join([TIE if item.tied else SLASH, *item.marks])
    pitches = next((cell.details[PITCHES] for cell in item.cells if PITCHES in cell.details), "")
    struck = [cell for cell in item.cells if not item.tied and cell.string not in item.ties]
    marks = [*item.marks, *(mark for cell in struck for mark in cell.event_marks)]
    shared: dict[str, Any] = {"marks": list(dict.fromkeys(marks))} if marks else {}
    if pitches and not item.tied:
        return short_event({"pitch": pitches, **shared})
    if not item.cells:
        return short_event(shared)
    if item.tied and not marks and not item.held:
        return TIE
    notes = {str(cell.string): _fret(cell) if cell in struck else _held(cell, item) for cell in item.cells}
    return short_tie(notes | shared) if item.tied else short_event(notes | shared)


def _held(cell: Cell, item: Item) -> str:
    """A held note with the marks of its own."""
    own = [(name, amount) for string, name, amount in item.held if string == cell.string]
    return " ".join([TIE, *_words(own)])


def _fret(cell: Cell) -> int | str:
    fret: int | str = DEAD if cell.fret is None else cell.fret
    details = dict(cell.details)
    marks = [(name, "") for name in cell.marks]
    node = details.pop("natural-harmonic", "")
    if node:
        fret, marks = node, [("natural-harmonic", ""), *marks]
    if cell.bend:
        marks.append((BEND, cell.bend))
    words = _words([*marks, *details.items()])
    return " ".join([str(fret), *words]) if words else fret


def _words(words: Sequence[tuple[str, str]]) -> list[str]:
    """Marks, a finger and a spelling as words after a fret."""
    single = {name: amount for name, amount in words if name in (FINGER, PITCH)}
    marks = [(name, amount) for name, amount in words if name not in single]
    return format_words(marks, single.get(FINGER, ""), single.get(PITCH, ""))
