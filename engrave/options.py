"""The commands and their options, in words."""

from __future__ import annotations

import argparse
from typing import Any

from engrave import __version__
from engrave.products.exchange_wish import Foreign
from engrave.products.shapes_wish import ShapesForm, ShapesWish
from engrave.products.wish import Format
from engrave.reading.load import DOCUMENTS
from engrave.reading.settle import USUAL_HAND
from engrave.resources import style_names
from engrave.score.structure import View


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
    make.add_argument(
        "files", nargs="+", metavar="FILE", help="a score, handout, songbook or paper; - reads standard input"
    )
    make.add_argument(
        "-o",
        dest="output",
        default="",
        metavar="PATH",
        help="write to this file, or into this folder; - for standard output (default: beside the source)",
    )
    _add_format(make)
    _add_looks(make)
    make.add_argument(
        "--jobs",
        type=int,
        default=0,
        metavar="N",
        help="processes for a songbook (default: one per processor)",
    )
    make.add_argument(
        "--cache", default="", metavar="FOLDER", help="keep a songbook's finished songs in this folder"
    )
    make.add_argument("--trace", default="", metavar="FILE", help="write every placed mark as JSON")
    _add_dpi(make)
    _add_press(make)
    _add_quiet(make)
    _add_paper(commands)
    _add_read(commands)
    _add_write(commands)
    _add_place(commands)
    _add_shapes(commands)
    _add_schema(commands)
    check = commands.add_parser(
        "check",
        help="check documents and draw nothing",
        description="Checks documents: everything it finds, in one run.",
    )
    check.add_argument(
        "files", nargs="+", metavar="FILE", help="a score, handout, songbook or paper; - reads standard input"
    )
    _add_looks(check)
    _add_hand(check, "check the reach of this hand: ")
    check.add_argument("--difficulty", action="store_true", help="report how hard each measure of a score is")
    _add_quiet(check)
    return parser


_SIZE_OPTIONS: tuple[tuple[str, dict[str, Any]], ...] = (
    (
        "--size",
        {"metavar": "NAME|WxH", "help": "A3, A4, A5, Letter, Legal, or width x height in mm (default: A4)"},
    ),
    (
        "--orientation",
        {"choices": ["portrait", "landscape"], "help": "upright or sideways (default: portrait)"},
    ),
)
"""Options for the sheet; they outrank what a document says."""


def _add_looks(command: argparse.ArgumentParser) -> None:
    """Options for how a document looks; they outrank what it says."""
    shown = "how fretted parts are shown; lead-sheet: the tune alone (default: as the score says)"
    command.add_argument("--view", choices=[v.value for v in View], help=shown)
    style = f"one of {', '.join(style_names())}, or a style file (default: as the document says)"
    command.add_argument("--style", default="", metavar="NAME|FILE", help=style)
    for name, settings in _SIZE_OPTIONS:
        command.add_argument(name, **settings)


def _add_output(command: argparse.ArgumentParser, usual: str) -> None:
    command.add_argument(
        "-o", dest="output", default="", metavar="PATH", help=f"write to this file (default: {usual})"
    )


def _add_format(command: argparse.ArgumentParser) -> None:
    formats = [f.value for f in Format]
    command.add_argument(
        "--as", dest="format", default="pdf", choices=formats, help="output format (default: pdf)"
    )


def _add_dpi(command: argparse.ArgumentParser) -> None:
    what = "dots per inch of png pictures (default: 150)"
    command.add_argument("--dpi", type=float, default=150.0, metavar="N", help=what)


def _add_part(command: argparse.ArgumentParser) -> None:
    what = "this part only; may be repeated"
    command.add_argument("--part", action="append", default=[], metavar="NAME|N", help=what)


def _add_hand(command: argparse.ArgumentParser, use: str = "") -> None:
    what = f"{use}beginner, intermediate, advanced or a hand file (default: {USUAL_HAND})"
    command.add_argument("--hand", default=USUAL_HAND, metavar="NAME|FILE", help=what)


def _add_quiet(command: argparse.ArgumentParser, what: str = "print problems only") -> None:
    command.add_argument("--quiet", action="store_true", help=what)


def _add_press(command: argparse.ArgumentParser) -> None:
    """Options for what is done to a finished PDF."""
    sheets = command.add_mutually_exclusive_group()
    sheets.add_argument(
        "--booklet", action="store_true", help="impose pages for folding, two on each side of a sheet"
    )
    sheets.add_argument("--two-up", action="store_true", help="two pages side by side on each sheet")
    command.add_argument(
        "--creep",
        type=float,
        default=0.0,
        metavar="MM",
        help="move inner sheets towards the fold (default: 0)",
    )
    command.add_argument("--crop-marks", action="store_true", help="print marks where the sheet is cut")
    command.add_argument(
        "--bleed", type=float, default=3.0, metavar="MM", help="margin beyond the cut (default: 3)"
    )
    command.add_argument("--archive", action="store_true", help="write a PDF/A-2b file")
    command.add_argument(
        "--attach-source", action="store_true", help="attach the YAML text, as a PDF/A-3b file"
    )


