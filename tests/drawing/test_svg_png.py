"""SVG and PNG of the same pages (W3C SVG 1.1)."""

import xml.etree.ElementTree as ElementTree
from io import BytesIO

import pypdfium2
import pytest
from PIL import Image

from engrave.drawing.pdf.draw import draw_pdf
from engrave.drawing.png import draw_png
from engrave.drawing.svg import draw_svg
from engrave.layout.document import place_score
from engrave.problems import CannotBeDrawn
from engrave.style.load import load_style
from tests.reading.helpers import read

SCORE = read(
    "score: 1\ntitle: A & B\nmeasures:\n  - notes: [1/4: [{6: 3}, {5: 2 ghost}, {4: 0}, {3: 12}]]\n    chord: Bb7\n"
)
DOCUMENT = place_score(SCORE, load_style("")[0])
SVG = draw_svg(DOCUMENT.pages[0], DOCUMENT)
SPACE = "{http://www.w3.org/2000/svg}"


def test_the_file_is_well_formed_and_has_a_title():
    root = ElementTree.fromstring(SVG)
    assert root.find(f"{SPACE}title").text == "A & B"
    assert root.get("width") == "595.276pt"


def test_every_mark_is_there_with_its_role_and_source():
    root = ElementTree.fromstring(SVG)
    classes = [e.get("class") for e in root.iter() if e.get("class")]
    marks = [mark for group in DOCUMENT.pages[0].groups for mark in group.marks]
    assert sorted(classes) == sorted(mark.role.value for mark in marks)
    heads = [e for e in root.iter() if e.get("class") == "notehead"]
    assert [(h.get("data-line"), h.get("data-measure"), h.get("data-beat")) for h in heads] == [
        ("4", "1", "1"),
        ("4", "1", "2"),
        ("4", "1", "3"),
        ("4", "1", "4"),
    ]


def test_every_shape_that_is_used_is_defined():
    root = ElementTree.fromstring(SVG)
    defined = {e.get("id") for e in root.iter() if e.get("id")}
    used = {e.get("{http://www.w3.org/1999/xlink}href")[1:] for e in root.iter(f"{SPACE}use")}
    assert used <= defined
    assert used


def test_pictures_have_the_size_asked_for_and_ink_on_them():
    picture = Image.open(BytesIO(draw_png(draw_pdf(DOCUMENT), 0, 72)))
    assert picture.size == (596, 842) or picture.size == (595, 842)
    assert picture.getextrema()[0] < 100


def test_a_picture_that_would_fill_the_memory_is_refused_with_what_would_be_right():
    page = DOCUMENT.pages[0]._replace(width=3400.0, height=3400.0)
    pdf = draw_pdf(DOCUMENT._replace(pages=(page,)))
    with pytest.raises(CannotBeDrawn, match=r"12844 million dots; the most is 140 million: 250 dots an inch"):
        draw_png(pdf, 0, 2400)
    assert draw_png(pdf, 0, 10)


def test_all_ink_is_pure_grey():
    page = pypdfium2.PdfDocument(draw_pdf(DOCUMENT))[0]
    red, green, blue = page.render(scale=1).to_pil().convert("RGB").split()
    assert red.tobytes() == green.tobytes() == blue.tobytes()
