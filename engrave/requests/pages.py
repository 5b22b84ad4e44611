"""What is asked of pages: how they look, in what form they are drawn, what is done to the finished file."""

from __future__ import annotations

from enum import Enum

from engrave.documents.edition import Edition
from engrave.reading.settle import USUAL_HAND
from engrave.requests.option import group, option, request
from engrave.requests.targets import STREAM, check_clash, check_ending, in_folder
from engrave.score.paper_size import Orientation, PaperSize, parse_size
from engrave.score.structure import View

_MOST_BLEED = 50.0
"""Millimetres beyond the cut; a printer asks for 3 to 5 (common practice, no source)."""
LEAST_DPI, MOST_DPI = 10, 2400
"""Coarser pictures cannot be read, finer ones are finer than any printer (common practice, no source)."""


class Format(Enum):
    """What can be drawn."""

    PDF = "pdf"
    SVG = "svg"
    PNG = "png"


_PDF = (Format.PDF.value,)


@request
class SheetSize:
    """The sheet; it outranks what a document says."""

    size: str = option(
        "A3, A4, A5, Letter, Legal, or width x height in mm", value="NAME|WxH", default="", usual="A4"
    )
    orientation: Orientation | None = option(
        "upright or sideways", choices=Orientation, default=None, usual="portrait"
    )

    @property
    def paper_size(self) -> PaperSize:
        """The sheet that is asked for. Raises ValueError for a size that cannot be."""
        return PaperSize(parse_size(self.size) if self.size else None, self.orientation)

    def find_misuse(self) -> str:
        """What is wrong with the size; "" when nothing is."""
        try:
            parse_size(self.size or "A4")
        except ValueError as error:
            return f"--size: {error}"
        return ""


def instrument_option(words: str) -> str:
    """What instrument music is put on."""
    found: str = option(words, value="NAME", default="")
    return found


def fit_option() -> bool:
    """Whether music is changed so that it fits its instrument."""
    found: bool = option(
        "take the octave, key and capo that fit the instrument best", default=False, needs="instrument"
    )
    return found


@request
class Looks:
    """How a document looks; it outranks what the document says."""

    instrument: str = instrument_option("put a score on this instrument, its strings chosen anew")
    fit: bool = fit_option()

    view: View | None = option(
        "how fretted parts are shown; lead-sheet: the tune alone",
        choices=View,
        default=None,
        usual="as the score says",
    )
    style: str = option(
        "one of {styles}, or a style file", value="NAME|FILE", default="", usual="as the document says"
    )
    edition: Edition | None = option(
        "whom a handout or method is for: student leaves the answers out",
        flag="--for",
        choices=Edition,
        default=None,
        usual="as the document says",
    )
    sheet: SheetSize = group(default_factory=SheetSize)


@request
class Prepress:
    """What is done to a finished PDF for printing and keeping. `bleed` and `creep` are in millimetres."""

    booklet: bool = option(
        "impose pages for folding, two on each side of a sheet", default=False, forms=_PDF, clashes="two_up"
    )
    two_up: bool = option("two pages side by side on each sheet", default=False, forms=_PDF)
    creep: float = option(
        "move inner sheets towards the fold", value="MM", convert=float, default=0.0, needs="booklet", least=0
    )
    crop_marks: bool = option("print marks where the sheet is cut", default=False, forms=_PDF)
    bleed: float = option(
        "margin beyond the cut",
        value="MM",
        convert=float,
        default=3.0,
        needs="crop_marks",
        least=0,
        most=_MOST_BLEED,
    )
    archive: bool = option("write a PDF/A-2b file", default=False, forms=_PDF)
    attach_source: bool = option("attach the YAML text, as a PDF/A-3b file", default=False, forms=_PDF)

    @property
    def is_idle(self) -> bool:
        """True when the PDF stays as it is drawn."""
        return not (self.booklet or self.two_up or self.crop_marks or self.archive or self.attach_source)


def quiet_option(words: str = "print problems only") -> bool:
    """Whether anything is said beside what was asked for."""
    found: bool = option(words, default=False)
    return found


def jobs_option() -> int:
    """How many processes make the songs of a book; 0 for as many as the machine has."""
    found: int = option(
        "processes for a songbook", value="N", convert=int, default=0, usual="one per processor", least=1
    )
    return found


def dots_option(forms: tuple[str, ...] = (Format.PNG.value,)) -> float:
    """How fine pictures are drawn."""
    found: float = option(
        "dots per inch of png pictures",
        flag="--dpi",
        value="N",
        convert=float,
        default=150.0,
        forms=forms,
        least=LEAST_DPI,
        most=MOST_DPI,
    )
    return found


_FILES = "a score, handout, songbook, method or paper; - reads standard input"
_OUTPUT = "write to this file, or into this folder; - for standard output"
ONLY_PDF_STREAMS = "only pdf can be written to standard output"


@request
class MakeRequest:
    """Check and draw documents."""

    files: tuple[str, ...] = option(
        f"{_FILES}; a folder stands for all documents in it, of which those are made that have changed",
        flag="",
        value="FILE",
        many=True,
    )
    output: str = option(_OUTPUT, flag="-o", value="PATH", default="", usual="beside the source")
    form: Format = option("output format", flag="--as", choices=Format, default=Format.PDF)
    looks: Looks = group(default_factory=Looks)
    jobs: int = jobs_option()
    cache: str = option("keep a songbook's finished songs in this folder", value="FOLDER", default="")
    trace: str = option("write every placed mark as JSON", value="FILE", default="")
    dpi: float = dots_option()
    prepress: Prepress = group(default_factory=Prepress)
    quiet: bool = quiet_option()

    def find_misuse(self) -> str:
        """What is wrong with the names of files; "" when nothing is."""
        if len(self.files) > 1 and self.trace:
            return "--trace takes one file at a time"
        if self.output == STREAM and self.form is not Format.PDF:
            return ONLY_PDF_STREAMS
        return check_clash(self.files, self.output, self.form.value) or check_ending(
            self.output, self.form.value
        )

    def output_of(self, file: str) -> str:
        """Where the result of `file` goes; "" beside it."""
        return in_folder(self.output, file, self.form.value)


@request
class CheckRequest:
    """Check documents and draw nothing: everything that is found, in one run."""

    files: tuple[str, ...] = option(_FILES, flag="", value="FILE", many=True)
    looks: Looks = group(default_factory=Looks)
    hand: str = option(
        "check the reach of this hand: beginner, intermediate, advanced or a hand file",
        value="NAME|FILE",
        default=USUAL_HAND,
    )
    difficulty: bool = option("report how hard each measure of a score is", default=False)
    jobs: int = jobs_option()
    quiet: bool = quiet_option()