PAPER_OPTIONS: tuple[tuple[str, dict[str, Any]], ...] = (
    *_SIZE_OPTIONS,
    ("--instrument", {"metavar": "NAME", "help": "strings and clef of a guitar, bass, ukulele, banjo ..."}),
    (
        "--strings",
        {"type": int, "choices": [0, 4, 5, 6, 7, 8], "help": "strings of the tab, 0 for no tab (default: 6)"},
    ),
    ("--staff", {"action": "store_true", "default": None, "help": "put a five-line staff over each tab"}),
    (
        "--kinds",
        {
            "metavar": "KIND[,KIND...]",
            "help": "kinds of system, repeated down the page: staff, tab, staff+tab, chord-grids (default: tab)",
        },
    ),
    ("--tuning", {"metavar": "NAME", "help": "tuning for --string-names"}),
    ("--systems", {"type": int, "metavar": "N", "help": "systems per page (default: as many as fit)"}),
    ("--line-distance", {"type": float, "metavar": "MM", "help": "distance between lines in millimetres"}),
    ("--measures", {"type": int, "metavar": "N", "help": "measures in each system (default: none)"}),
    ("--no-clef", {"action": "store_const", "const": False, "dest": "clef", "help": "leave out the clefs"}),
    ("--string-names", {"action": "store_true", "default": None, "help": "print the name of each string"}),
    ("--title", {"action": "store_true", "default": None, "help": "print a line for a title"}),
    ("--date", {"action": "store_true", "default": None, "help": "print a line for a date"}),
    ("--ink", {"choices": ["black", "grey"], "help": "colour of the lines (default: black)"}),
    ("--pages", {"type": int, "metavar": "N", "help": "number of pages (default: 1)"}),
    (
        "--holes",
        {
            "choices": ["none", "two", "three", "four"],
            "help": "leave room for punched holes and mark them (default: none)",
        },
    ),
    (
        "--language",
        {"metavar": "TAG", "help": "language of the words on the sheet: de, en, es, fr (default: en)"},
    ),
    ("--footer", {"metavar": "WORDS", "help": "small text at the foot"}),
)


def _add_paper(commands: Any) -> None:
    paper = commands.add_parser(
        "paper", help="draw blank paper", description="Draws blank paper without a file."
    )
    for name, settings in PAPER_OPTIONS:
        paper.add_argument(name, **settings)
    _add_output(paper, "paper.pdf")
    _add_format(paper)
    paper.add_argument("--style", default="", metavar="NAME|FILE", help="style of the lines")
    _add_dpi(paper)
    _add_press(paper)
    _add_quiet(paper)


def _add_read(commands: Any) -> None:
    read = commands.add_parser(
        "read",
        help="read plain-text tab, MusicXML or MIDI",
        description="Turns plain-text tab, MusicXML or MIDI into a score; reports what was lost or guessed.",
    )
    read.add_argument("file", metavar="FILE", help="a .txt, .musicxml, .xml, .mxl or .mid file")
    _add_output(read, "FILE with the ending .yaml")
    _add_part(read)
    read.add_argument(
        "--round-to",
        default="1/16",
        choices=["1/4", "1/8", "1/16", "1/32", "1/64"],
        help="finest note value read from MIDI (default: 1/16)",
    )
    read.add_argument("--table", default="", metavar="FILE", help="table of signs for plain-text tab")
    _add_quiet(read)


def _add_write(commands: Any) -> None:
    write = commands.add_parser(
        "write",
        help="write MusicXML, MIDI, plain-text tab or sound",
        description="Writes a score as MusicXML, MIDI, plain-text tab or sound.",
    )
    write.add_argument("file", metavar="FILE", help="a score")
    write.add_argument(
        "--as", dest="form", required=True, choices=[f.value for f in Foreign], help="output format"
    )
    _add_output(write, "beside the score")
    _add_part(write)
    write.add_argument(
        "--measures", default="", metavar="1-4|LABEL", help="these measures only, for MIDI and sound"
    )
    write.add_argument("--no-repeats", action="store_true", help="play every measure once")
    write.add_argument(
        "--tempo-scale",
        type=float,
        default=1.0,
        metavar="X",
        help="speed of the sound: above 1 faster, below 1 slower (default: 1)",
    )
    write.add_argument("--click", action="store_true", help="add a metronome click to the sound")
    write.add_argument(
        "--width", type=int, default=100, metavar="N", help="columns of plain-text tab (default: 100)"
    )
    _add_quiet(write)


