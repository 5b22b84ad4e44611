"""The PDF file read with pypdf and pdfplumber (ISO 32000-1)."""

from io import BytesIO

import pdfplumber
import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.ttfonts import TTFont, TTFontFace
from reportlab.pdfgen.canvas import Canvas

from engrave.drawing.characters import MissingCharacter
from engrave.drawing.pdf.draw import assemble_pdf, draw_pages, draw_pdf
from engrave.drawing.pdf.drawn import blank_page, overlay_page, shift_page
from engrave.drawing.pdf.fonts import registered_font
from engrave.drawing.pdf.reportlab_inside import embed_subsets
from engrave.fonts.face_files import FACE_NAMES, face_file
from engrave.fonts.symbols import music_face
from engrave.layout.document import place_score
from engrave.marks.mark import Box, Curve, Glyph, Group, Line, Link, Page, PlacedDocument, Polygon, Text
from engrave.marks.role import Role
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]
SCORE = read(
    "score: 1\ntitle: Übung Nº 1 — Ñandú\ncredits: {music: Ø. Ærlig, words: Жанна}\nlanguage: de\nkey: Eb major\nmeasures:\n"
    "  - chord: F#m7b5/E\n    notes: [1/4: [{6: 3, 1: 12}, {2: 0}, {2: 1 hammer-on}, {3: x}]]\n"
)
PDF = draw_pdf(place_score(SCORE, STYLE))


def fonts(data):
    found = {}
    for page in pypdf.PdfReader(BytesIO(data)).pages:
        for font in page["/Resources"].get_object()["/Font"].get_object().values():
            font = font.get_object()
            found[str(font["/BaseFont"])] = font
    return found


def test_every_font_is_embedded_and_none_is_helvetica():
    for name, font in fonts(PDF).items():
        assert "Helvetica" not in name
        assert "/FontFile2" in font["/FontDescriptor"].get_object(), name


def test_title_author_and_language_are_set():
    reader = pypdf.PdfReader(BytesIO(PDF))
    assert reader.metadata.title == "Übung Nº 1 — Ñandú"
    assert reader.metadata.author == "Ø. Ærlig, Жанна"
    assert reader.trailer["/Root"]["/Lang"] == "de"


def test_two_runs_give_the_same_bytes():
    assert draw_pdf(place_score(SCORE, STYLE)) == PDF


