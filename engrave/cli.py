"""The command line: words in, files and messages out. Holds no logic of its own."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from engrave import __version__
from engrave.pipeline import Format, Outcome, Wish, check_document, make_document
from engrave.resources import style_names
from engrave.score.structure import View

DONE, WRONG_INPUT, WRONG_USE = 0, 1, 2
"""Exit statuses."""
_STREAM = "-"


def build_parser() -> argparse.ArgumentParser:
    """The commands and their options."""
    parser = argparse.ArgumentParser(
        prog="engrave",
        description="Turns scores for fretted instruments, written in YAML, into printed pages.",
    )
    parser.add_argument("--version", action="version", version=f"engrave {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    make = commands.add_parser(
        "make", help="check and draw documents", description="Checks and draws documents."
    )
    make.add_argument("files", nargs="+", metavar="FILE", help="a score; - reads standard input")
    make.add_argument(
        "-o",
        dest="output",
        default="",
        metavar="PATH",
        help="the result: a file, or a folder for several; - writes to standard output",
    )
    make.add_argument(
        "--as", dest="format", default="pdf", choices=[f.value for f in Format], help="what to draw (pdf)"
    )
    make.add_argument("--view", choices=[v.value for v in View], help="how fretted parts are shown")
    make.add_argument(
        "--style",
        default="",
        metavar="NAME|FILE",
        help="one of " + ", ".join(style_names()) + ", or a style file",
    )
    make.add_argument("--trace", default="", metavar="FILE", help="write every placed mark as JSON")
    make.add_argument(
        "--dpi", type=float, default=150.0, metavar="N", help="dots per inch of png pictures (150)"
    )
    make.add_argument("--quiet", action="store_true", help="say nothing but what is wrong")
    check = commands.add_parser(
        "check",
        help="check documents and draw nothing",
        description="Checks documents: everything it finds, in one run.",
    )
    check.add_argument("files", nargs="+", metavar="FILE", help="a score; - reads standard input")
    check.add_argument("--style", default="", metavar="NAME|FILE", help="check against this style")
    check.add_argument("--quiet", action="store_true", help="say nothing but what is wrong")
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line; the exit status."""
    parser = build_parser()
    options = parser.parse_args(arguments)
    if options.command == "check":
        wish = Wish(style=options.style)
        outcomes = [check_document(file, wish) for file in options.files]
        return _report(options.files, outcomes, options.quiet, checked=True)
    complaint = _check_use(options)
    if complaint:
        parser.error(complaint)
    outcomes = [make_document(file, _wish(options, file)) for file in options.files]
    return _report(options.files, outcomes, options.quiet or options.output == _STREAM, checked=False)


def _check_use(options: argparse.Namespace) -> str:
    """What is wrong with the options, in words; "" when nothing is."""
    if len(options.files) > 1 and options.output and not Path(options.output).is_dir():
        return f"-o {options.output} must be a folder when there are several files"
    if len(options.files) > 1 and options.trace:
        return "--trace takes one file at a time"
    if not 10 <= options.dpi <= 2400:
        return "--dpi must be 10 to 2400"
    if options.output == _STREAM and options.format != Format.PDF.value:
        return "only pdf can be written to standard output"
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
    )


def _report(files: Sequence[str], outcomes: Sequence[Outcome], quiet: bool, checked: bool) -> int:
    for file, outcome in zip(files, outcomes, strict=True):
        for problem in outcome.problems:
            print(problem, file=sys.stderr)
        if quiet or outcome.failed:
            continue
        if checked:
            print(f"{file}: nothing wrong" if not outcome.problems else f"{file}: nothing that stops it")
        for target in outcome.written:
            print(target)
    return WRONG_INPUT if any(outcome.failed for outcome in outcomes) else DONE


def command() -> None:
    """The entry point of the installed command."""
    sys.exit(main())
