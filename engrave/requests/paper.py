"""What is asked of blank paper."""

from __future__ import annotations

from typing import Any

from engrave.requests.option import group, option, request
from engrave.requests.pages import ONLY_PDF_STREAMS, Format, Prepress, SheetSize, dots_option, quiet_option
from engrave.requests.targets import STREAM, check_ending


def split_words(text: str) -> tuple[str, ...]:
    """Words with commas between them."""
    return tuple(word.strip() for word in text.split(","))


@request
class BlankPaper:
    """Blank paper; the fields are the keys of a paper document, None where nothing is said."""

    instrument: str | None = option(
        "strings and clef of a guitar, bass, ukulele, banjo ...", value="NAME", default=None
    )
    strings: int | None = option(
        "strings of the tab, 0 for no tab",
        choices=("0", "4", "5", "6", "7", "8"),
        convert=int,
        default=None,
        usual="6",
    )
    staff: bool | None = option("put a five-line staff over each tab", default=None)
    kinds: tuple[str, ...] | None = option(
        "kinds of system, repeated down the page: staff, tab, staff+tab, chord-grids",
        value="KIND[,KIND...]",
        convert=split_words,
        default=None,
        usual="tab",
    )
    tuning: str | None = option("tuning for --string-names", value="NAME", default=None)
    systems: int | None = option(
        "systems per page", value="N", convert=int, default=None, usual="as many as fit"
    )
    line_distance: float | None = option(
        "distance between lines in millimetres", value="MM", convert=float, default=None
    )
    measures: int | None = option(
        "measures in each system", value="N", convert=int, default=None, usual="none"
    )
    clef: bool | None = option("leave out the clefs", flag="--no-clef", present=False, default=None)
    string_names: bool | None = option("print the name of each string", default=None)
    title: bool | None = option("print a line for a title", default=None)
    date: bool | None = option("print a line for a date", default=None)
    ink: str | None = option("colour of the lines", choices=("black", "grey"), default=None, usual="black")
    pages: int | None = option("number of pages", value="N", convert=int, default=None, usual="1")
    holes: str | None = option(
        "leave room for punched holes and mark them",
        choices=("none", "two", "three", "four"),
        default=None,
        usual="none",
    )
    language: str | None = option(
        "language of the words on the sheet: de, en, es, fr", value="TAG", default=None, usual="en"
    )
    footer: str | None = option("small text at the foot", value="WORDS", default=None)

    def keys(self) -> dict[str, Any]:
        """What is said, by the keys of a paper document."""
        values = {name.replace("_", "-"): value for name, value in vars(self).items() if value is not None}
        return {name: list(value) if isinstance(value, tuple) else value for name, value in values.items()}


@request
class PaperRequest:
    """Draw blank paper without a file."""

    paper: BlankPaper = group(default_factory=BlankPaper)
    sheet: SheetSize = group(default_factory=SheetSize)
    output: str = option("write to this file", flag="-o", value="PATH", default="", usual="paper.pdf")
    form: Format = option("output format", flag="--as", choices=Format, default=Format.PDF)
    style: str = option("style of the lines", value="NAME|FILE", default="")
    dpi: float = dots_option()
    prepress: Prepress = group(default_factory=Prepress)
    quiet: bool = quiet_option()

    def find_misuse(self) -> str:
        """What is wrong with the name of the result; "" when nothing is."""
        if self.output == STREAM and self.form is not Format.PDF:
            return ONLY_PDF_STREAMS
        return check_ending(self.output, self.form.value)
