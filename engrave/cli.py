"""The command line: words in, files and messages out. Holds no logic of its own."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from engrave.options import PAPER_OPTIONS, build_parser
from engrave.pipeline import (
    Outcome,
    check_document,
    give_names,
    give_schemas,
    give_shapes,
    make_document,
    make_paper,
    place_notes,
    read_document,
    write_document,
)
from engrave.products.exchange_wish import Foreign, ReadWish, WriteWish
from engrave.products.place_wish import PlaceWish
from engrave.products.shapes_wish import ShapesForm, ShapesWish
from engrave.products.wish import Format, Wish
from engrave.score.structure import View
from engrave.source.files import is_folder
from engrave.wrong_use import STREAM, find_wrong_use, press_of, size_of

DONE, WRONG_INPUT, WRONG_USE, STOPPED = 0, 1, 2, 130
"""Exit statuses; the last is that of a program stopped from the keyboard (common practice of shells, no source)."""


def _place(options: argparse.Namespace) -> int:
    """Choose places for a score; the exit status."""
    wish = PlaceWish(
        hand=options.hand,
        avoid_open=options.avoid_open,
        highest=options.highest_fret or 99,
        position=options.position,
        parts=tuple(options.part),
        fingers=not options.no_fingers,
        anew=options.anew,
        why=options.why,
        tuning=options.tuning,
        capo=options.capo,
        instrument=options.instrument,
        key=options.key,
        semitones=options.semitones,
    )
    outcome = place_notes(options.file, options.output, wish)
    return _report([options.file], [outcome], options.quiet, checked=False)


def _shapes(options: argparse.Namespace) -> int:
    """Shapes of chords or names of shapes; the exit status."""
    form = ShapesForm(options.form)
    wish = ShapesWish(
        form=form,
        instrument=options.instrument,
        tuning=options.tuning,
        capo=options.capo,
        hand=options.hand,
        most=options.most,
        highest=options.highest_fret,
        inversions=options.inversions,
        rootless=options.rootless,
        style=options.style,
        language=options.language,
    )
    if options.name:
        outcome = give_names(options.chords, options.output, wish)
    else:
        drawn = Format(form.value) if form.is_drawn else Format.PDF
        look = Wish(options.output, None, options.style, drawn, dots_per_inch=options.dpi)
        outcome = give_shapes(options.chords, options.output, wish, look)
    return _answer("shapes", outcome, options.quiet)


def _exchange(options: argparse.Namespace) -> int:
    """Read or write another form; the exit status."""
    if options.command == "read":
        outcome = read_document(
            options.file,
            options.output,
            ReadWish(tuple(options.part), int(options.round_to.removeprefix("1/")), options.table),
        )
    else:
        wish = WriteWish(
            form=Foreign(options.form),
            measures=options.measures,
            repeats=not options.no_repeats,
            tempo_scale=options.tempo_scale,
            click=options.click,
            width=options.width,
            parts=tuple(options.part),
        )
        outcome = write_document(options.file, options.output, wish)
    return _report([options.file], [outcome], options.quiet, checked=False)


def _make_paper(options: argparse.Namespace) -> int:
    """Draw paper; the exit status."""
    names = [name.removeprefix("--").removeprefix("no-") for name, _ in PAPER_OPTIONS]
    found = {name: getattr(options, name.replace("-", "_")) for name in names}
    wanted = {name: value for name, value in found.items() if value is not None}
    if "kinds" in wanted:
        wanted["kinds"] = [kind.strip() for kind in wanted["kinds"].split(",")]
    wish = Wish(options.output, None, options.style, Format(options.format), dots_per_inch=options.dpi)
    outcome = make_paper(wanted, wish)
    return _report(["paper"], [outcome], options.quiet, checked=False)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line; the exit status."""
    parser = build_parser()
    options = parser.parse_args(arguments)
    complaint = find_wrong_use(options)
    if complaint:
        parser.error(complaint)
    if options.command == "check":
        wish = Wish(
            view=View(options.view) if options.view else None,
            style=options.style,
            hand=options.hand,
            difficulty=options.difficulty,
            paper_size=size_of(options),
        )
        outcomes = [check_document(file, wish) for file in options.files]
        return _report(options.files, outcomes, options.quiet, checked=True)
    if options.command in ("read", "write"):
        return _exchange(options)
    if options.command == "place":
        return _place(options)
    if options.command == "shapes":
        return _shapes(options)
    if options.command == "schema":
        return _answer("schema", give_schemas(options.kind or "", options.output), options.quiet)
    if options.command == "paper":
        return _make_paper(options)
    progress = _Bar() if sys.stderr.isatty() and not options.quiet else None
    outcomes = [
        make_document(file, _wish(options, file), progress)
        if progress
        else make_document(file, _wish(options, file))
        for file in options.files
    ]
    return _report(options.files, outcomes, options.quiet, checked=False)


def _wish(options: argparse.Namespace, file: str) -> Wish:
    output = options.output
    if output and output != STREAM and is_folder(output):
        stem = "score" if file == STREAM else Path(file).stem
        output = str(Path(output) / f"{stem}.{options.format}")
    return Wish(
        output=output,
        view=View(options.view) if options.view else None,
        style=options.style,
        format=Format(options.format),
        trace=options.trace,
        dots_per_inch=options.dpi,
        press=press_of(options),
        jobs=options.jobs,
        cache=options.cache,
        paper_size=size_of(options),
    )


class _Bar:
    """A bar on the terminal that grows with the songs that are done."""

    _WIDTH = 30

    def __call__(self, done: int, count: int) -> None:
        filled = self._WIDTH * done // count
        end = "\n" if done == count else ""
        bar = "#" * filled + "." * (self._WIDTH - filled)
        sys.stderr.write(f"\r[{bar}] {done} of {count} songs{end}")
        sys.stderr.flush()


def _report(files: Sequence[str], outcomes: Sequence[Outcome], quiet: bool, checked: bool) -> int:
    """Print the problems, and unless `quiet` what else there is to say; the exit status."""
    for file, outcome in zip(files, outcomes, strict=True):
        for problem in outcome.problems:
            print(problem, file=sys.stderr)
        if not quiet:
            _print_rest(file, outcome, checked)
    return WRONG_INPUT if any(outcome.failed for outcome in outcomes) else DONE


def _answer(name: str, outcome: Outcome, quiet: bool) -> int:
    """Print the answer that was asked for, unless it goes to a file, and then the rest; the exit status."""
    for line in outcome.report:
        print(line)
    return _report([name], [outcome._replace(report=())], quiet, checked=False)


def _print_rest(file: str, outcome: Outcome, checked: bool) -> None:
    """Reports that were asked for, the verdict of a check, the files written, and remarks."""
    # A report does not mix with a score on standard output.
    reported_to = sys.stderr if STREAM in outcome.written else sys.stdout
    for line in outcome.report:
        print(line, file=reported_to)
    if outcome.failed:
        return
    if checked:
        print(f"{file}: {'no errors' if outcome.problems else 'no problems'}")
    for target in outcome.written:
        if target != STREAM:
            print(target)
    for remark in outcome.remarks:
        print(remark, file=sys.stderr)


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
    except OSError as error:
        _silence_output()
        print(f"engrave: standard output cannot be written: {error.strerror or error}", file=sys.stderr)
        status = WRONG_INPUT
    except KeyboardInterrupt:
        status = STOPPED
    sys.exit(status)


def _silence_output() -> None:
    """What is still waiting to be printed goes nowhere."""
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
