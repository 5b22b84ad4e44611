"""The command line: words in, files and messages out. Holds no logic of its own."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from engrave import __version__
from engrave.pipeline import Outcome, check_document, make_document, make_paper, read_document, write_document
from engrave.products.exchange_wish import Foreign, ReadWish, WriteWish
from engrave.products.wish import Format, Press, Wish
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
    make.add_argument(
        "--jobs",
        type=int,
        default=0,
        metavar="N",
        help="processes for a songbook (as many as the machine has)",
    )
    make.add_argument("--cache", default="", metavar="FOLDER", help="keep a book's finished songs here")
    make.add_argument("--trace", default="", metavar="FILE", help="write every placed mark as JSON")
    make.add_argument(
        "--dpi", type=float, default=150.0, metavar="N", help="dots per inch of png pictures (150)"
    )
    _add_press(make)
    make.add_argument("--quiet", action="store_true", help="say nothing but what is wrong")
    _add_paper(commands)
    _add_read(commands)
    _add_write(commands)
    check = commands.add_parser(
        "check",
        help="check documents and draw nothing",
        description="Checks documents: everything it finds, in one run.",
    )
    check.add_argument("files", nargs="+", metavar="FILE", help="a score; - reads standard input")
    check.add_argument("--style", default="", metavar="NAME|FILE", help="check against this style")
    check.add_argument("--quiet", action="store_true", help="say nothing but what is wrong")
    return parser


def _add_press(command: argparse.ArgumentParser) -> None:
    """Options for what is done to a finished PDF."""
    sheets = command.add_mutually_exclusive_group()
    sheets.add_argument("--booklet", action="store_true", help="impose pages for folding, two on a side")
    sheets.add_argument("--two-up", action="store_true", help="two pages side by side on each sheet")
    command.add_argument(
        "--creep", type=float, default=0.0, metavar="MM", help="move inner sheets towards the fold (0)"
    )
    command.add_argument("--crop-marks", action="store_true", help="marks where the sheet is cut")
    command.add_argument("--bleed", type=float, default=3.0, metavar="MM", help="beyond the cut (3)")
    command.add_argument("--archive", action="store_true", help="a PDF/A-2b file")
    command.add_argument("--attach-source", action="store_true", help="the text inside, as PDF/A-3b")


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


_PAPER_OPTIONS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("--size", {"metavar": "NAME|WxH", "help": "A3, A4 (usual), A5, Letter, Legal, or width x height in mm"}),
    ("--orientation", {"choices": ["portrait", "landscape"], "help": "upright or lying"}),
    ("--strings", {"type": int, "choices": [0, 4, 5, 6, 7, 8], "help": "strings of the tab (6); 0 for none"}),
    ("--staff", {"action": "store_true", "default": None, "help": "a five-line staff over each tab"}),
    ("--rows", {"metavar": "KIND[,KIND...]", "help": "staff, tab, staff+tab, grids; repeated down the page"}),
    ("--tuning", {"metavar": "NAME", "help": "a tuning, for the names of the strings"}),
    ("--systems", {"type": int, "metavar": "N", "help": "rows on a page; as many as fit when left out"}),
    ("--line-distance", {"type": float, "metavar": "MM", "help": "distance of the lines in millimetres"}),
    ("--bars", {"type": int, "metavar": "N", "help": "bars in each row (0)"}),
    ("--no-clef", {"action": "store_const", "const": False, "dest": "clef", "help": "leave the clefs out"}),
    ("--string-names", {"action": "store_true", "default": None, "help": "letters before the strings"}),
    ("--title", {"action": "store_true", "default": None, "help": "a line for a title"}),
    ("--date", {"action": "store_true", "default": None, "help": "a line for a date"}),
    ("--ink", {"choices": ["black", "grey"], "help": "black lines (usual) or grey ones"}),
    ("--pages", {"type": int, "metavar": "N", "help": "how many pages (1)"}),
    ("--holes", {"choices": ["none", "two", "three", "four"], "help": "room and marks for a punch"}),
    ("--footer", {"metavar": "WORDS", "help": "small words at the foot"}),
)


def _add_paper(commands: Any) -> None:
    paper = commands.add_parser(
        "paper", help="draw blank paper", description="Draws blank paper straight from options."
    )
    for name, settings in _PAPER_OPTIONS:
        paper.add_argument(name, **settings)
    paper.add_argument("-o", dest="output", default="", metavar="PATH", help="the result (paper.pdf)")
    paper.add_argument(
        "--as", dest="format", default="pdf", choices=[f.value for f in Format], help="what to draw (pdf)"
    )
    paper.add_argument("--style", default="", metavar="NAME|FILE", help="the look of the lines")
    paper.add_argument(
        "--dpi", type=float, default=150.0, metavar="N", help="dots per inch of png pictures (150)"
    )
    _add_press(paper)
    paper.add_argument("--quiet", action="store_true", help="say nothing but what is wrong")


def _add_read(commands: Any) -> None:
    read = commands.add_parser(
        "read",
        help="read plain-text tab, MusicXML or MIDI",
        description="Turns plain-text tab, MusicXML or MIDI into a score; says what was lost or guessed.",
    )
    read.add_argument("file", metavar="FILE", help="a text, .musicxml, .xml, .mxl or .mid file")
    read.add_argument("-o", dest="output", default="", metavar="PATH", help="the score (beside the file)")
    read.add_argument(
        "--part", action="append", default=[], metavar="NAME|N", help="only this part; may be repeated"
    )
    read.add_argument(
        "--grid", type=int, default=16, choices=[4, 8, 16, 32, 64], help="finest value read from MIDI"
    )
    read.add_argument(
        "--table", default="", metavar="FILE", help="a reading table of signs for plain-text tab"
    )
    read.add_argument("--quiet", action="store_true", help="say nothing but what is wrong")


def _add_write(commands: Any) -> None:
    write = commands.add_parser(
        "write",
        help="write MusicXML, MIDI, plain-text tab or sound",
        description="Writes a score as MusicXML, MIDI, plain-text tab or sound.",
    )
    write.add_argument("file", metavar="FILE", help="a score")
    write.add_argument(
        "--as", dest="form", required=True, choices=[f.value for f in Foreign], help="the form"
    )
    write.add_argument("-o", dest="output", default="", metavar="PATH", help="the result (beside the score)")
    write.add_argument(
        "--part", action="append", default=[], metavar="NAME|N", help="only this part; may be repeated"
    )
    write.add_argument("--measures", default="", metavar="1-4|LABEL", help="only these, for MIDI and sound")
    write.add_argument("--no-repeats", action="store_true", help="play every measure once")
    write.add_argument(
        "--tempo-scale", type=float, default=1.0, metavar="X", help="faster above 1, slower below (1)"
    )
    write.add_argument("--click", action="store_true", help="a click on every beat of the sound")
    write.add_argument("--width", type=int, default=100, metavar="N", help="columns of plain-text tab (100)")
    write.add_argument("--quiet", action="store_true", help="say nothing but what is wrong")


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
    names = [name.removeprefix("--").removeprefix("no-") for name, _ in _PAPER_OPTIONS]
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
        wish = Wish(style=options.style)
        outcomes = [check_document(file, wish) for file in options.files]
        return _report(options.files, outcomes, options.quiet, checked=True)
    if options.command in ("read", "write"):
        complaint = _check_write(options) if options.command == "write" else ""
        if complaint:
            parser.error(complaint)
        return _exchange(options)
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
    """The entry point of the installed command."""
    sys.exit(main())
