"""A problem found in the input, and the log that every stage appends to."""

from __future__ import annotations

import difflib
import re
import unicodedata
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


_SHORT_ESCAPES = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}
_UNSEEN = {"Cc", "Cf", "Cs", "Zl", "Zp"}
"""Controls, formats (zero width, turned direction), surrogates, separators of lines and paragraphs (Unicode Standard, table 4-4)."""


def visible(text: str) -> str:
    """`text` on one line that does nothing to a terminal: for what cannot be seen stands its number (backslash, x1b or u202e)."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(
        _escape(character) if unicodedata.category(character) in _UNSEEN else character for character in text
    )


def _escape(character: str) -> str:
    code = ord(character)
    if character in _SHORT_ESCAPES:
        return _SHORT_ESCAPES[character]
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


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
        return visible(f"{position}: {label}{_cut(self.what)}{where}{_cut(hint)}")


_LONGEST = 500
"""Characters of what is wrong and of its hint that are shown (house rule)."""


def _cut(text: str) -> str:
    return text if len(text) <= _LONGEST else text[: _LONGEST - 4] + " ..."


MOST_TOLD = 100
"""Problems of one file that are told; of the others it is said how many there are (house rule)."""
_MOST_KEPT = 1000
"""Errors, and warnings, that are kept: from here on nothing is gained by looking for more (house rule)."""


@dataclass(slots=True, eq=False)
class ProblemLog:
    """The problems of one file, collected in one run. Equal problems at one place are kept once."""

    file: str
    problems: list[Problem] = field(default_factory=list)
    _seen: set[Problem] = field(default_factory=set)
    _errors: int = 0

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
        is_error = problem.severity is Severity.ERROR
        kept = self._errors if is_error else len(self.problems) - self._errors
        if kept <= _MOST_KEPT and problem not in self._seen:
            self._seen.add(problem)
            self.problems.append(problem)
            self._errors += is_error

    @property
    def has_errors(self) -> bool:
        """True when at least one problem is an error."""
        return self._errors > 0

    @property
    def is_full(self) -> bool:
        """True when there are so many errors that no more are kept: reading may stop."""
        return self._errors > _MOST_KEPT

    def suggest(self, word: str, known: Iterable[str]) -> str:
        """The hint of `did_you_mean`; none where so many problems are kept that this one is not."""
        return "" if self.is_full else did_you_mean(word, known)

    def in_order(self) -> list[Problem]:
        """The problems in the order of their places in the file: errors before warnings where there are too many to tell.

        The last says how many are not told.
        """
        ordered = sorted(self.problems, key=lambda problem: problem.location)
        if len(ordered) <= MOST_TOLD:
            return ordered
        worst = sorted(ordered, key=lambda problem: problem.severity is Severity.WARNING)
        told, rest = worst[:MOST_TOLD], worst[MOST_TOLD:]
        return [*sorted(told, key=lambda problem: problem.location), self._say_rest(rest)]

    def _say_rest(self, rest: Sequence[Problem]) -> Problem:
        """How many problems are not told."""
        errors = sum(problem.severity is Severity.ERROR for problem in rest)
        most = "more than " if self._errors > _MOST_KEPT else ""
        more = max(len(rest) - 1, 1) if most else len(rest)
        what = f"{most}{more} more {'problem' if more == 1 else 'problems'}"
        severity = Severity.ERROR if errors else Severity.WARNING
        return Problem(self.file, NOWHERE, severity, what, hint="mend these first")


def _part_hint(what: str, hint: str) -> tuple[str, str]:
    """What is wrong, and what would be right: so that the place in the music stands between them."""
    for match in re.finditer("; ", what):
        if what[: match.start()].count('"') % 2 == 0:
            own = what[match.end() :]
            return what[: match.start()], f"{own}; {hint}" if hint else own
    return what, hint


def nearest_word(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, or None when none is near (Ratcliff-Obershelp ratio >= 0.6)."""
    if len(word) > _LONGEST_WORD:
        return None
    by_lower = {candidate.lower(): candidate for candidate in known}
    found = difflib.get_close_matches(word.lower(), list(by_lower), n=1, cutoff=0.6)
    return by_lower[found[0]] if found else None


_LONGEST_WORD = 60
"""Characters of a word that may be a slip for another: longer ones are none (house rule)."""
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
