"""Sheets for folding, two pages on a sheet, crop marks: read back from the finished files.

Sizes: ISO 216. Saddle stitch, creep and crop marks: common practice, no source. Boxes: ISO 32000-1, 14.11.2.
"""

from __future__ import annotations

from io import BytesIO

import pdfplumber
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PageObject, PdfReader, PdfWriter
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from engrave.fonts.face_files import face_file
from engrave.prepress.crop_marks import read_crop_marks
from engrave.prepress.imposition import (
    SheetSides,
    add_crop_marks,
    booklet_sheets,
    impose_booklet,
    impose_two_up,
)

MM = 72 / 25.4
A5 = (148.0, 210.0)
LINK = (30 * MM, 40 * MM, 60 * MM, 50 * MM)


def mark_corners(pdf, bleed=3.0, **other):
    """The file with crop marks as usual, or with some of their numbers changed."""
    return add_crop_marks(pdf, read_crop_marks()._replace(**other), bleed)


def make_pdf(pages, size=A5, other_sizes=None):
    """Each page: its number in an embedded face, a square of 4 mm at (20, 30) mm, a bookmark and a link to page 1."""
    pdfmetrics.registerFont(TTFont("Press", str(face_file("serif"))))
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, lang="de", initialFontName="Press")
    canvas.setTitle("Abendmusik")
    canvas.setAuthor("Jörg Müller")
    for number in range(1, pages + 1):
        width, height = (other_sizes or {}).get(number, size)
        canvas.setPageSize((width * MM, height * MM))
        canvas.bookmarkPage(f"p{number}")
        canvas.addOutlineEntry(f"Page {number}", f"p{number}")
        canvas.setFont("Press", 20)
        canvas.drawString(50 * MM, 100 * MM, str(number))
        canvas.rect(20 * MM, 30 * MM, 4 * MM, 4 * MM, stroke=0, fill=1)
        canvas.linkAbsolute("", "p1", LINK)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def read_sides(pdf):
    """Each PDF page as its (left, right) numbers, None for blank halves."""
    sides = []
    with pdfplumber.open(BytesIO(pdf)) as file:
        for page in file.pages:
            halves = []
            for left in (0, page.width / 2):
                half = page.within_bbox((left, 0, left + page.width / 2, page.height))
                halves.append(int(half.extract_text() or 0) or None)
            sides.append(tuple(halves))
    return sides


def squares(pdf):
    """The squares of each page as (left, bottom) in mm from the corner of the paper."""
    with pdfplumber.open(BytesIO(pdf)) as file:
        return [
            [((r["x0"] - page.bbox[0]) / MM, (page.bbox[3] - r["bottom"]) / MM) for r in page.rects]
            for page in file.pages
        ]


def fold(sheets):
    """The pages in reading order of sheets stacked with the first one outermost, folded in the middle, spine left.

    A leaf is half a sheet with one page on either side. Turned about its short edge, the left half of a sheet shows
    the right half of its back. Before the middle of the booklet one reads the right halves from the outermost sheet
    inward, fronts first; then the left halves outward, backs first.
    """
    right_leaves = [(front[1], back[0]) for front, back in sheets]
    left_leaves = [(back[1], front[0]) for front, back in sheets]
    return [page for leaf in right_leaves + left_leaves[::-1] for page in leaf]


def test_eight_pages_make_the_two_sheets_every_printer_knows():
    # Common practice, no source.
    assert booklet_sheets(8) == [SheetSides((8, 1), (2, 7)), SheetSides((6, 3), (4, 5))]


def test_blank_pages_come_last():
    assert booklet_sheets(5) == [SheetSides((None, 1), (2, None)), SheetSides((None, 3), (4, 5))]
    with pytest.raises(ValueError, match="at least one"):
        booklet_sheets(0)


@given(st.integers(1, 400))
def test_the_folded_booklet_reads_in_order(pages):
    read = fold(booklet_sheets(pages))
    assert len(read) % 4 == 0
    assert len(read) - pages < 4
    assert read == [*range(1, pages + 1), *[None] * (len(read) - pages)]


@pytest.mark.parametrize("pages", [1, 4, 5, 6, 7, 8, 31, 64])
def test_the_printed_file_folds_to_a_booklet_in_order(pages):
    sides = read_sides(impose_booklet(make_pdf(pages)))
    read = fold(list(zip(sides[::2], sides[1::2])))
    assert read[:pages] == list(range(1, pages + 1))
    assert set(read[pages:]) <= {None}


