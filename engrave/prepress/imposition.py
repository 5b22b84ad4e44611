"""Finished PDF files laid out for the printer: saddle-stitched booklets, two pages on a sheet, crop marks.

All functions take a whole PDF file and give a whole PDF file, and equal input gives equal bytes: nothing is read from
a clock, and the file's /ID is a digest of the input and of what was asked. Title, author and the other texts of the
Info dictionary are kept, and so is the language of the catalog. A page's place on the paper is its TrimBox, which is
the CropBox or the MediaBox where the file names none (ISO 32000-1, 14.11.2), seen upright when the page is rotated.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from io import BytesIO
from typing import NamedTuple

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.errors import PyPdfError
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    PdfObject,
    RectangleObject,
    TextStringObject,
)

from engrave.prepress.crop_marks import CropMarks
from engrave.prepress.pypdf_inside import add_object, set_identifier
from engrave.problems import CannotBeDrawn

POINTS_PER_MM = 72 / 25.4
"""PDF's unit is 1/72 inch (ISO 32000-1, 8.3.2.3); an inch is 25.4 mm by definition (fact)."""
SAME_SIZE_MM = 0.05
"""Sizes that differ by less are rounding of one size (algorithm: house rule)."""
PAGES_PER_SHEET = 4
"""A sheet folded once has two leaves, each with two pages."""
_KEPT_IN_CATALOG = ("/Lang", "/OCProperties", "/OutputIntents")
"""Entries that say how the text is spoken, which layers show and what colours mean; none of them names a page."""
_ID_BYTES = 16
"""Length of a file identifier, that of the digest proposed in ISO 32000-1, 14.4."""


class SheetSides(NamedTuple):
    """One sheet of a booklet: page numbers from 1 as (left, right) of each side as one looks at it; None is blank."""

    front: tuple[int | None, int | None]
    back: tuple[int | None, int | None]


_Side = tuple[tuple[int | None, int | None], float]
"""One side of a sheet: the page numbers of its halves, and how far their content moves to the middle, in points."""


class _Box(NamedTuple):
    """A rectangle in points, in the coordinates of a page."""

    left: float
    bottom: float
    right: float
    top: float

    def grown(self, by: float) -> _Box:
        """This box with its edges moved outward by `by` points."""
        return _Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def rectangle(self) -> RectangleObject:
        """This box as an object of the file, to 1/10000 point."""
        return RectangleObject([FloatObject(f"{edge:.4f}") for edge in self])


def booklet_sheets(pages: int) -> list[SheetSides]:
    """The sheets of a saddle-stitched booklet, outermost first (common practice, no source).

    With n the number of pages filled up to a multiple of four, sheet s counted from 0 has n-2s and 2s+1 on its front,
    2s+2 and n-2s-1 on its back; the back is read after turning the sheet about its short edge. Raises `ValueError`
    for less than one page.
    """
    if pages < 1:
        raise ValueError(f"a booklet needs at least one page, not {pages}")
    sheets = math.ceil(pages / PAGES_PER_SHEET)
    read = [*range(1, pages + 1), *[None] * (sheets * PAGES_PER_SHEET - pages)]
    pairs = [(read[k], read[-1 - k]) for k in range(2 * sheets)]
    return [SheetSides(front[::-1], back) for front, back in zip(pairs[::2], pairs[1::2])]


def impose_booklet(pdf: bytes, creep_mm: float = 0.0) -> bytes:
    """The booklet of `booklet_sheets`, as a PDF file whose pages are the fronts and backs of the sheets in turn.

    A sheet is twice as wide as a page and as high; pages keep their scale (two ISO 216 pages of A5 make 296 x 210 mm,
    1 mm less than A4). To be printed on both sides, turned about the short edge, folded in the middle with the first
    sheet outside.

    Creep: inner sheets of a folded booklet stick out by the thickness of the sheets around them, and the trimmed fore
    edge would be narrower there. So the content of sheet s, counted from 0 at the outermost, is moved towards the
    spine by s * `creep_mm`, where `creep_mm` is the thickness of the paper; what would cross the spine is cut off
    (common practice, no source).

    Links, other annotations, bookmarks and the structure for screen readers are dropped: the pages they speak of are
    no pages any more. Raises `CannotBeDrawn` if the file cannot be read, if its pages differ in size, or if the creep is
    negative or moves a page off its half of the sheet.
    """
    reader = _read(pdf)
    width, _ = _common_size(reader.pages)
    sheets = booklet_sheets(len(reader.pages))
    creep = creep_mm * POINTS_PER_MM
    if not 0 <= creep * max(1, len(sheets) - 1) < width:
        raise CannotBeDrawn(f"a creep of {creep_mm} mm does not fit {len(sheets)} sheets")
    sides = [(halves, s * creep) for s, sheet in enumerate(sheets) for halves in sheet]
    return _impose(pdf, reader, sides, f"booklet {creep_mm!r}")


