"""What an import could not bring into the score language, written down by part and measure."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from engrave.theory.numbering import name_measures

FILLED_UP = "filled up with rests"
"""A measure or voice is shorter than its time."""
_CHANGED = {
    FILLED_UP,
    "measure longer than its time",
    "note cut off at the end of its measure",
    "rhythm rounded to sixty-fourths",
    "tempo inside a measure, kept as words",
    "swing inside a measure, from its start on",
}
"""What was changed; everything else was left out."""
_REMARK = "remark: "
"""How a loss starts that is none: something to look at, which was taken over as it is."""
_COUNTED = re.compile(r"(\d+) (kept note|note|more head)s?: (.*)")
_DONE = {
    "note": "left out",
    "more head": "added",
    "kept note": "kept, with the length of the chord beside",
}
"""What became of what is counted."""


class Loss(NamedTuple):
    """Something that was dropped or changed: `what` in words, the part's name and the measure's number as in the file.

    Lost notes are counted: `what` then starts with their number, "3 notes: a third voice". Empty `part` or `measure` where
    the loss belongs to none.
    """

    what: str
    part: str
    measure: str


@dataclass(slots=True)
class LossLog:
    """Collects losses; the same loss in the same measure is written down once, lost notes are added up."""

    _rows: dict[tuple[str, Loss], int] = field(default_factory=dict)
    part: str = ""
    measure: str = ""

    def add(self, what: str) -> None:
        """Write down that `what` was lost in the current part and measure."""
        self._rows.setdefault(("", Loss(what, self.part, self.measure)), 0)

    def remark(self, what: str) -> None:
        """Write down something that was taken over as it is, and that the writer of the score should look at."""
        self.add(_REMARK + what)

    def notes(self, count: int, why: str) -> None:
        """Write down that `count` notes were lost in the current part and measure."""
        self._count("note", count, why)

    def heads(self, count: int, why: str) -> None:
        """Write down that `count` heads were added, which are tied to those of the file."""
        self._count("more head", count, why)

    def shorter(self, count: int, why: str) -> None:
        """Write down that `count` notes were kept, but for less time or for more than in the file."""
        self._count("kept note", count, why)

    def _count(self, unit: str, count: int, why: str) -> None:
        if count:
            row = (unit, Loss(why, self.part, self.measure))
            self._rows[row] = self._rows.get(row, 0) + count

    def at(self, part: str, measure: str) -> None:
        """Go to a part and measure."""
        self.part, self.measure = part, measure

    def result(self) -> list[Loss]:
        """All losses in the order in which they were found."""
        return [
            row._replace(what=f"{count} {unit}{'s' if count > 1 else ''}: {row.what}") if unit else row
            for (unit, row), count in self._rows.items()
        ]


def gather_losses(losses: Iterable[Loss]) -> list[tuple[str, str]]:
    """Losses of one kind and part put together: in words, and where ("Flute, measures 3-5 and 9")."""
    kinds: dict[tuple[str, str, str], list[Loss]] = {}
    totals: Counter[tuple[str, str, str]] = Counter()
    for loss in losses:
        counted = _COUNTED.fullmatch(loss.what)
        kind = (loss.part, counted[3] if counted else loss.what, counted[2] if counted else "")
        kinds.setdefault(kind, []).append(loss)
        totals[kind] += int(counted[1]) if counted else 0
    rows: list[tuple[str, str]] = []
    for (part, what, unit), found in kinds.items():
        total = totals[part, what, unit]
        if unit:
            noun = unit.removeprefix("more ").removeprefix("kept ")
            words = f"{total} {noun}{'s' if total > 1 else ''} {_DONE[unit]}: {what}"
        else:
            kept = what in _CHANGED or what.startswith(_REMARK)
            words = what.removeprefix(_REMARK) if kept else f"left out: {what}"
        measures = list(dict.fromkeys(loss.measure for loss in found if loss.measure))
        rows.append((words, ", ".join(filter(None, (part, name_measures(measures) if measures else "")))))
    return rows