def test_marks_lie_where_they_lay_on_both_halves():
    pdf = impose_booklet(make_pdf(8))
    for page in PdfReader(BytesIO(pdf)).pages:
        assert (float(page.mediabox.width) / MM, float(page.mediabox.height) / MM) == pytest.approx(
            (296, 210), abs=0.01
        )
    for found in squares(pdf):
        assert found == [pytest.approx((20, 30), abs=0.01), pytest.approx((148 + 20, 30), abs=0.01)]


def test_creep_moves_inner_sheets_towards_the_spine():
    found = squares(impose_booklet(make_pdf(12), creep_mm=0.5))
    for side, (left, right) in enumerate(found):
        moved = side // 2 * 0.5
        assert left == pytest.approx((20 + moved, 30), abs=0.01)
        assert right == pytest.approx((168 - moved, 30), abs=0.01)


@pytest.mark.parametrize("creep", [-0.1, 80.0, float("nan"), float("inf")])
def test_a_creep_that_cannot_be_is_refused(creep):
    with pytest.raises(ValueError, match="creep"):
        impose_booklet(make_pdf(12), creep_mm=creep)


@pytest.mark.parametrize(("pages", "last"), [(1, (1, None)), (4, (3, 4)), (5, (5, None))])
def test_two_up_goes_in_order_at_full_scale(pages, last):
    pdf = impose_two_up(make_pdf(pages))
    sides = read_sides(pdf)
    assert sides[-1] == last
    assert [n for side in sides for n in side if n] == list(range(1, pages + 1))
    assert squares(pdf)[0][0] == pytest.approx((20, 30), abs=0.01)


def test_two_up_shows_the_pages_of_a_book_as_a_reader_sees_them():
    """Common practice, no source."""
    assert read_sides(impose_two_up(make_pdf(5), opens_right=True)) == [(None, 1), (2, 3), (4, 5)]
    assert read_sides(impose_two_up(make_pdf(4), opens_right=True)) == [(None, 1), (2, 3), (4, None)]


@pytest.mark.parametrize("impose", [impose_booklet, impose_two_up])
def test_a_page_of_another_size_is_named_with_its_size(impose):
    pdf = make_pdf(4, other_sizes={3: (105.0, 148.0)})
    with pytest.raises(ValueError, match=r"page 3 is 105\.0 x 148\.0 mm"):
        impose(pdf)


@pytest.mark.parametrize("impose", [impose_booklet, impose_two_up, mark_corners])
@pytest.mark.parametrize("broken", [b"", b"no PDF at all", make_pdf(1)[:200]])
def test_what_is_no_pdf_is_refused(impose, broken):
    with pytest.raises(ValueError):
        impose(broken)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_rotated_pages_stand_as_a_reader_shows_them(turn):
    writer = PdfWriter(clone_from=BytesIO(make_pdf(1)))
    writer.pages[0].rotate(turn)
    buffer = BytesIO()
    writer.write(buffer)
    width, _ = A5 if turn % 180 == 0 else A5[::-1]
    # The square of 4 mm at (20, 30) mm after the sheet was turned clockwise (ISO 32000-1, table 30, Rotate).
    left, bottom = {0: (20, 30), 90: (30, 148 - 24), 180: (148 - 24, 210 - 34), 270: (210 - 34, 20)}[turn]
    imposed = impose_two_up(buffer.getvalue())
    assert squares(imposed)[0] == [pytest.approx((left, bottom), abs=0.01)]
    assert float(PdfReader(BytesIO(imposed)).pages[0].mediabox.width) == pytest.approx(
        2 * width * MM, abs=0.01
    )


def box(page: PageObject, name):
    return [float(edge) / MM for edge in page[name]]


@pytest.mark.parametrize("bleed", [0.0, 3.0, 5.0])
def test_boxes_nest_around_the_old_page(bleed):
    for page in PdfReader(BytesIO(mark_corners(make_pdf(2), bleed))).pages:
        grown = bleed + 6
        assert box(page, "/TrimBox") == pytest.approx([0, 0, 148, 210], abs=0.001)
        assert box(page, "/BleedBox") == pytest.approx([-bleed, -bleed, 148 + bleed, 210 + bleed], abs=0.001)
        assert box(page, "/MediaBox") == pytest.approx([-grown, -grown, 148 + grown, 210 + grown], abs=0.001)
        assert box(page, "/CropBox") == box(page, "/MediaBox")


