"""What the caller wants of a document."""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple

from engrave.problems import NOWHERE, Location
from engrave.score.paper_size import AS_USUAL, PaperSize
from engrave.score.structure import View
from engrave.source.tree import SourceMap


class Format(Enum):
    """What can be drawn."""

    PDF = "pdf"
    SVG = "svg"
    PNG = "png"


class Press(NamedTuple):
    """What is done to a finished PDF for printing and keeping. `bleed` and `creep` are in millimetres.

    `archive`: a PDF/A file; `attach_source`: with the YAML text inside.
    """

    booklet: bool = False
    two_up: bool = False
    crop_marks: bool = False
    bleed: float = 3.0
    creep: float = 0.0
    archive: bool = False
    attach_source: bool = False

    @property
    def is_idle(self) -> bool:
        """True when the PDF stays as it is drawn."""
        return not (self.booklet or self.two_up or self.crop_marks or self.archive or self.attach_source)


class Wish(NamedTuple):
    """What the caller wants of a document. `output` is "" (beside the source), a file, or `-` (standard output)."""

    output: str = ""
    view: View | None = None
    style: str = ""
    format: Format = Format.PDF
    trace: str = ""
    dots_per_inch: float = 150.0
    press: Press = Press()
    jobs: int = 0
    """How many processes a book may use; 0 for as many as the machine has."""
    cache: str = ""
    """The folder in which finished songs are kept between runs; "" for none."""
    hand: str = ""
    """Whose reach is looked at; "" for nobody's."""
    difficulty: bool = False
    """A check reports how hard each measure is."""
    paper_size: PaperSize = AS_USUAL
    """The sheet; it outranks what the document says."""

    def style_of(self, tree: SourceMap, usual: str = "") -> tuple[str, Location]:
        """The name of the style of a document, and where the document says so, if it does."""
        if self.style:
            return self.style, NOWHERE
        name = tree.get("style")
        return (name, tree.value_location("style")) if isinstance(name, str) else (usual, NOWHERE)
