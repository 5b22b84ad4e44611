"""What became of a request, and results put where they belong: no file is replaced that nobody named."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from engrave.commands.delivery import deliver
from engrave.problems import NOWHERE, Problem, Severity
from engrave.source.files import STANDARD_INPUT


class Outcome(NamedTuple):
    """What became of one document: its problems, and the files written (none when there are errors).

    `report` holds lines that were asked for, `remarks` what is worth knowing of the files.
    """

    problems: tuple[Problem, ...]
    written: tuple[str, ...] = ()
    report: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def failed(self) -> bool:
        """True when something is wrong in the input."""
        return any(problem.severity is Severity.ERROR for problem in self.problems)

    def with_error(self, file: str, what: str, hint: str = "") -> Outcome:
        """The outcome with something else that is wrong with `file`."""
        problem = Problem(file, NOWHERE, Severity.ERROR, what, hint=hint)
        return self._replace(problems=(*self.problems, problem))


def write_files(files: Mapping[str, bytes], outcome: Outcome, *sources: str) -> Outcome:
    """Write the files, each whole or not at all, and none over one of `sources`."""
    problems, written = deliver(files, sources)
    return outcome._replace(problems=(*outcome.problems, *problems), written=tuple(written))


def beside(path: str, ending: str = "", word: str = "") -> str:
    """A name for what is made from `path`: the same with another `ending` ("" for its own), and `word` in it."""
    base = Path("score.yaml" if path == STANDARD_INPUT else path)
    stem = f"{base.stem}-{word}" if word else base.stem
    return str(base.with_name(stem + (ending or base.suffix or ".yaml")))


def write_result(path: str, output: str, usual: str, data: bytes, outcome: Outcome, *sources: str) -> Outcome:
    """Write what was made from `path` to `output`, or to `usual` where that is "" and nothing is there yet.

    What is there may be what the other was made from, so only what `output` names is replaced, and none of `sources`.
    """
    if not output and _exists(usual):
        return outcome.with_error(path, f"{usual} already exists", "name the result with -o")
    return write_files({output or usual: data}, outcome, *sources)


def give_lines(lines: tuple[str, ...], output: str, outcome: Outcome) -> Outcome:
    """Lines to read, in the file `output` where one is named."""
    if outcome.failed or not output:
        return outcome._replace(report=lines)
    return write_files({output: ("\n".join(lines) + "\n").encode("utf-8")}, outcome)


def _exists(target: str) -> bool:
    """True when something is at `target`; names that no file can have are refused when they are written."""
    try:
        return Path(target).exists()
    except (OSError, ValueError):
        return False
