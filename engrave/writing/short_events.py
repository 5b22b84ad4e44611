"""Events in the fewest words: a mapping as a text where that says the same, plain events joined into rows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import Any

from engrave.score.short_form import REST, TIE
from engrave.score.sign_list import MARKS, SIGNS, Carrier, SignName

Item = dict[str, Any]
"""A duration, a kind of grace note or a tuplet, with what it holds."""


def short_event(tree: Mapping[Any, Any], rest: str = REST) -> Any:
    """The text that says the same as the mapping of an event, else the mapping with its marks as one text.

    Keys are strings, each with its fret as a number or as text, and perhaps `pitch` and `tie` (text) and `marks` (a list).
    Without any it is a `rest`, printed or hidden.
    """
    marks = list(tree.get("marks", ()))
    if "tie" in tree:
        return {**tree, "marks": " ".join(marks)} if marks else dict(tree)
    frets = {str(key): str(value) for key, value in tree.items() if key not in ("marks", "pitch")}
    if "pitch" in tree and not frets:
        return " ".join([tree["pitch"], *marks])
    if not tree.keys() - {"marks"}:
        return " ".join([rest, *marks])
    words = None if "pitch" in tree else _shared_words(list(frets.values()), marks)
    if words is not None:
        return " ".join(["+".join(f"{string}:{fret.split()[0]}" for string, fret in frets.items()), *words])
    return {**tree, "marks": " ".join(marks)} if marks else dict(tree)


def short_tie(tree: Mapping[Any, Any]) -> Any:
    """The text for an event that holds all strings of the one before, each with its own words in `tree`."""
    words = _shared_words(
        [str(value) for key, value in tree.items() if key != "marks"], tree.get("marks", ())
    )
    return short_event(tree) if words is None else " ".join([TIE, *words])


def _shared_words(frets: Sequence[str], marks: Sequence[str]) -> list[str] | None:
    """The words after notes that say what each of `frets` says, and `marks` of their event; None where none do."""
    rows = [fret.split()[1:] for fret in frets]
    if len(rows) == 1 and not marks:
        return rows[0]
    if any(row != rows[0] for row in rows):
        return None
    if len(rows) > 1 and not all(_is_of_note(word) for word in rows[0]):
        return None
    if any(_is_of_note(mark) for mark in marks):
        return None
    return [*rows[0], *marks]


def _is_of_note(word: str) -> bool:
    return word in MARKS and SIGNS[SignName(word)].carrier is Carrier.NOTE


def join_events(events: Sequence[Any]) -> Any:
    """Events of one duration: a single one as it is, plain ones as a row, others as a list."""
    if len(events) == 1:
        return events[0]
    if all(isinstance(event, str) and " " not in event for event in events):
        return " ".join(events)
    return list(events)


def join_runs(items: Iterable[Item]) -> list[Item]:
    """Neighbours of one duration share its key: [{1/4: 3:0}, {1/4: 3:2}] becomes [{1/4: 3:0 3:2}].

    Each item holds one event, or is a tuplet that is finished.
    """
    joined: list[Item] = []
    for key, run in groupby(items, lambda item: next(iter(item))):
        values = [item[key] for item in run]
        if " in " in key:
            joined.extend({key: value} for value in values)
        else:
            joined.append({key: join_events(values)})
    return joined


def tuplet_content(unit: str, items: Iterable[Item]) -> Any:
    """What stands in a tuplet that counts in `unit`, of items with one event each: its own value goes without saying."""
    content: list[Any] = []
    for is_unit, group in groupby(items, lambda item: unit in item):
        run = list(group)
        content.extend([item[unit] for item in run] if is_unit else join_runs(run))
    joined = join_events(content)
    return [joined] if isinstance(joined, dict) else joined
