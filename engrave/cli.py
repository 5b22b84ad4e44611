"""The command line: words in, files and messages out. Holds no logic of its own."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from engrave.options import PAPER_OPTIONS, build_parser
from engrave.pipeline import (
    Outcome,
    check_document,
    give_names,
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
from engrave.products.wish import Format, Press, Wish
from engrave.score.structure import View

DONE, WRONG_INPUT, WRONG_USE = 0, 1, 2
"""Exit statuses."""
_STREAM = "-"
_MOST_SHAPES = 500
"""Nobody reads more shapes of one chord (house rule)."""


def _press(options: argparse.Namespace) -> Press:
    return Press(
        options.booklet,
        options.two_up,
        options.crop_marks,
        options.bleed,
        options.creep,
        options.archive,
        options.attach_source,
    )


def _place(options: argparse.Namespace) -> int:
    """Choose places for a score; the exit status."""
    wish = PlaceWish(
        options.hand,
        options.avoid_open,
        options.below or 99,
        options.position,
        tuple(options.part),
        not options.no_fingers,
        options.anew,
        options.why,
        options.tuning,
        options.capo,
        options.instrument,
        options.key,
        options.semitones,
    )
    outcome = place_notes(options.file, options.output, wish)
    return _report([options.file], [outcome], options.quiet or options.output == _STREAM, checked=False)


def _shapes(options: argparse.Namespace) -> int:
    """Shapes of chords or names of shapes; the exit status."""
    form = ShapesForm(options.form)
    wish = ShapesWish(
        form,
        options.instrument,
        options.tuning,
        options.capo,
        options.hand,
        options.most,
        options.below,
        options.inversions,
        options.rootless,
        options.style,
    )
    if options.name:
        outcome = give_names(options.chords, options.output, wish)
    else:
        drawn = Format(form.value) if form.is_drawn else Format.PDF
        look = Wish(options.output, None, options.style, drawn, dots_per_inch=options.dpi)
        outcome = give_shapes(options.chords, options.output, wish, look)
    return _report(["shapes"], [outcome], options.quiet or options.output == _STREAM, checked=False)


def _check_shapes(options: argparse.Namespace) -> str:
    """What is wrong with the options, in words; "" when nothing is."""
    if not 1 <= options.most <= _MOST_SHAPES or options.below < 1:
        return f"--most must be 1 to {_MOST_SHAPES}, --below 1 or more"
    if not 10 <= options.dpi <= 2400:
        return "--dpi must be 10 to 2400"
    if options.name and options.form != ShapesForm.TEXT.value:
        return "--name gives text only"
    if options.output == _STREAM and options.form in ("png", "svg"):
        return "png and svg cannot be written to standard output"
    return ""


def _exchange(options: argparse.Namespace) -> int:
    """Read or write another form; the exit status."""
    if options.command == "read":
        outcome = read_document(
            options.file, options.output, ReadWish(tuple(options.part), options.grid, options.table)
        )
    else:
        wish = WriteWish(
            Foreign(options.form),
            options.measures,
            not options.no_repeats,
            options.tempo_scale,
            options.click,
            options.width,
            tuple(options.part),
        )
        outcome = write_document(options.file, options.output, wish)
    return _report([options.file], [outcome], options.quiet or options.output == _STREAM, checked=False)


def _make_paper(options: argparse.Namespace) -> int:
    """Draw paper; the exit status."""
    names = [name.removeprefix("--").removeprefix("no-") for name, _ in PAPER_OPTIONS]
    found = {name: getattr(options, name.replace("-", "_")) for name in names}
    wanted = {name: value for name, value in found.items() if value is not None}
    if "rows" in wanted:
        wanted["rows"] = [row.strip() for row in wanted["rows"].split(",")]
    wish = Wish(options.output, None, options.style, Format(options.format), dots_per_inch=options.dpi)
    outcome = make_paper(wanted, wish)
    return _report(["paper"], [outcome], options.quiet or options.output == _STREAM, checked=False)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line; the exit status."""
    parser = build_parser()
    options = parser.parse_args(arguments)
    if options.command == "check":
        wish = Wish(style=options.style, hand=options.hand, difficulty=options.difficulty)
        outcomes = [check_document(file, wish) for file in options.files]
        return _report(options.files, outcomes, options.quiet, checked=True)
    if options.command in ("read", "write"):
        complaint = _check_write(options) if options.command == "write" else ""
        if complaint:
            parser.error(complaint)
        return _exchange(options)
    if options.command == "place":
        if options.below < 0 or options.position < 0:
            parser.error("--below and --position must be 1 or more")
        return _place(options)
    if options.command == "shapes":
        complaint = _check_shapes(options)
        if complaint:
            parser.error(complaint)
        return _shapes(options)
    if options.command == "paper":
        options.files, options.trace = ["paper"], ""
    complaint = _check_use(options)
    if complaint:
        parser.error(complaint)
    if options.command == "paper":
        return _make_paper(options)
    progress = _Bar() if sys.stderr.isatty() and not options.quiet else None
    outcomes = [
        make_document(file, _wish(options, file), progress)
        if progress
        else make_document(file, _wish(options, file))
        for file in options.files
    ]
    return _report(options.files, outcomes, options.quiet or options.output == _STREAM, checked=False)


