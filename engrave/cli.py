"""The command line: words in, files and messages out. Holds no logic of its own."""

from __future__ import annotations

import gc
import io
import os
import signal
import sys
from collections.abc import Sequence
from contextlib import suppress
from typing import Any, TextIO

from engrave.commands.outcome import Outcome
from engrave.commands.registry import COMMANDS, Command
from engrave.parser import build_parser, read_request
from engrave.problems import visible
from engrave.products.product import silent
from engrave.requests.misuse import find_misuse
from engrave.requests.targets import STREAM
from engrave.source.inputs import note_path, recording_inputs
from engrave.stopping import STOPPED

DONE, WRONG_INPUT, WRONG_USE = 0, 1, 2
"""Exit statuses, besides those of a program that was stopped."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line; the exit status."""
    typed = sys.argv[1:] if arguments is None else list(arguments)
    parser = build_parser(next((word for word in typed if word in COMMANDS), ""))
    options = parser.parse_args(typed)
    command = COMMANDS[options.command].load()
    if not gc.isenabled():
        gc.freeze()  # all that is loaded stays until the end
        gc.enable()
    request = read_request(command.request, options)
    complaint = find_misuse(request)
    if complaint:
        parser.error(complaint)
    progress = _Bar() if _is_watched() and not request.quiet else silent
    with recording_inputs():
        for file in getattr(request, "files", ()) or [getattr(request, "file", STREAM)]:
            note_path(file)
        told = command.run(request, progress)
    if command.answers:
        told = [(name, _answer(outcome)) for name, outcome in told]
    return _report(told, request.quiet, command)


def _is_watched() -> bool:
    """True when someone sits at the terminal; a closed stream is nobody's."""
    return sys.stderr is not None and sys.stderr.isatty()


class _Bar:
    """A bar on the terminal that grows with what is done: the songs of a book, the documents of a folder."""

    _WIDTH = 30

    def __call__(self, done: int, count: int) -> None:
        filled = self._WIDTH * done // count
        end = "\n" if done == count else ""
        bar = "#" * filled + "." * (self._WIDTH - filled)
        with suppress(OSError):  # nobody looks any more
            sys.stderr.write(f"\r[{bar}] {done} of {count}{end}")
            sys.stderr.flush()


def _report(told: Sequence[tuple[str, Outcome]], quiet: bool, command: Command[Any]) -> int:
    """Print the problems, and unless `quiet` what else there is to say; the exit status."""
    for name, outcome in told:
        for problem in outcome.problems:
            _say(str(problem), sys.stderr)
        if not quiet:
            _print_rest(name, outcome, command.judges)
    return WRONG_INPUT if any(outcome.failed for _, outcome in told) else DONE


def _answer(outcome: Outcome) -> Outcome:
    """Print the answer that was asked for, unless it went to a file; what is left to say."""
    for lines in outcome.report:
        for line in lines.split("\n"):
            _say(line, sys.stdout)
    return outcome._replace(report=())


def _print_rest(name: str, outcome: Outcome, judged: bool) -> None:
    """Reports that were asked for, the verdict of a check, the files written, and remarks."""
    # A report does not mix with a score on standard output.
    reported_to = sys.stderr if STREAM in outcome.written else sys.stdout
    for line in outcome.report:
        _say(line, reported_to)
    if outcome.failed:
        return
    if judged:
        _say(f"{name}: {'no errors' if outcome.problems else 'no problems'}", sys.stdout)
    for target in outcome.written:
        if target != STREAM:
            _say(target, sys.stdout)
    for remark in outcome.remarks:
        _say(remark, sys.stderr)


def _say(words: str, stream: TextIO | None) -> None:
    """Print a line, so that nothing from a file, a file name or an option acts on the terminal."""
    if stream is not None:  # what is closed is nobody's
        print(visible(words), file=stream)


def command() -> None:
    """The entry point of the installed command. A reader that stops listening (a pipe to head) is no mistake."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and stream.errors == "strict":
            stream.reconfigure(errors="backslashreplace")  # a terminal without this sign gets its number
    try:
        status = main()
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        _silence_output()
        status = DONE
    except OSError as error:  # of documents it is told with them
        _silence_output()
        with suppress(OSError):
            _say(f"engrave: standard output cannot be written: {error.strerror or error}", sys.stderr)
        status = WRONG_INPUT
    except KeyboardInterrupt:
        status = STOPPED + signal.SIGINT
    sys.exit(status)


def _silence_output() -> None:
    """What is still waiting to be printed goes nowhere."""
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
