"""What an import could not bring into the score language, written down by part and measure."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple


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

    def notes(self, count: int, why: str) -> None:
        """Write down that `count` notes were lost in the current part and measure."""
        self._count("note", count, why)

    def heads(self, count: int, why: str) -> None:
        """Write down that `count` heads were added, which are tied to those of the file."""
        self._count("more head", count, why)

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