def test_the_page_is_a4():  # ISO 216
    box = pypdf.PdfReader(BytesIO(PDF)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((595.276, 841.890), abs=1e-3)


def test_words_read_back_where_they_stand():
    with pdfplumber.open(BytesIO(PDF)) as pdf:
        words = pdf.pages[0].extract_words(keep_blank_chars=True)
        title = next(word for word in words if "Ñandú" in word["text"])
        assert (title["x0"] + title["x1"]) / 2 == pytest.approx(595.276 / 2, abs=1)


def placed(*marks, scale=1.0):
    return PlacedDocument((Page(200, 100, (Group(10, 20, scale, marks),)),))


def test_a_character_without_a_glyph_is_refused_before_drawing():
    with pytest.raises(MissingCharacter, match=r"漢.*U\+6F22"):
        draw_pdf(placed(Text(Role.TEXT, 0, 0, "a漢", "serif", 10)))


def test_thin_lines_are_a_quarter_point_at_least():
    data = draw_pdf(placed(Line(Role.STAFF_LINE, 0, 0, 10, 0, 0.001), scale=2.0))
    with pdfplumber.open(BytesIO(data)) as pdf:
        content = pypdf.PdfReader(BytesIO(data)).pages[0].get_contents().get_data().decode("latin-1")
        assert "0.1250 w" in content
        assert len(pdf.pages[0].lines) == 1


def test_geometry_survives_the_transformation():
    data = draw_pdf(
        placed(
            Line(Role.STEM, 1, 2, 1, 12, 0.5),
            Polygon(Role.BEAM, ((0, 0), (5, 0), (5, 2), (0, 2))),
            Curve(Role.TIE, ((0, 5), (1, 6), (3, 6), (4, 5)), ((0, 5), (1, 5.5), (3, 5.5), (4, 5))),
            Glyph(Role.NOTEHEAD, 2, 3, "noteheadBlack"),
            scale=3.0,
        )
    )
    with pdfplumber.open(BytesIO(data)) as pdf:
        page = pdf.pages[0]
        (line,) = page.lines
        assert (line["x0"], 100 - line["bottom"], 100 - line["top"]) == pytest.approx((13, 26, 56), abs=0.01)
        (char,) = page.chars
        assert char["text"] == music_face().glyph("noteheadBlack").character
        assert char["matrix"][4:] == pytest.approx((10 + 2 * 3, 20 + 3 * 3), abs=0.01)
        assert char["size"] == pytest.approx(12, abs=0.2) or char["matrix"][0] == pytest.approx(3, abs=0.01)
        assert len(page.rects) + len(page.curves) == 2


def test_an_empty_document_is_still_a_file():
    assert (
        pypdf.PdfReader(BytesIO(draw_pdf(PlacedDocument((Page(200, 100, ()),))))).pages[0].mediabox.width
        == 200
    )


def where_things_stand(drawn, page):
    """The left edges of the word, the line and the link of a page of one each."""
    data = assemble_pdf(drawn._replace(pages=(page,)), "", "", "en")
    with pdfplumber.open(BytesIO(data)) as pdf:
        (found,) = pdf.pages
        (annotation,) = found.annots
        return found.extract_words()[0]["x0"], found.lines[0]["x0"], annotation["x0"]


@given(st.floats(-50, 150))
def test_a_shifted_page_has_its_ink_and_its_links_further_right(dx):  # ISO 32000-1, 8.3.4 and 12.5.2
    line = Line(Role.STAFF_LINE, 5, 0, 15, 0, 1)
    link = Link(Role.TEXT, Box(5, 0, 15, 10), "https://example.org/")
    drawn = draw_pages(placed(Text(Role.TEXT, 5, 4, "Aria", "serif", 10), line, link))
    before = where_things_stand(drawn, drawn.pages[0])
    after = where_things_stand(drawn, shift_page(drawn.pages[0], dx))
    assert after == pytest.approx([x + dx for x in before], abs=0.01)


def test_a_page_laid_over_another_leaves_both_to_be_read():
    drawn = draw_pages(placed(Text(Role.TEXT, 0, 0, "under", "serif", 10)))
    over = draw_pages(placed(Text(Role.TEXT, 60, 0, "over", "serif", 10)))
    used = {"serif": drawn.used["serif"] | over.used["serif"]}
    both = drawn._replace(pages=(overlay_page(drawn.pages[0], over.pages[0]),), used=used)
    with pdfplumber.open(BytesIO(assemble_pdf(both, "", "", "en"))) as pdf:
        assert pdf.pages[0].extract_text().split() == ["under", "over"]


def test_a_blank_page_has_its_size_and_nothing_on_it():
    drawn = draw_pages(PlacedDocument(()))._replace(pages=(blank_page(300, 200),))
    with pdfplumber.open(BytesIO(assemble_pdf(drawn, "", "", "en"))) as pdf:
        (page,) = pdf.pages
        assert (page.width, page.height, page.chars, page.lines) == (300, 200, [], [])


def test_the_inner_parts_of_reportlab_are_as_engrave_knows_them():
    """Fails when ReportLab changes what it does not promise; then `reportlab_inside.py` has to follow."""
    canvas = Canvas(BytesIO(), initialFontName=registered_font("serif").fontName)
    document, font = canvas._doc, registered_font("sans")
    assert font not in document.delayedFonts
    embed_subsets(canvas, font, "F9", [[0x20] * 0x41 + [ord("A")]])
    state = font._assignState(document)
    assert (state.internalName, state.subsets[0][0x41]) == ("F9", ord("A"))
    assert document.fontMapping[font.fontName] == "/F9"
    assert font in document.delayedFonts
    canvas.addLiteral("BT /F9+0 10 Tf (A) Tj ET")
    data = pypdf.PdfReader(BytesIO(canvas.getpdfdata())).pages[0]
    assert "/F9+0" in data["/Resources"]["/Font"]
    assert data.extract_text() == "A"


@pytest.mark.parametrize("face", FACE_NAMES)
def test_the_tables_of_a_face_are_those_that_reportlab_reads(face):
    """ReportLab's own reading, number by number, is the reference (it leaves the advances of a monospaced end scaled)."""
    ours, theirs = registered_font(face).face, TTFontFace(str(face_file(face)))
    assert ours.glyphPos == tuple(theirs.glyphPos)
    assert [tuple(pair) for pair in theirs.hmetrics] == list(ours.hmetrics)
    assert ours.charToGlyph == {code: glyph for code, glyph in theirs.charToGlyph.items() if glyph}
    assert ours.charWidths == {code: theirs.charWidths[code] for code in ours.charToGlyph}
    assert ours.defaultWidth == theirs.defaultWidth


def test_a_face_has_all_that_reportlab_sets():
    theirs = TTFont("reference", str(face_file("serif")))
    assert vars(registered_font("serif")).keys() == vars(theirs).keys()
    assert registered_font("serif")._asciiReadable == theirs._asciiReadable
