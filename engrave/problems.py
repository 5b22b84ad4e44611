"""A problem found in the input, and the log that every stage appends to."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import Enum
from typing import NamedTuple


class Location(NamedTuple):
    """Where something stands in a source file. Both numbers count from 1; (0, 0) means nowhere."""

    line: int
    column: int


NOWHERE = Location(0, 0)


def find_in_lines(text: str, lines: Sequence[str]) -> Location:
    """Where `text` first stands in the lines of a file; nowhere when it is written otherwise there."""
    for number, line in enumerate(lines, start=1):
        if text in line:
            return Location(number, line.index(text) + 1)
    return NOWHERE


class Severity(Enum):
    """How bad a problem is: an error stops the drawing, a warning does not."""

    ERROR = "error"
    WARNING = "warning"


class CannotBeDrawn(ValueError):
    """Drawing or finishing cannot do what is asked for; the words are a sentence for the user, and nothing is written."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with the input.

    `what` says what is wrong, `where` names the place in the music ("guitar, measure 3, beat 2"),
    `hint` says what would be right. All three are plain sentences without a final full stop.
    """

    file: str
    location: Location
    severity: Severity
    what: str
    where: str = ""
    hint: str = ""

    def __str__(self) -> str:
        """`file:line:column: what (where); hint`, on one line."""
        position = (
            f"{self.file}:{self.location.line}:{self.location.column}" if self.location.line else self.file
        )
        label = "warning: " if self.severity is Severity.WARNING else ""
        where = f" ({self.where})" if self.where else ""
        hint = f"; {self.hint}" if self.hint else ""
        return f"{position}: {label}{self.what}{where}{hint}"


@dataclass(slots=True)
class ProblemLog:
    """All problems of one file, collected in one run. Equal problems at one place are kept once."""

    file: str
    problems: list[Problem] = field(default_factory=list)
    _seen: set[Problem] = field(default_factory=set)

    def error(self, location: Location, what: str, where: str = "", hint: str = "") -> None:
        """Record a mistake that must be mended before anything is drawn.

        `what` may hold its hint itself, after a semicolon, as the reasons do that parsers raise.
        """
        what, hint = _part_hint(what, hint)
        self._add(Problem(self.file, location, Severity.ERROR, what, where, hint))

    def warning(self, location: Location, what: str, where: str = "", hint: str = "") -> None:
        """Record something doubtful that does not stop the drawing; `what` as for errors."""
        what, hint = _part_hint(what, hint)
        self._add(Problem(self.file, location, Severity.WARNING, what, where, hint))

    def take(self, problems: Iterable[Problem]) -> None:
        """Record problems of other files."""
        for problem in problems:
            self._add(problem)

    def _add(self, problem: Problem) -> None:
        if problem not in self._seen:
            self._seen.add(problem)
            self.problems.append(problem)

    @property
    def has_errors(self) -> bool:
        """True when at least one problem is an error."""
        return any(problem.severity is Severity.ERROR for problem in self.problems)

    def in_order(self) -> list[Problem]:
        """The problems in the order of their places in the file."""
        return sorted(self.problems, key=lambda problem: problem.location)


def _part_hint(what: str, hint: str) -> tuple[str, str]:
    """What is wrong, and what would be right: so that the place in the music stands between them."""
    for match in re.finditer("; ", what):
        if what[: match.start()].count('"') % 2 == 0:
            own = what[match.end() :]
            return what[: match.start()], f"{own}; {hint}" if hint else own
    return what, hint


def nearest_word(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, or None when none is near (Ratcliff-Obershelp ratio >= 0.6)."""
    by_lower = {candidate.lower(): candidate for candidate in known}
    found = difflib.get_close_matches(word.lower(), list(by_lower), n=1, cutoff=0.6)
    return by_lower[found[0]] if found else None


_MOST_KNOWN = 12
"""Known words that are worth listing; of more only the first few are named (house rule)."""
_FEW = 5


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """The hint `did you mean "..."?`; when no known word is near, those that there are, or some of many."""
    words = list(dict.fromkeys(known))
    nearest = nearest_word(word, words)
    if nearest is not None:
        return f'did you mean "{nearest}"?'
    if not words:
        return ""
    if len(words) <= _MOST_KNOWN:
        return "known here: " + ", ".join(sorted(words))
    return (
        f"known here are {len(words)} words, among them {', '.join(words[: _FEW - 1])} and {words[_FEW - 1]}"
    )
