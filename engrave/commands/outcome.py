"""What became of a request, and results put where they belong: no file is replaced that nobody named."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

from engrave.commands.delivery import deliver, is_free
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


def write_files(files: Mapping[str, bytes], outcome: Outcome, replaceable: str = "") -> Outcome:
    """Write the files, each whole or not at all, and none over what was read for them but `replaceable`."""
    problems, written = deliver(files, replaceable)
    return outcome._replace(problems=(*outcome.problems, *problems), written=tuple(written))


def beside(path: str, ending: str = "", word: str = "") -> str:
    """A name for what is made from `path`: the same with another `ending` ("" for its own), and `word` in it."""
    base = Path("score.yaml" if path == STANDARD_INPUT else path)
    stem = f"{base.stem}-{word}" if word else base.stem
    return str(base.with_name(stem + (ending or base.suffix or ".yaml")))


def write_result(
    path: str, output: str, usual: str, data: bytes, outcome: Outcome, replaceable: str = ""
) -> Outcome:
    """Write what was made from `path` to `output`, or to `usual` where that is "" and nothing is there yet.

    What is there may be what the other was made from, so only what `output` names is replaced, and of what was read only
    `replaceable`.
    """
    if not output and not is_free(Path(usual)):
        return outcome.with_error(path, f"{usual} already exists", "name the result with -o")
    return write_files({output or usual: data}, outcome, replaceable)


def carry_out(name: str, work: Callable[[], Outcome]) -> tuple[str, Outcome]:
    """What became of the document called `name`; a system error that nobody foresaw is told with its own file."""
    try:
        return name, work()
    except BrokenPipeError:
        raise
    except OSError as error:
        file = error.filename if isinstance(error.filename, str) else name
        return name, Outcome(()).with_error(file, f"the system refuses it: {error.strerror or error}")


def give_lines(lines: tuple[str, ...], output: str, outcome: Outcome) -> Outcome:
    """Lines to read, in the file `output` where one is named."""
    if outcome.failed or not output:
        return outcome._replace(report=lines)
    return write_files({output: ("\n".join(lines) + "\n").encode("utf-8")}, outcome)