def impose_two_up(pdf: bytes, opens_right: bool = False) -> bytes:
    """Pages 1 and 2, 3 and 4 and so on side by side on sheets twice as wide as a page, at their own scale.

    A document that `opens_right` starts with a right-hand page, as books do: 1 stands alone at the right, then 2 and 3
    as a reader sees them. A half without a page is blank. Links, other annotations, bookmarks and
    the structure for screen readers are dropped, as in `impose_booklet`. Raises `CannotBeDrawn` if the file cannot be
    read or its pages differ in size.
    """
    reader = _read(pdf)
    count = len(reader.pages)
    numbers = [None] * opens_right + [*range(1, count + 1)]
    numbers += [None] * (len(numbers) % 2)
    sides = [((left, right), 0.0) for left, right in zip(numbers[::2], numbers[1::2])]
    return _impose(pdf, reader, sides, f"two up {opens_right}")


def add_crop_marks(pdf: bytes, marks: CropMarks, bleed_mm: float) -> bytes:
    """The same pages on larger paper with eight crop marks each, two at every corner.

    The TrimBox is the old page, the BleedBox lies `bleed_mm` around it, the MediaBox and CropBox around that have
    room for the marks. Marks are black, in line with the edges of the trim, and start at the bleed's edge (common
    practice, no source). Content beyond the bleed is cut off.

    All coordinates stay as they were: the paper grows around the old origin, so the MediaBox starts below zero.
    Hence bookmarks, links and all else that names a place keep theirs. Pages may differ in size. Raises `CannotBeDrawn`
    if the file cannot be read or the bleed is negative.
    """
    bleed = bleed_mm * POINTS_PER_MM
    if not 0 <= bleed < math.inf:
        raise CannotBeDrawn(f"a bleed of {bleed_mm} mm is not a distance outward")
    reader = _read(pdf)
    writer = PdfWriter(clone_from=reader)
    after = _add_stream(writer, b"Q")
    before: dict[bytes, IndirectObject] = {}
    for page in writer.pages:
        trim = _page_box(page)
        code = _crop_marks(trim, marks, bleed)
        start = before[code] if code in before else before.setdefault(code, _add_stream(writer, code))
        page[NameObject("/Contents")] = ArrayObject([start, *_content_streams(page), after])
        paper = trim.grown(bleed + (marks.length + marks.room) * POINTS_PER_MM).rectangle()
        page[NameObject("/MediaBox")] = page[NameObject("/CropBox")] = paper
        page[NameObject("/TrimBox")] = trim.rectangle()
        page[NameObject("/BleedBox")] = trim.grown(bleed).rectangle()
    return _written(pdf, writer, reader, f"crop marks {bleed_mm!r} {tuple(marks)!r}")


def _read(pdf: bytes) -> PdfReader:
    try:
        reader = PdfReader(BytesIO(pdf))
        if reader.is_encrypted:
            raise CannotBeDrawn("the PDF file is encrypted")
        pages = list(reader.pages)
    except PyPdfError as error:
        raise CannotBeDrawn(f"the PDF file cannot be read: {error}") from error
    if not pages:
        raise CannotBeDrawn("the PDF file has no pages")
    for number, page in enumerate(pages, 1):
        if page.user_unit != 1:
            raise CannotBeDrawn(f"page {number} has a unit of its own (UserUnit)")
    return reader


def _page_box(page: PageObject) -> _Box:
    box = page.trimbox
    return _Box(float(box.left), float(box.bottom), float(box.right), float(box.top))


def _upright_size(page: PageObject) -> tuple[float, float]:
    left, bottom, right, top = _page_box(page)
    return (top - bottom, right - left) if page.rotation % 180 else (right - left, top - bottom)


def _upright(page: PageObject) -> tuple[float, float, float, float, float, float]:
    """The matrix that turns a page as its /Rotate says and puts its lower left corner at the origin."""
    box = _page_box(page)
    return {
        0: (1.0, 0.0, 0.0, 1.0, -box.left, -box.bottom),
        90: (0.0, -1.0, 1.0, 0.0, -box.bottom, box.right),
        180: (-1.0, 0.0, 0.0, -1.0, box.right, box.top),
        270: (0.0, 1.0, -1.0, 0.0, box.top, -box.left),
    }[page.rotation % 360]


