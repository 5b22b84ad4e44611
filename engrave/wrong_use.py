"""Options that cannot be meant: out of range, contradicting each other, or for something else."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from engrave.products.exchange_wish import Foreign
from engrave.products.shapes_wish import ShapesForm
from engrave.products.wish import Format, Press
from engrave.score.paper_size import Orientation, PaperSize, parse_size
from engrave.source.files import is_folder

STREAM = "-"
_MOST_SHAPES = 500
"""Nobody reads more shapes of one chord (house rule)."""
_NARROWEST, _WIDEST = 40, 10_000
"""Columns of typed tab: a measure of four beats needs some thirty (house rule)."""
_MOST_BLEED = 50.0
"""Millimetres beyond the cut; a printer asks for 3 to 5 (common practice, no source)."""
_USUAL_BLEED = Press().bleed
_ENDINGS = {
    "pdf": (".pdf",),
    "svg": (".svg",),
    "png": (".png",),
    "yaml": (".yaml", ".yml"),
    "musicxml": (".musicxml", ".xml"),
    "mxl": (".mxl",),
    "midi": (".mid", ".midi"),
    "wav": (".wav",),
    "text": (".txt",),
}
"""How files of each form end. A name with another ending than any of these is nobody's business."""


def find_wrong_use(options: argparse.Namespace) -> str:
    """What is wrong with the options of a command, in words; "" when nothing is."""
    command = options.command
    if command == "check":
        return _check_size(options)
    if command == "schema":
        return (
            "one schema is printed at a time: name its kind"
            if options.output == STREAM and not options.kind
            else ""
        )
    if command == "read":
        return _check_ending(options.output, "yaml", choice=False)
    if command == "write":
        return _check_write(options) or _check_ending(options.output, options.form)
    if command == "place":
        if options.highest_fret < 0 or options.position < 0:
            return "--highest-fret and --position must be 1 or more"
        return _check_ending(options.output, "yaml", choice=False)
    if command == "shapes":
        return _check_shapes(options) or _check_ending(options.output, options.form)
    return _check_drawing(options) or _check_ending(options.output, options.format)


def press_of(options: argparse.Namespace) -> Press:
    """What is done to the finished PDF."""
    return Press(
        booklet=options.booklet,
        two_up=options.two_up,
        crop_marks=options.crop_marks,
        bleed=options.bleed,
        creep=options.creep,
        archive=options.archive,
        attach_source=options.attach_source,
    )


def size_of(options: argparse.Namespace) -> PaperSize:
    """The sheet that is asked for. Raises ValueError for a size that cannot be."""
    return PaperSize(
        parse_size(options.size) if options.size else None,
        Orientation(options.orientation) if options.orientation else None,
    )


def _check_size(options: argparse.Namespace) -> str:
    try:
        size_of(options)
    except ValueError as error:
        return f"--size: {error}"
    return ""


def _check_write(options: argparse.Namespace) -> str:
    if not 0.25 <= options.tempo_scale <= 4:
        return "--tempo-scale must be 0.25 to 4"
    form = Foreign(options.form)
    if form is not Foreign.WAV and (options.click or options.tempo_scale != 1):
        return "--click and --tempo-scale are for sound: --as wav"
    if form not in (Foreign.WAV, Foreign.MIDI) and (options.measures or options.no_repeats):
        return "--measures and --no-repeats are for what is played: --as midi or wav"
    if not _NARROWEST <= options.width <= _WIDEST:
        return f"--width must be {_NARROWEST} to {_WIDEST}"
    return ""


def _check_shapes(options: argparse.Namespace) -> str:
    if not 1 <= options.most <= _MOST_SHAPES or options.highest_fret < 1:
        return f"--most must be 1 to {_MOST_SHAPES}, --highest-fret 1 or more"
    if not 10 <= options.dpi <= 2400:
        return "--dpi must be 10 to 2400"
    if options.name and options.form != ShapesForm.TEXT.value:
        return "--name gives text only"
    if options.output == STREAM and options.form in ("png", "svg"):
        return "png and svg cannot be written to standard output"
    return ""


def _check_drawing(options: argparse.Namespace) -> str:
    files = getattr(options, "files", ["paper"])  # paper is drawn from options alone
    if len(files) > 1 and options.output and not is_folder(options.output):
        return f"-o {options.output} must be a folder when there are several files"
    if len(files) > 1 and options.trace:
        return "--trace takes one file at a time"
    if getattr(options, "jobs", 0) < 0:
        return "--jobs must be 1 or more"
    if not 10 <= options.dpi <= 2400:
        return "--dpi must be 10 to 2400"
    if options.output == STREAM and options.format != Format.PDF.value:
        return "only pdf can be written to standard output"
    return _check_clash(files, options) or _check_size(options) or _check_press(options)


def _check_clash(files: Sequence[str], options: argparse.Namespace) -> str:
    """Two files with one result: the second would wipe out the first."""
    seen: dict[Path, str] = {}
    for file in files:
        target = Path(options.output or Path(file).parent) / Path(file).stem
        if target in seen:
            return f"{seen[target]} and {file} would both become {target}.{options.format}"
        seen[target] = file
    return ""


def _check_press(options: argparse.Namespace) -> str:
    if options.format != Format.PDF.value and not press_of(options).is_idle:
        return "booklets, crop marks and archive files are pdf only"
    if options.creep and not options.booklet:
        return "--creep is for --booklet"
    if options.bleed != _USUAL_BLEED and not options.crop_marks:
        return "--bleed is for --crop-marks"
    if not 0 <= options.bleed <= _MOST_BLEED:
        return f"--bleed must be 0 to {_MOST_BLEED:g}"
    return ""


def _check_ending(output: str, form: str, choice: bool = True) -> str:
    """A name that ends like another form; `choice` when --as could ask for that form."""
    ending = Path(output).suffix.lower()
    if output == STREAM or is_folder(output) or ending in _ENDINGS[form]:
        return ""
    other = next((name for name, endings in _ENDINGS.items() if ending in endings), "")
    if not other:
        return ""
    usual = Path(output).with_suffix(_ENDINGS[form][0])
    return f"-o {output} ends like {other}, but {form} is written{' (see --as)' if choice else ''}; name it {usual}"
