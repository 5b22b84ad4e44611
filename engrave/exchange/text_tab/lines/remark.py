"""What the reader of plain-text tab has to tell about its reading."""

from __future__ import annotations

from typing import Literal, NamedTuple

Kind = Literal["dropped", "doubted", "guessed", "slip"]
"""dropped: not in the score; doubted: read, though it may mean something else; guessed: the text does not say it;
slip: probably a typing error, left as it stands."""


class Remark(NamedTuple):
    """A remark: line and column from 1 (after tab stops became spaces), in words what was found, and its kind."""

    line: int
    column: int
    what: str
    kind: Kind


class RemarkLog:
    """Remarks gathered while reading; the same one is kept once."""

    def __init__(self) -> None:
        """Nothing remarked yet."""
        self._found: dict[Remark, None] = {}

    def add(self, kind: Kind, line: int, column: int, what: str) -> None:
        """Note a remark at `line` (from 1) and `column` (from 0, as the reader counts)."""
        self._found.setdefault(Remark(line, max(0, column) + 1, what, kind))

    def in_order(self) -> list[Remark]:
        """All remarks by line and column."""
        return sorted(self._found)