def _common_size(pages: Sequence[PageObject]) -> tuple[float, float]:
    """The size in points that all pages share; `CannotBeDrawn` names the first that differs, in mm."""
    first = _upright_size(pages[0])
    for number, page in enumerate(pages, 1):
        size = _upright_size(page)
        if any(abs(a - b) > SAME_SIZE_MM * POINTS_PER_MM for a, b in zip(size, first)):
            here, there = (" x ".join(f"{edge / POINTS_PER_MM:.1f}" for edge in s) for s in (size, first))
            raise CannotBeDrawn(
                f"page {number} is {here} mm but page 1 is {there} mm: all must have one size"
            )
    return first


def _impose(pdf: bytes, reader: PdfReader, sides: Sequence[_Side], task: str) -> bytes:
    """A file with one page for each side. Every old page becomes a form, so fonts and pictures stay shared."""
    pages = reader.pages
    width, height = _common_size(pages)
    writer = PdfWriter()
    for halves, inward in sides:
        sheet = writer.add_blank_page(2 * width, height)
        forms = DictionaryObject()
        code = []
        for half, number in enumerate(halves):
            if number is None:
                continue
            left = half * width
            x = left - inward if half else left + inward
            forms[NameObject(f"/Half{half}")] = _form(writer, pages[number - 1])
            code.append(
                f"q {left:.4f} 0 {width:.4f} {height:.4f} re W n 1 0 0 1 {x:.4f} 0 cm /Half{half} Do Q"
            )
        sheet[NameObject("/Resources")] = DictionaryObject({NameObject("/XObject"): forms})
        sheet[NameObject("/Contents")] = _add_stream(writer, "\n".join(code).encode())
    _keep_metadata(writer, reader)
    return _written(pdf, writer, reader, task)


def _form(writer: PdfWriter, page: PageObject) -> IndirectObject:
    """The page as a form XObject (ISO 32000-1, 8.10) that stands upright with its lower left corner at the origin."""
    entries: dict[str, PdfObject] = {
        "/Type": NameObject("/XObject"),
        "/Subtype": NameObject("/Form"),
        "/BBox": _page_box(page).rectangle(),
        "/Matrix": ArrayObject(FloatObject(f"{value:.4f}") for value in _upright(page)),
    }
    for key in ("/Resources", "/Group"):
        if key in page:
            entries[key] = page.raw_get(key).clone(writer)
    contents = page.get_contents()
    return _add_stream(writer, b"" if contents is None else contents.get_data(), entries)


def _content_streams(page: PageObject) -> list[IndirectObject]:
    """The streams of a page's content, which may be none, one or an array of several."""
    if "/Contents" not in page:
        return []
    contents = page["/Contents"]
    return list(contents) if isinstance(contents, ArrayObject) else [page.raw_get("/Contents")]


def _crop_marks(trim: _Box, marks: CropMarks, bleed: float) -> bytes:
    """Operators for the eight marks, and a clip to the bleed that a closing Q has to end."""
    start, end = bleed, bleed + marks.length * POINTS_PER_MM
    lines = []
    for x, right in ((trim.left, -1), (trim.right, 1)):
        for y, up in ((trim.bottom, -1), (trim.top, 1)):
            lines.append(f"{x + right * start:.4f} {y:.4f} m {x + right * end:.4f} {y:.4f} l")
            lines.append(f"{x:.4f} {y + up * start:.4f} m {x:.4f} {y + up * end:.4f} l")
    paper = trim.grown(bleed)
    clip = f"{paper.left:.4f} {paper.bottom:.4f} {paper.right - paper.left:.4f} {paper.top - paper.bottom:.4f} re W n"
    return "\n".join(["q", f"0 G {marks.width:.4f} w", *lines, "S", "Q", "q", clip]).encode()


def _add_stream(
    writer: PdfWriter, data: bytes, entries: dict[str, PdfObject] | None = None
) -> IndirectObject:
    stream = DecodedStreamObject()
    stream.set_data(data)
    packed = stream.flate_encode()
    for key, value in (entries or {}).items():
        packed[NameObject(key)] = value
    return add_object(writer, packed)


def _keep_metadata(writer: PdfWriter, reader: PdfReader) -> None:
    info: DictionaryObject = reader.metadata or DictionaryObject()
    writer.metadata = {key: value for key, value in info.items() if isinstance(value, TextStringObject)}
    for key in _KEPT_IN_CATALOG:
        if key in reader.root_object:
            writer.root_object[NameObject(key)] = reader.root_object.raw_get(key).clone(writer)


def _written(pdf: bytes, writer: PdfWriter, reader: PdfReader, task: str) -> bytes:
    """The new file; its identifier is a digest of the old one, `pdf`, and of the task."""
    digest = ByteStringObject(hashlib.sha256(task.encode() + b"\n" + pdf).digest()[:_ID_BYTES])
    set_identifier(writer, digest, digest)
    writer.pdf_header = reader.pdf_header
    buffer = BytesIO()
    writer.write(buffer)
    return buffer.getvalue()