def _check_write(options: argparse.Namespace) -> str:
    """What is wrong with the options of `write`, in words; "" when nothing is."""
    if not 0.25 <= options.tempo_scale <= 4:
        return "--tempo-scale must be 0.25 to 4"
    form = Foreign(options.form)
    if form is not Foreign.WAV and (options.click or options.tempo_scale != 1):
        return "--click and --tempo-scale are for sound: --as wav"
    if form not in (Foreign.WAV, Foreign.MIDI) and (options.measures or options.no_repeats):
        return "--measures and --no-repeats are for what is played: --as midi or wav"
    return ""


def _check_use(options: argparse.Namespace) -> str:
    """What is wrong with the options, in words; "" when nothing is."""
    if len(options.files) > 1 and options.output and not Path(options.output).is_dir():
        return f"-o {options.output} must be a folder when there are several files"
    if len(options.files) > 1 and options.trace:
        return "--trace takes one file at a time"
    if getattr(options, "jobs", 0) < 0:
        return "--jobs must be 1 or more"
    if not 10 <= options.dpi <= 2400:
        return "--dpi must be 10 to 2400"
    if options.output == _STREAM and options.format != Format.PDF.value:
        return "only pdf can be written to standard output"
    if options.format != Format.PDF.value and not _press(options).is_idle:
        return "booklets, crop marks and archive files are pdf only"
    return ""


def _wish(options: argparse.Namespace, file: str) -> Wish:
    output = options.output
    if output and output != _STREAM and Path(output).is_dir():
        stem = "score" if file == _STREAM else Path(file).stem
        output = str(Path(output) / f"{stem}.{options.format}")
    return Wish(
        output,
        View(options.view) if options.view else None,
        options.style,
        Format(options.format),
        options.trace,
        options.dpi,
        _press(options),
        options.jobs,
        options.cache,
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
    for file, outcome in zip(files, outcomes, strict=True):
        for problem in outcome.problems:
            print(problem, file=sys.stderr)
        for line in outcome.report:
            print(line)
        if quiet or outcome.failed:
            continue
        if checked:
            print(f"{file}: nothing wrong" if not outcome.problems else f"{file}: nothing that stops it")
        for target in outcome.written:
            print(target)
        for remark in outcome.remarks:
            print(remark, file=sys.stderr)
    return WRONG_INPUT if any(outcome.failed for outcome in outcomes) else DONE


def command() -> None:
    """The entry point of the installed command. A reader that stops listening (a pipe to head) is no mistake."""
    try:
        status = main()
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = DONE
    sys.exit(status)