@pytest.mark.parametrize("bleed", [0.0, 3.0])
def test_eight_marks_of_5_mm_point_at_the_trim_from_outside_the_bleed(bleed):
    with pdfplumber.open(BytesIO(mark_corners(make_pdf(1), bleed))) as file:
        page = file.pages[0]
        left, _, right, bottom = page.bbox
        lines = page.lines
    grown = bleed + 6
    assert (right - left) / MM == pytest.approx(148 + 2 * grown, abs=0.01)
    assert len(lines) == 8
    ends = set()
    for line in lines:
        assert line["linewidth"] == 0.25
        xs = [(line[k] - left) / MM - grown for k in ("x0", "x1")]
        ys = [(bottom - line[k]) / MM - grown for k in ("top", "bottom")]
        across, along, size = (xs, ys, A5[1]) if abs(xs[1] - xs[0]) < 0.01 else (ys, xs, A5[0])
        other = A5[0] if size == A5[1] else A5[1]
        assert min(abs(across[0]), abs(across[0] - other)) < 0.01
        assert abs(along[1] - along[0]) == pytest.approx(5, abs=0.01)
        near = min(min(abs(v), abs(v - size)) for v in along)
        assert near == pytest.approx(bleed, abs=0.01)
        assert all(v < 0.01 or v > size - 0.01 for v in along)
        ends.add((size, round(across[0]), round(sum(along) / 2)))
    assert len(ends) == 8


def test_marks_are_as_long_and_heavy_as_asked_and_the_sheet_has_room_for_them():
    with pdfplumber.open(BytesIO(mark_corners(make_pdf(1), 3.0, length=8.0, width=0.5, room=2.0))) as file:
        page = file.pages[0]
        assert page.width / MM == pytest.approx(148 + 2 * (3 + 8 + 2), abs=0.01)
        assert {round(max(mark["width"], mark["height"]) / MM, 2) for mark in page.lines} == {8.0}
        assert {mark["linewidth"] for mark in page.lines} == {0.5}


def test_crop_marks_leave_content_links_and_bookmarks_in_place():
    old, new = (PdfReader(BytesIO(pdf)) for pdf in (make_pdf(3), mark_corners(make_pdf(3))))
    assert squares(mark_corners(make_pdf(3)))[0] == [pytest.approx((20 + 9, 30 + 9), abs=0.01)]
    assert [entry.title for entry in new.outline] == ["Page 1", "Page 2", "Page 3"]
    assert [new.get_destination_page_number(entry) for entry in new.outline] == [0, 1, 2]
    for before, after in zip(old.pages, new.pages):
        link = after["/Annots"][0].get_object()
        assert [float(v) for v in link["/Rect"]] == [
            float(v) for v in before["/Annots"][0].get_object()["/Rect"]
        ]
        assert after.extract_text() == before.extract_text()
        target = link["/Dest"]
        target = target if isinstance(target, list) else new.root_object["/Dests"][target]
        assert target[0].get_object() == new.pages[0]


def test_a_marked_file_is_imposed_by_its_trim():
    found = squares(impose_two_up(mark_corners(make_pdf(2))))
    assert found == [[pytest.approx((20, 30), abs=0.01), pytest.approx((168, 30), abs=0.01)]]


def test_an_impossible_bleed_is_refused():
    for bleed in (-1.0, float("nan"), float("inf")):
        with pytest.raises(ValueError, match="bleed"):
            mark_corners(make_pdf(1), bleed)


@pytest.mark.parametrize("make", [impose_booklet, impose_two_up, mark_corners])
def test_files_are_repeatable_small_and_keep_title_author_and_language(make):
    old = make_pdf(32)
    new = make(old)
    assert new == make(old)
    assert len(new) <= 1.3 * len(old)
    assert new.count(b"/FontFile2") == old.count(b"/FontFile2") == 1
    reader = PdfReader(BytesIO(new), strict=True)
    assert (reader.metadata.title, reader.metadata.author) == ("Abendmusik", "Jörg Müller")
    assert reader.root_object["/Lang"] == "de"
    assert reader.trailer["/ID"][0] == reader.trailer["/ID"][1]
    assert reader.trailer["/ID"] != PdfReader(BytesIO(make(make_pdf(31)))).trailer["/ID"]


def test_different_tasks_give_different_identifiers():
    pdf = make_pdf(8)
    made = [
        impose_booklet(pdf),
        impose_booklet(pdf, 0.1),
        impose_two_up(pdf),
        mark_corners(pdf),
        mark_corners(pdf, 5.0),
        mark_corners(pdf, length=4.0),
    ]
    assert len({bytes(PdfReader(BytesIO(file)).trailer["/ID"][0].original_bytes) for file in made}) == len(
        made
    )


def test_imposed_sheets_have_no_links_and_no_bookmarks():
    reader = PdfReader(BytesIO(impose_booklet(make_pdf(4))))
    assert reader.outline == []
    assert all("/Annots" not in page for page in reader.pages)