def _add_place(commands: Any) -> None:
    place = commands.add_parser(
        "place",
        help="choose strings, frets and fingers",
        description="Chooses strings and frets for pitches and left-hand fingers for frets; writes a new score.",
    )
    place.add_argument("file", metavar="FILE", help="a score")
    _add_output(place, "FILE-placed.yaml")
    _add_hand(place)
    place.add_argument(
        "--avoid-open", action="store_true", help="use open strings only where nothing else is possible"
    )
    place.add_argument(
        "--highest-fret", type=int, default=0, metavar="FRET", help="highest fret that may be used"
    )
    place.add_argument(
        "--position", type=int, default=0, metavar="N", help="stay in this position where possible"
    )
    _add_part(place)
    place.add_argument("--no-fingers", action="store_true", help="choose strings and frets only")
    place.add_argument("--anew", action="store_true", help="ignore written strings and fingers")
    moving = place.add_argument_group("moving music", "notes that can stay where they are do")
    moving.add_argument(
        "--tuning",
        default="",
        metavar="NAME|PITCHES",
        help='move to this tuning: "drop D", or "D2 A2 D3 G3 B3 E4"',
    )
    moving.add_argument(
        "--capo", type=int, metavar="FRET", help="move to this capo; the sound stays the same"
    )
    moving.add_argument("--instrument", default="", metavar="NAME", help="move to this instrument")
    moving.add_argument(
        "--key", default="", metavar="KEY", help='transpose to this key, by the smaller interval: "A major"'
    )
    moving.add_argument(
        "--semitones", type=int, metavar="N", help="transpose by N semitones (negative: down)"
    )
    place.add_argument("--why", action="store_true", help="explain every choice and name the next best")
    _add_quiet(place)


_SHAPES_USUAL = ShapesWish()


def _add_shapes(commands: Any) -> None:
    usual = _SHAPES_USUAL
    shapes = commands.add_parser(
        "shapes",
        help="find shapes of chords, or names of shapes",
        description="Finds shapes for chord names in any tuning, the best first; with --name, finds chord names for shapes.",
    )
    shapes.add_argument(
        "chords", nargs="+", metavar="CHORD", help='chord names (or frets such as "x 3 2 0 1 0" with --name)'
    )
    shapes.add_argument("--name", action="store_true", help="name shapes given as frets")
    shapes.add_argument(
        "--instrument",
        default=usual.instrument,
        metavar="NAME",
        help="an instrument such as ukulele or bass-5 (default: guitar)",
    )
    shapes.add_argument(
        "--tuning",
        default="",
        metavar="NAME|PITCHES",
        help='"drop D", or "D2 A2 D3 G3 B3 E4", the thickest string first',
    )
    shapes.add_argument(
        "--capo", type=int, default=0, metavar="FRET", help="count frets from this capo (default: 0)"
    )
    _add_hand(shapes)
    shapes.add_argument(
        "--most", type=int, default=usual.most, metavar="N", help=f"shapes per chord (default: {usual.most})"
    )
    shapes.add_argument(
        "--highest-fret",
        type=int,
        default=usual.highest,
        metavar="FRET",
        help=f"highest fret that may be used (default: {usual.highest})",
    )
    shapes.add_argument(
        "--inversions", action="store_true", help="allow tones other than the root in the bass"
    )
    shapes.add_argument("--rootless", action="store_true", help="allow the root to be left out")
    shapes.add_argument(
        "--as",
        dest="form",
        default="text",
        choices=[f.value for f in ShapesForm],
        help="output format (default: text)",
    )
    _add_output(shapes, "standard output, or shapes.pdf for a sheet")
    shapes.add_argument("--style", default="", metavar="NAME|FILE", help="style of the sheet")
    what = "language of the words on the sheet: de, en, es, fr (default: en)"
    shapes.add_argument("--language", default="", metavar="TAG", help=what)
    _add_dpi(shapes)
    _add_quiet(shapes, "print the answer and problems only")


def _add_schema(commands: Any) -> None:
    schema = commands.add_parser(
        "schema",
        help="copy the schemas for an editor",
        description="Copies the schemas, by which an editor completes and checks documents; with KIND, prints one.",
    )
    kinds = ", ".join(DOCUMENTS)
    schema.add_argument("kind", nargs="?", choices=DOCUMENTS, metavar="KIND", help=kinds)
    schema.add_argument(
        "-o", dest="output", default="", metavar="FOLDER", help="copy into this folder (default: schemas)"
    )
    _add_quiet(schema, "print the schema and problems only")
